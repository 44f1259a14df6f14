/**
 * Numbers as text for people: US customary or metric, chosen once; "not known" where there is none. US English thousands
 * separators, written without the host's locale so that every machine prints the same.
 */
import { fromSI, UNITS } from './units.ts';
import type { Quantity, UnitId } from './units.ts';

export type Display = 'us' | 'metric';
export const NOT_KNOWN = 'not known';

/** The unit that each quantity is shown in. */
const SHOWN: Readonly<Record<Quantity, Readonly<Record<Display, UnitId>>>> = {
  length: { us: 'ft', metric: 'm' },
  area: { us: 'ac', metric: 'ha' },
  volume: { us: 'gal', metric: 'L' },
  mass: { us: 'lb', metric: 'kg' },
  time: { us: 's', metric: 's' },
  speed: { us: 'mph', metric: 'km/h' },
  'mass flow': { us: 'lb/s', metric: 'kg/s' },
  fraction: { us: '%', metric: '%' },
  temperature: { us: 'F', metric: 'C' },
  angle: { us: 'deg', metric: 'deg' },
  'mass per area': { us: 'lb/ac', metric: 'kg/ha' },
  'mass per volume': { us: 'lb/bu', metric: 'kg/hL' },
  'volume per area': { us: 'gal/ac', metric: 'L/ha' },
  count: { us: 'plants', metric: 'plants' },
  'count per area': { us: 'per ft2', metric: 'per m2' },
  'count per length': { us: 'per ft', metric: 'per m' },
  money: { us: 'money', metric: 'money' },
  'money per area': { us: 'money/ac', metric: 'money/ha' },
  'money per mass': { us: 'money/kg', metric: 'money/kg' },
  'seed count': { us: 'seeds', metric: 'seeds' },
  'degree days': { us: 'degree days F', metric: 'degree days C' },
  ratio: { us: 'ratio', metric: 'ratio' },
  days: { us: 'days', metric: 'days' },
};

export function shownUnit(quantity: Quantity, display: Display): UnitId {
  return SHOWN[quantity][display];
}

/** Fixed decimals with thousands separators: 1234567.891, 1 → "1,234,567.9". Half away from zero, as people round. */
export function formatNumber(value: number, digits: number): string {
  if (!Number.isFinite(value)) return Number.isNaN(value) ? NOT_KNOWN : value > 0 ? 'unlimited' : 'minus unlimited';
  const scaled = Math.abs(value) * 10 ** digits;
  const rounded = scaled < 1e15 ? Math.round(scaled * (1 + 2 ** -52)) / 10 ** digits : Math.abs(value);
  const [whole, decimals] = rounded.toFixed(digits).split('.');
  const grouped = whole!.replace(/\B(?=(\d{3})+$)/g, ',');
  const text = decimals === undefined ? grouped : `${grouped}.${decimals}`;
  return value < 0 && rounded !== 0 ? `−${text}` : text;
}

/** Decimals that leave about three figures: 0.123, 1.23, 12.3, 123, 1,234. */
export function usualDigits(value: number): number {
  const size = Math.abs(value);
  if (size === 0 || !Number.isFinite(size)) return 0;
  if (size >= 99.95) return 0;
  if (size >= 9.995) return 1;
  if (size >= 0.9995) return 2;
  return Math.min(8, 2 - Math.floor(Math.log10(size)));
}

const LARGE: readonly (readonly [number, string])[] = [
  [1e12, 'trillion'],
  [1e9, 'billion'],
  [1e6, 'million'],
];

/** A count that may be huge: "2.1 billion", "85 million", "640,000". */
export function formatCount(value: number): string {
  const size = Math.abs(value);
  for (const [step, word] of LARGE) {
    if (size < step * 0.9995) continue;
    const scaled = value / step;
    return `${formatNumber(scaled, Math.abs(scaled) < 99.5 ? 1 : 0).replace(/\.0$/, '')} ${word}`;
  }
  return formatNumber(value, size < 10 && !Number.isInteger(value) ? 1 : 0);
}

/** A file's size: "640 bytes", "6.3 MB" (10⁶ bytes). */
export function formatBytes(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  const [size, word] =
    bytes < 999_500 ? [bytes / 1e3, 'kB'] : bytes < 999_500_000 ? [bytes / 1e6, 'MB'] : [bytes / 1e9, 'GB'];
  return `${formatNumber(size, size < 9.95 ? 1 : 0)} ${word}`;
}

interface Shown {
  readonly before: string;
  readonly after: string;
}

function around(quantity: Quantity, unit: UnitId, value: number): Shown {
  const { symbol } = UNITS[unit];
  if (quantity === 'money' || quantity === 'money per area' || quantity === 'money per mass') {
    return { before: symbol.slice(0, 1), after: symbol.slice(1) };
  }
  if (quantity === 'count' || quantity === 'seed count' || quantity === 'days') {
    const one = symbol.replace(/s$/, '');
    return { before: '', after: value === 1 ? ` ${one}` : ` ${symbol}` };
  }
  const close = symbol === '%' || symbol.startsWith('°') || symbol.startsWith('/') || symbol === '';
  return {
    before: '',
    after: symbol === '' ? '' : close && symbol !== '°C d' && symbol !== '°F d' ? symbol : ` ${symbol}`,
  };
}

