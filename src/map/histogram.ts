/** How the values on screen are spread: bins of one width on a linear or a logarithmic axis, weighed by area or by count. */

export interface Spread {
  /** Lowest and highest end of the axis, SI; null where nothing is known. */
  readonly axis: readonly [low: number, high: number] | null;
  readonly scale: 'linear' | 'log';
  /** Weight a bin, from low to high. */
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
  readonly scale: 'linear' | 'log';
  readonly bins: number;
  /** Less than this (SI) is as good as none. */
  readonly least: number;
}

/** A logarithmic axis needs a tenfold spread to say more than a linear one. */
const WIDE = 10;

export function spreadOf(values: Iterable<Weighed>, rules: SpreadRules): Spread {
  const known: { value: number; weight: number }[] = [];
  let unknown = 0;
  for (const { value, weight } of values) {
    if (value === null || Number.isNaN(value)) unknown += weight;
    else known.push({ value, weight });
  }
  let [least, most] = [Infinity, -Infinity];
  for (const { value } of known) {
    if (rules.scale === 'log' && !(value >= rules.least && value > 0)) continue;
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  const scale = rules.scale === 'log' && most / least >= WIDE ? 'log' : 'linear';
  const axis = axisOf(known, scale, least, most);
  const bins = new Array<number>(rules.bins).fill(0);
  let below = 0;
  if (axis) {
    for (const { value, weight } of known) {
      if (scale === 'log' && value < axis[0]) below += weight;
      else bins[binAt(axis, scale, rules.bins, value)]! += weight;
    }
  }
  return { axis, scale, bins, below, unknown };
}

function axisOf(
  known: readonly { value: number }[],
  scale: 'linear' | 'log',
  least: number,
  most: number,
): [number, number] | null {
  if (known.length === 0) return null;
  if (scale === 'log') return [least, most];
  let [low, high] = [Infinity, -Infinity];
  for (const { value } of known) [low, high] = [Math.min(low, value), Math.max(high, value)];
  return low < high ? [low, high] : [low - (Math.abs(low) || 1) / 2, high + (Math.abs(high) || 1) / 2];
}

/** 0–1 along the axis; outside of it where the value is. */
export function alongAxis(axis: readonly [number, number], scale: 'linear' | 'log', value: number): number {
  const on = scale === 'log' ? Math.log : (x: number) => x;
  return (on(value) - on(axis[0])) / (on(axis[1]) - on(axis[0]));
}

/** The value at a place of the axis. */
export function valueAlong(axis: readonly [number, number], scale: 'linear' | 'log', place: number): number {
  if (scale === 'linear') return axis[0] + (axis[1] - axis[0]) * place;
  return axis[0] * (axis[1] / axis[0]) ** place;
}

function binAt(axis: readonly [number, number], scale: 'linear' | 'log', bins: number, value: number): number {
  return Math.min(bins - 1, Math.max(0, Math.floor(alongAxis(axis, scale, value) * bins)));
}
