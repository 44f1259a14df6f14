/**
 * Best set under several limits, relaxed: the linear bound by column generation. A column is one whole choice; prices of
 * the limits (Lagrange multipliers) come from a master problem of as many rows as there are limits and one more, and the
 * next column is each zone's best option at those prices. Whatever the prices, the bound holds.
 */

import type { Relaxation } from './best-first-search.ts';
import { LIMIT_SLACK } from './option-hull.ts';
import type { OptionTable } from './option-hull.ts';

interface Column {
  /** Rows: use of each limit, then 1 for a whole choice (0 for slack). */
  readonly rows: Float64Array;
  readonly gain: number;
  /** null for slack and for the stand-in of a limit that is passed. */
  readonly choice: Int32Array | null;
  readonly isStandIn: boolean;
}

const MOST_ROUNDS = 400;

/** The several-limits relaxation of an option table. */
export class LimitsRelaxation {
  private readonly penalty: number;
  private readonly solver: SmallSystem;
  /** Prices of the first answer: good enough to dismiss most of the later ones at once. */
  private firstPrices: Float64Array | null = null;

  constructor(private readonly table: OptionTable) {
    let most = 1;
    for (const gain of table.gain) most = Math.max(most, Math.abs(gain));
    // worth more than any gain of all zones together, per unit of the smallest limit that counts
    this.penalty = 1e4 * most * table.zones;
    this.solver = new SmallSystem(table.limits.length + 1);
  }

  /**
   * Bound, and a choice that fits found by steps of best gain per priced use.
   * @param settled option of each zone, −1 where free
   * @param cutoff gain that is had already: once the bound is no better, the work ends with that
   * @returns null where nothing fits, even in parts
   * @source methods-season §8; reference cases `budget-optimum` (lp_bound of several limits)
   */
  relax(settled: Int32Array, cutoff = -Infinity): Relaxation | null {
    const { zones, limits } = this.table;
    const rowCount = limits.length + 1;
    const scale = limits.map((limit) => Math.max(1, Math.abs(limit)));
    const target = Float64Array.from([...limits.map((limit, r) => limit / scale[r]!), 1]);
    const start = this.columnAt(this.firstPrices ?? new Float64Array(limits.length), settled, scale);
    if (this.firstPrices !== null) {
      const bound = boundAt(this.firstPrices, start, target);
      if (bound <= cutoff) return { bound, choice: null, gain: -Infinity, split: -1 };
    }
    const basis: Column[] = limits.map((limit, r) => {
      const fits = start.rows[r]! <= limit / scale[r]!;
      const rows = new Float64Array(rowCount);
      rows[r] = fits ? 1 : -1;
      return { rows, gain: fits ? 0 : -this.penalty, choice: null, isStandIn: !fits };
    });
    basis.push(start);
    let prices = new Float64Array(limits.length);
    let bound = Infinity;
    let converged = false;
    for (let round = 0; round < MOST_ROUNDS; round++) {
      const duals = this.solver.solve(
        basis,
        basis.map(({ gain }) => gain),
        true,
      );
      if (duals === null) break;
      const here = duals.slice(0, limits.length).map((price) => Math.max(0, price));
      const next = this.columnAt(here, settled, scale);
      const hereBound = boundAt(here, next, target);
      if (hereBound < bound) {
        bound = hereBound;
        prices = here;
        if (bound <= cutoff) return { bound, choice: null, gain: -Infinity, split: -1 };
      }
      const entering = this.entering(duals, next, rowCount);
      converged = entering === null;
      if (entering === null || !this.pivot(basis, entering, target)) break;
    }
    this.firstPrices ??= prices;
    const weights = this.solver.solve(basis, target, false) ?? new Float64Array(rowCount);
    if (converged && basis.some(({ isStandIn }, k) => isStandIn && weights[k]! > 1e-9)) return null;

    const fitting = this.fill(settled, prices, scale);
    let { choice, gain } = fitting ?? { choice: null, gain: -Infinity };
    let split = converged ? mostSplit(basis, weights, settled, zones) : settled.indexOf(-1);
    if (converged && split < 0) {
      // the relaxed answer is a whole choice: nothing under these settled options gains more
      const whole = basis.find((column, k) => column.choice !== null && weights[k]! > 0.5)!;
      if (this.fits(whole.choice!)) {
        if (whole.gain > gain) ({ choice, gain } = whole);
      } else split = settled.indexOf(-1);
    }
    return { bound: Math.max(bound, gain), choice, gain, split };
  }

