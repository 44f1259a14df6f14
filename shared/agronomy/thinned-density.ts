/** Fewer places, drawn by lot, where all pairs of all places would take too long. */
import { stream } from '../statistics/random.ts';
import type { ScoutingDensity } from './scouting-density.ts';

export interface ThinnedDensity extends Pick<ScoutingDensity, 'xM' | 'yM' | 'densityPerM2' | 'effortM2'> {
  /** How many places they were drawn from. */
  readonly of: number;
}

const SEED = 20_261_126;

/**
 * At most so many of the places; all of them, as they came, where there are no more. The lot falls by where places lie, so their
 * order changes nothing. Each place has the same chance: a variogram of them is without bias, with fewer pairs a lag.
 */
export function thinned({ xM, yM, densityPerM2, effortM2 }: ScoutingDensity, atMost: number): ThinnedDensity {
  const of = densityPerM2.length;
  if (of <= atMost) return { xM, yM, densityPerM2, effortM2, of };
  const ids = Array.from(xM.keys()).sort((a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]!);
  const lot = stream(SEED, 'thinned places');
  for (let i = 0; i < atMost; i++) {
    const other = i + lot.integer(of - i);
    [ids[i], ids[other]] = [ids[other]!, ids[i]!];
  }
  const drawn = ids.slice(0, atMost);
  const take = (values: Float64Array): Float64Array => Float64Array.from(drawn, (i) => values[i]!);
  return { xM: take(xM), yM: take(yM), densityPerM2: take(densityPerM2), effortM2: take(effortM2), of };
}
