import type { Farm } from './farm.ts';
import { STARTING_PROGRAMS } from './starting-programs.ts';

/** A farm with nothing in it but programs to start from. */
export function emptyFarm(id: string, name: string): Farm {
  return {
    schema: 1,
    id,
    name,
    invented: false,
    seed: 1,
    display: 'us',
    currency: 'USD',
    utcOffsetMinutes: 0,
    files: [],
    fields: [],
    neighbors: [],
    machines: [],
    seasons: [],
    rounds: [],
    corrections: [],
    products: [],
    programs: [...STARTING_PROGRAMS],
    zoneSets: [],
    plan: [],
    scenarios: [],
    thresholdPerM2: {},
    population: {},
    planning: { horizonYears: 6, discountFraction: 0.05, budget: null, mustTreat: [] },
    ownValues: [],
    trials: [],
    forecasts: [],
  };
}