  private fits(choice: Int32Array): boolean {
    const { use, gain, limits } = this.table;
    return limits.every((limit, r) => {
      let total = 0;
      for (const option of choice) total += use[r * gain.length + option]!;
      return total <= limit + LIMIT_SLACK;
    });
  }

  private entering(duals: Float64Array, next: Column, rowCount: number): Column | null {
    const limits = rowCount - 1;
    for (let r = 0; r < limits; r++) {
      if (duals[r]! < -1e-9) {
        const rows = new Float64Array(rowCount);
        rows[r] = 1;
        return { rows, gain: 0, choice: null, isStandIn: false };
      }
    }
    const reduced = next.gain - dot(duals, next.rows, rowCount);
    return reduced > 1e-9 * Math.max(1, Math.abs(next.gain)) ? next : null;
  }

  /** Brings a column into the basis by the ratio test; false where it cannot (the basis is singular by rounding). */
  private pivot(basis: Column[], entering: Column, target: Float64Array): boolean {
    const weights = this.solver.solve(basis, target, false);
    const direction = this.solver.solve(basis, entering.rows, false);
    if (weights === null || direction === null) return false;
    let leaving = -1;
    let least = Infinity;
    for (let k = 0; k < basis.length; k++) {
      if (direction[k]! <= 1e-12) continue;
      const ratio = Math.max(0, weights[k]!) / direction[k]!;
      if (ratio < least - 1e-15 || (ratio <= least + 1e-15 && basis[k]!.isStandIn)) {
        least = ratio;
        leaving = k;
      }
    }
    if (leaving < 0) return false;
    basis[leaving] = entering;
    return true;
  }

  /** Each free zone's best option at the given prices. */
  private columnAt(prices: ArrayLike<number>, settled: Int32Array, scale: readonly number[]): Column {
    const { zones, first, gain, use, limits } = this.table;
    const options = gain.length;
    const choice = new Int32Array(zones);
    const rows = new Float64Array(limits.length + 1);
    let total = 0;
    for (let zone = 0; zone < zones; zone++) {
      let best = settled[zone]!;
      if (best < 0) {
        let most = -Infinity;
        for (let option = first[zone]!; option < first[zone + 1]!; option++) {
          let value = gain[option]!;
          for (let r = 0; r < limits.length; r++) value -= (prices[r]! * use[r * options + option]!) / scale[r]!;
          if (value > most) {
            most = value;
            best = option;
          }
        }
      }
      choice[zone] = best;
      total += gain[best]!;
      for (let r = 0; r < limits.length; r++) rows[r]! += use[r * options + best]! / scale[r]!;
    }
    rows[limits.length] = 1;
    return { rows, gain: total, choice, isStandIn: false };
  }

