/** Counts typed at a place: how many plants on how much ground, zeros too. */
import type { Day } from '../../units/calendar.ts';
import type { Edit } from '../edit.ts';
import type { Farm, Round } from '../farm.ts';
import type { Named } from './named.ts';
import { changeRound, withSpecies } from './rounds.ts';

export type TypedCount = Round['typed'][number];

export interface CountPlace {
  readonly round: string;
  readonly index: number;
}

export function addCount(farm: Farm, count: TypedCount, field: Named, species: Named): Edit {
  const on: Day = count.on;
  const days = { season: Number(on.slice(0, 4)), from: on, to: on };
  return {
    label: `Count ${species.name} in ${field.name}`,
    sets: [
      {
        path: ['rounds'],
        value: changeRound(farm, days, (round) => ({ ...round, typed: [...round.typed, count] })),
      },
      { path: ['thresholdPerM2'], value: withSpecies(farm, [species.id]) },
    ],
  };
}

/** @throws where there is no such count */
export function removeCount(farm: Farm, { round, index }: CountPlace, field: Named): Edit {
  const at = farm.rounds.findIndex((one) => one.id === round);
  const typed = farm.rounds[at]?.typed ?? [];
  if (!typed[index]) throw new Error(`removeCount: no count ${index} in ${round}`);
  return {
    label: `Take back a count in ${field.name}`,
    sets: [{ path: ['rounds', at, 'typed'], value: typed.filter((_, other) => other !== index) }],
  };
}
