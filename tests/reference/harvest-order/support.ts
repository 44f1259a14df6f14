import type { OrderProblem, Stop } from '../../../shared/harvest/order/order-problem.ts';

export interface CaseGiven {
  readonly fields: readonly { name: string; own_load: number; keep: number; cost_per_seed: number }[];
  readonly travel: readonly (readonly number[])[];
  readonly clean_cost: number;
  readonly clean_fraction: number;
  readonly start_load?: number;
  readonly return_to_yard?: boolean;
}

/** One kind of seed, one kind of clean-out, as the cases have it. */
export function problemOf(given: CaseGiven): OrderProblem {
  return {
    fields: given.fields.map((one) => ({
      ownSeeds: [one.own_load],
      keptFraction: one.keep,
      costPerSeed: [one.cost_per_seed],
    })),
    cleanOuts: [{ removedFraction: given.clean_fraction, cost: given.clean_cost }],
    travel: given.travel,
    startSeeds: [given.start_load ?? 0],
    returnsToStart: given.return_to_yard ?? false,
  };
}

export function stopsOf(flags: readonly number[]): Stop[] {
  return flags.map((flag) => (flag === 1 ? 0 : null));
}