  /** From each zone's least priced use upwards, always the step of best gain per priced use that fits. */
  private fill(
    settled: Int32Array,
    prices: ArrayLike<number>,
    scale: readonly number[],
  ): { choice: Int32Array; gain: number } | null {
    const { zones, first, gain, use, limits } = this.table;
    const options = gain.length;
    const weight = (option: number) => {
      let sum = 0;
      for (let r = 0; r < limits.length; r++) sum += ((prices[r]! + 1e-6) * use[r * options + option]!) / scale[r]!;
      return sum;
    };
    const weights = Float64Array.from({ length: options }, (_, option) => weight(option));
    const left = Float64Array.from(limits, (limit) => limit + LIMIT_SLACK);
    const choice = settled.slice();
    for (let zone = 0; zone < zones; zone++) {
      if (choice[zone]! < 0) {
        let least = first[zone]!;
        for (let option = least; option < first[zone + 1]!; option++) {
          if (weights[option]! < weights[least]!) least = option;
        }
        choice[zone] = least;
      }
      for (let r = 0; r < limits.length; r++) left[r]! -= use[r * options + choice[zone]!]!;
    }
    if (left.some((room) => room < 0)) return null;
    for (;;) {
      let [bestZone, bestOption, bestRate] = [-1, -1, 0];
      for (let zone = 0; zone < zones; zone++) {
        if (settled[zone]! >= 0) continue;
        const now = choice[zone]!;
        for (let option = first[zone]!; option < first[zone + 1]!; option++) {
          const more = gain[option]! - gain[now]!;
          if (more <= 0) continue;
          const rate = more / Math.max(1e-9, weights[option]! - weights[now]!);
          if (rate <= bestRate) continue;
          let fits = true;
          for (let r = 0; r < limits.length; r++) {
            if (use[r * options + option]! - use[r * options + now]! > left[r]!) fits = false;
          }
          if (fits) [bestZone, bestOption, bestRate] = [zone, option, rate];
        }
      }
      if (bestZone < 0) break;
      for (let r = 0; r < limits.length; r++) {
        left[r]! -= use[r * options + bestOption]! - use[r * options + choice[bestZone]!]!;
      }
      choice[bestZone] = bestOption;
    }
    let total = 0;
    for (let zone = 0; zone < zones; zone++) total += gain[choice[zone]!]!;
    return { choice, gain: total };
  }
}

/** Zone on whose option the columns in use disagree most; −1 where they agree. */
function mostSplit(basis: readonly Column[], weights: Float64Array, settled: Int32Array, zones: number): number {
  let split = -1;
  let least = 1 - 1e-7;
  for (let zone = 0; zone < zones; zone++) {
    if (settled[zone]! >= 0) continue;
    const shares = new Map<number, number>();
    basis.forEach(({ choice }, k) => {
      if (choice) shares.set(choice[zone]!, (shares.get(choice[zone]!) ?? 0) + weights[k]!);
    });
    const most = Math.max(...shares.values());
    if (most < least) {
      least = most;
      split = zone;
    }
  }
  return split;
}

/** What no choice can gain more than, at given prices of the limits. */
function boundAt(prices: Float64Array, best: Column, target: Float64Array): number {
  return best.gain - dot(prices, best.rows, prices.length) + dot(prices, target, prices.length);
}

/** Gaussian elimination of a few equations, in place. */
class SmallSystem {
  private readonly a: Float64Array;

  constructor(private readonly n: number) {
    this.a = new Float64Array(n * (n + 1));
  }

  /** Solves B x = right (or Bᵀ x = right) for the basis' columns B; null where B is singular. */
  solve(basis: readonly Column[], right: ArrayLike<number>, transposed: boolean): Float64Array | null {
    const { a, n } = this;
    const width = n + 1;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) a[i * width + j] = transposed ? basis[i]!.rows[j]! : basis[j]!.rows[i]!;
      a[i * width + n] = right[i]!;
    }
    for (let k = 0; k < n; k++) {
      let lead = k;
      for (let i = k + 1; i < n; i++) if (Math.abs(a[i * width + k]!) > Math.abs(a[lead * width + k]!)) lead = i;
      if (Math.abs(a[lead * width + k]!) < 1e-13) return null;
      for (let j = k; lead !== k && j <= n; j++) {
        const swapped = a[k * width + j]!;
        a[k * width + j] = a[lead * width + j]!;
        a[lead * width + j] = swapped;
      }
      for (let i = 0; i < n; i++) {
        const factor = i === k ? 0 : a[i * width + k]! / a[k * width + k]!;
        for (let j = k; factor !== 0 && j <= n; j++) a[i * width + j]! -= factor * a[k * width + j]!;
      }
    }
    return Float64Array.from({ length: n }, (_, k) => a[k * width + n]! / a[k * width + k]!);
  }
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>, length: number): number {
  let sum = 0;
  for (let k = 0; k < length; k++) sum += a[k]! * b[k]!;
  return sum;
}