/** Money keeps cents below 100, whole units from there on. */
function digitsFor(quantity: Quantity, value: number): number {
  if (quantity.startsWith('money')) return Math.abs(value) < 99.995 ? 2 : 0;
  if (quantity === 'temperature' || quantity === 'angle' || quantity === 'days')
    return quantity === 'temperature' ? 1 : 0;
  if (quantity === 'fraction') return Math.abs(value) < 9.95 && value !== 0 ? 1 : 0;
  return usualDigits(value);
}

function numberText(quantity: Quantity, value: number, digits: number | undefined): string {
  if (digits === undefined && (quantity === 'seed count' || quantity === 'count')) return formatCount(value);
  return formatNumber(value, digits ?? digitsFor(quantity, value));
}

/**
 * A value as text: "12.3 ac", "1,240 lb", "$4,310", "2.1 billion seeds"; null and NaN are "not known".
 * @param value SI of the quantity (fractions 0–1; kg/ha, L/ha, °C, degrees, money a hectare as in units.ts)
 * @param digits decimals; without it about three figures
 */
export function formatQuantity(value: number | null, quantity: Quantity, display: Display, digits?: number): string {
  if (value === null || Number.isNaN(value)) return NOT_KNOWN;
  const unit = shownUnit(quantity, display);
  const shown = fromSI(value, unit);
  const { before, after } = around(quantity, unit, shown);
  const text = numberText(quantity, shown, digits);
  return text.startsWith('−') ? `−${before}${text.slice(1)}${after}` : `${before}${text}${after}`;
}

/** A way over land: feet or meters, from a mile or a kilometer on "3.1 mi", "240 km". */
export function formatDistance(distanceM: number, display: Display): string {
  const unit = display === 'us' ? 'mi' : 'km';
  const far = fromSI(distanceM, unit);
  return far < 1 ? formatQuantity(distanceM, 'length', display, 0) : `${formatNumber(far, far < 9.95 ? 1 : 0)} ${unit}`;
}

const IN_WORDS: Readonly<Partial<Record<UnitId, string>>> = { ac: 'acres', ha: 'hectares', lb: 'pounds', ft: 'feet' };

/**
 * A range as people say it: "12 to 18 acres, most likely 15". All three of one text collapse to that text.
 * @param range SI; all three null where it cannot be told
 */
export function formatRange(
  range: { readonly low: number | null; readonly central: number | null; readonly high: number | null },
  quantity: Quantity,
  display: Display,
  digits?: number,
): string {
  return rangeText(range, quantity, display, digits, true);
}

/** A range whose middle says nothing: "1 to 30 acres". @param range SI */
export function formatSpan(
  range: { readonly low: number | null; readonly central: number | null; readonly high: number | null },
  quantity: Quantity,
  display: Display,
): string {
  return rangeText(range, quantity, display, undefined, false);
}

function rangeText(
  { low, central, high }: Parameters<typeof formatRange>[0],
  quantity: Quantity,
  display: Display,
  digits: number | undefined,
  withLikely: boolean,
): string {
  if (low === null || central === null || high === null) return NOT_KNOWN;
  if (Number.isNaN(low) || Number.isNaN(central) || Number.isNaN(high)) return NOT_KNOWN;
  const unit = shownUnit(quantity, display);
  const whole = Math.max(Math.abs(fromSI(low, unit)), Math.abs(fromSI(high, unit)));
  const decimals =
    digits ?? (quantity === 'seed count' || quantity === 'count' ? undefined : rangeDigits(quantity, whole));
  const text = (value: number) => {
    const { before } = around(quantity, unit, 2);
    const number = numberText(quantity, fromSI(value, unit), decimals);
    return number.startsWith('−') ? `−${before}${number.slice(1)}` : `${before}${number}`;
  };
  const [from, likely, to] = [text(low), text(central), text(high)];
  const inWords = IN_WORDS[unit];
  const after = inWords === undefined ? around(quantity, unit, 2).after : ` ${inWords}`;
  if (from === to) return formatQuantity(central, quantity, display, decimals);
  // A bare count beside a million would be read as millions: it says what it counts.
  const bare = (text: string) => !/[a-z]$/.test(text) && /[a-z]$/.test(to);
  const own = (text: string) => (bare(text) ? `${text}${after}` : text);
  return `${own(from)} to ${to}${after}${withLikely ? `, most likely ${own(likely)}` : ''}`;
}

/** A range is uncertain: two figures of its larger end are enough. */
function rangeDigits(quantity: Quantity, largest: number): number {
  if (quantity.startsWith('money')) return largest < 10 ? 2 : 0;
  return Math.max(0, usualDigits(largest) - 1);
}
