/** How a formula is written down. */
import type { Formula } from '../formula.ts';

export const M2_PER_HA = 10_000;

export const formula = <Id extends string>(id: Id, one: Omit<Formula, 'id'>): Formula & { id: Id } => ({ id, ...one });

/** Sum of the inputs whose symbol begins so: `N_` of N_AMATU, N_SETFA … */
export const sumOf = (inputs: Readonly<Record<string, number>>, start: string): number =>
  Object.entries(inputs).reduce((sum, [symbol, value]) => (symbol.startsWith(start) ? sum + value : sum), 0);
