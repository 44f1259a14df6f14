/** How the values on screen are spread: bins of one width along an axis, weighed by area or by count. */

export interface Axis {
  /** 'rank' runs backward: 1 is at its end. */
  readonly kind: 'linear' | 'log' | 'rank';
  readonly low: number;
  readonly high: number;
}

export interface Spread {
  /** null where nothing is known. */
  readonly axis: Axis | null;
  /** Weight a bin, along the axis. */
  readonly bins: readonly number[];
  /** Weight of values below the axis: on a logarithmic one, none or as good as none. */
  readonly below: number;
  readonly unknown: number;
}

export interface Weighed {
  readonly value: number | null;
  readonly weight: number;
}

export interface SpreadRules {
  /** 'share': from none to all, whatever the values. */
  readonly kind: Axis['kind'] | 'share';
  readonly bins: number;
  /** Less than this (SI) is as good as none. */
  readonly least: number;
}

/** A logarithmic axis needs a tenfold spread to say more than a linear one. */
const WIDE = 10;

export function spreadOf(values: readonly Weighed[], rules: SpreadRules): Spread {
  const known: { value: number; weight: number }[] = [];
  let unknown = 0;
  for (const { value, weight } of values) {
    if (value === null || Number.isNaN(value)) unknown += weight;
    else known.push({ value, weight });
  }
  const axis = axisOf(
    known.map((one) => one.value),
    rules,
  );
  const bins = new Array<number>(axis?.kind === 'rank' ? Math.round(axis.high - axis.low) : rules.bins).fill(0);
  let below = 0;
  if (axis) {
    for (const { value, weight } of known) {
      if (axis.kind === 'log' && value < axis.low) below += weight;
      else bins[Math.min(bins.length - 1, Math.max(0, Math.floor(alongAxis(axis, value) * bins.length)))]! += weight;
    }
  }
  return { axis, bins, below, unknown };
}

function axisOf(known: readonly number[], { kind, least }: SpreadRules): Axis | null {
  if (known.length === 0) return null;
  let [low, high, lowCounted] = [Infinity, -Infinity, Infinity];
  for (const value of known) {
    [low, high] = [Math.min(low, value), Math.max(high, value)];
    if (value >= least && value > 0) lowCounted = Math.min(lowCounted, value);
  }
  if (kind === 'share') return { kind: 'linear', low: 0, high: 1 };
  if (kind === 'rank') return { kind, low: 0.5, high: high + 0.5 };
  if (kind === 'log' && high / lowCounted >= WIDE) return { kind, low: lowCounted, high };
  if (low < high) return { kind: 'linear', low, high };
  const room = Math.abs(low) / 2 || 1;
  return { kind: 'linear', low: low - room, high: high + room };
}

/** 0–1 along the axis; outside of it where the value is. */
export function alongAxis({ kind, low, high }: Axis, value: number): number {
  if (kind === 'rank') return (high - value) / (high - low);
  if (kind === 'log') return Math.log(value / low) / Math.log(high / low);
  return (value - low) / (high - low);
}

/** The value at a place of the axis, 0–1. */
export function valueAlong({ kind, low, high }: Axis, place: number): number {
  if (kind === 'rank') return high - (high - low) * place;
  if (kind === 'log') return low * (high / low) ** place;
  return low + (high - low) * place;
}
