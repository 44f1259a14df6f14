/** Per field, season and case: all seed that came to the ground, own and carried in, and the season's closed ledger. */
import { addLedgers, assertClosed, type Ledger, scaledLedger, EMPTY_LEDGER } from '../../harvest/ledger.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { ChainLink } from './movement-chain.ts';
import type { MovementOwn } from './movement-own.ts';
import type { FieldSeedReturn } from './seed-return.ts';

export interface FieldLanded {
  readonly species: readonly string[];
  /** Seeds that lie in each cell after harvest: shed before, header loss, landed by machine; one array a species. */
  readonly seeds: readonly Float64Array[];
  /** One a species; closed to 1e-12. */
  readonly ledgers: readonly Ledger[];
  /** All species. */
  readonly ledger: Ledger;
  /** Seeds carried in and out, all species; null where the order of fields is not known. */
  readonly carriedInSeeds: number | null;
  readonly carriedOutSeeds: number | null;
  /** Of the seeds carried in, those that the machine brought to the farm. */
  readonly arrivedSeeds: number;
  readonly removedAtCleanOutSeeds: number;
  readonly directionShare: number | null;
}

export const landedStep = defineStep<null, FieldLanded>({
  id: 'landed',
  title: 'Seed landed',
  version: 2,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings: () => null,
  needs(_farm, scope) {
    return {
      own: { step: 'movement-own', scope },
      carried: { step: 'carried', scope },
      seed: { step: 'seed-return', scope },
    };
  },
  *run({ needs }) {
    yield [0, 1];
    const own = needs['own'] as MovementOwn;
    const link = needs['carried'] as ChainLink;
    const seed = needs['seed'] as FieldSeedReturn;
    const carried = link.carriedIn ?? own.species.map(() => 0);
    const seeds = own.landed.map((landed, index) => {
      const { shedPerM2, shedBeforeSeeds } = seed.species[index]!;
      const shed = shedBeforeSeeds === 0 ? 0 : shedBeforeSeeds / shedPerM2.reduce((sum, one) => sum + one, 0);
      return together(landed, own.response.landed, carried[index]!, shedPerM2, shed);
    });
    const ledgers = own.ledger.map((ledger, index) => {
      const both = addLedgers(ledger, scaledLedger(own.response.ledger, carried[index]!));
      assertClosed(both);
      return both;
    });
    const ledger = ledgers.reduce((a, b) => addLedgers(a, b), EMPTY_LEDGER);
    assertClosed(ledger);
    return done({
      species: own.species,
      seeds,
      ledgers,
      ledger,
      carriedInSeeds: link.carriedIn === null ? null : sum(link.carriedIn),
      carriedOutSeeds: link.carriedOut === null ? null : sum(link.carriedOut),
      arrivedSeeds: sum(link.arrived),
      removedAtCleanOutSeeds: sum(link.removedAtCleanOut),
      directionShare: own.directionShare,
    });
  },
});

/** own + factor · other + factor · other, cell by cell. */
function together(
  own: Float64Array,
  guest: Float64Array,
  guests: number,
  shed: Float64Array,
  perShed: number,
): Float64Array {
  if (guests === 0 && perShed === 0) return own;
  const out = new Float64Array(own.length);
  for (let cell = 0; cell < out.length; cell++) out[cell] = own[cell]! + guests * guest[cell]! + shed[cell]! * perShed;
  return out;
}

const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
