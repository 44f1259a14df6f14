/**
 * Best set under one limit, relaxed: one option a zone, parts allowed (the linear bound of the multiple-choice knapsack).
 * The upper concave hull of gain over use makes it a single sweep over steps by slope.
 */

import type { Relaxation } from './best-first-search.ts';

/** Options of all zones in flat arrays: zone i has options `first[i]` up to `first[i + 1]`. */
export interface OptionTable {
  readonly zones: number;
  readonly first: Int32Array;
  readonly gain: Float64Array;
  /** Use of limit r by option o: r × options + o. */
  readonly use: Float64Array;
  readonly limits: readonly number[];
}

/** A sum of costs in cents may pass its limit by its rounding. */
export const LIMIT_SLACK = 1e-6;

interface HullStep {
  readonly zone: number;
  readonly to: number;
  readonly use: number;
  readonly gain: number;
}

/** The one-limit relaxation of an option table. */
export class HullRelaxation {
  private readonly base: Int32Array;
  private readonly steps: readonly HullStep[];

  /** @cost O(options log options) */
  constructor(private readonly table: OptionTable) {
    this.base = new Int32Array(table.zones);
    const steps: HullStep[] = [];
    for (let zone = 0; zone < table.zones; zone++) {
      const hull = upperHull(table, zone);
      this.base[zone] = hull[0]!;
      for (let k = 1; k < hull.length; k++) {
        const [from, to] = [hull[k - 1]!, hull[k]!];
        steps.push({
          zone,
          to,
          use: table.use[to]! - table.use[from]!,
          gain: table.gain[to]! - table.gain[from]!,
        });
      }
    }
    // steepest first; within a zone slopes fall, so its steps keep their order
    this.steps = steps.sort((a, b) => b.gain / b.use - a.gain / a.use);
  }

  /**
   * Bound and a choice that fits, given options that are settled already.
   * Bound: hull steps by slope, part of the first that does not fit. Choice: the same, but a zone whose step does not fit
   * stays where it is and later steps of other zones still may (greedy).
   * @param settled option of each zone, −1 where free
   * @returns null where nothing fits
   * @source methods-season §8 (1)–(3); reference cases `budget-optimum` (lp_bound, greedy_gain)
   * @cost O(zones + steps)
   */
  relax(settled: Int32Array, _cutoff?: number): Relaxation | null {
    const { table, steps } = this;
    const choice = new Int32Array(table.zones);
    const shut = new Uint8Array(table.zones);
    let left = table.limits[0]!;
    let gain = 0;
    for (let zone = 0; zone < table.zones; zone++) {
      const option = settled[zone]! >= 0 ? settled[zone]! : this.base[zone]!;
      choice[zone] = option;
      shut[zone] = settled[zone]! >= 0 ? 1 : 0;
      left -= table.use[option]!;
      gain += table.gain[option]!;
    }
    if (left < -LIMIT_SLACK) return null;
    let bound = gain;
    let split = -1;
    for (const step of steps) {
      if (shut[step.zone] === 1) continue;
      if (step.use <= left + LIMIT_SLACK) {
        left -= step.use;
        gain += step.gain;
        choice[step.zone] = step.to;
        if (split < 0) bound += step.gain;
      } else {
        shut[step.zone] = 1;
        if (split < 0) {
          split = step.zone;
          bound += (step.gain * Math.max(0, left)) / step.use;
        }
      }
    }
    return { bound, gain, choice, split };
  }
}

/** Options of a zone on the upper concave hull of gain over use, least use first, only while gain rises. */
function upperHull({ first, gain, use }: OptionTable, zone: number): number[] {
  const options: number[] = [];
  for (let option = first[zone]!; option < first[zone + 1]!; option++) options.push(option);
  options.sort((a, b) => use[a]! - use[b]! || gain[b]! - gain[a]!);
  const hull: number[] = [];
  for (const option of options) {
    if (hull.length > 0 && gain[option]! <= gain[hull.at(-1)!]!) continue;
    while (hull.length >= 2) {
      const [a, b] = [hull.at(-2)!, hull.at(-1)!];
      const bends = (gain[b]! - gain[a]!) * (use[option]! - use[b]!) > (gain[option]! - gain[b]!) * (use[b]! - use[a]!);
      if (bends) break;
      hull.pop();
    }
    hull.push(option);
  }
  return hull;
}
