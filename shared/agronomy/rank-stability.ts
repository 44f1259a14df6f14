/** How firm a rank is: the share of draws in which a zone is among the first k. */

export interface RankStability {
  /** Mean rank over the draws, first = 1; one a zone. */
  readonly meanRank: Float64Array;
  /** Share of draws among the first k + 1: index = k × zones + zone. Over the zones they add up to k + 1. */
  readonly amongFirst: Float64Array;
}

/**
 * Ranks the zones in every draw, largest value first; equal values keep the zones' order.
 * @param values what is ranked by (gain per money): draw × zones + zone; Infinity where nothing is spent; no NaN
 * @source methods-season §7; reference case rank-stability
 * @cost O(draws × zones log zones)
 */
export function rankStability(values: Float64Array, zones: number): RankStability {
  const draws = values.length / zones;
  if (!(Number.isInteger(draws) && draws > 0)) {
    throw new RangeError(`rankStability: ${values.length} values are no draws of ${zones} zones`);
  }
  if (values.some(Number.isNaN)) throw new RangeError('rankStability: a zone without a value cannot be ranked');
  const meanRank = new Float64Array(zones);
  const amongFirst = new Float64Array(zones * zones);
  const order = Array.from({ length: zones }, (_, zone) => zone);
  for (let draw = 0; draw < draws; draw++) {
    const at = draw * zones;
    // Infinity − Infinity is no number: compare, do not subtract
    order.sort((a, b) => {
      const left = values[at + a]!;
      const right = values[at + b]!;
      return left > right ? -1 : left < right ? 1 : a - b;
    });
    order.forEach((zone, place) => {
      meanRank[zone]! += (place + 1) / draws;
      for (let k = place; k < zones; k++) amongFirst[k * zones + zone]! += 1;
    });
  }
  for (let k = 0; k < amongFirst.length; k++) amongFirst[k]! /= draws;
  return { meanRank, amongFirst };
}

export type StabilityWord = 'firm' | 'likely' | 'unsure';

/** The share of draws in a word: ≥ 0.8 firm, 0.5–0.8 likely, below unsure (the limits are assumed, no source). */
export function stabilityWord(shareOfDraws: number): StabilityWord {
  return shareOfDraws >= 0.8 ? 'firm' : shareOfDraws >= 0.5 ? 'likely' : 'unsure';
}
