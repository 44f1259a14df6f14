/** Yield as the trade says it, and what the flags of a log mean. */
import { cropOf, isCrop } from '../../../shared/agronomy/crops.ts';
import type { FlagName } from '../../../shared/model/log-flags.ts';
import { type Display, formatNumber, formatQuantity } from '../../../shared/units/format.ts';
import { counted } from '../../../shared/units/words.ts';

/** "57.6 bu/ac" where the crop is sold by the bushel and the farm counts so; else mass per area. */
export function yieldText(kgHa: number | null, crop: string | null, display: Display): string {
  const perBushel = crop !== null && isCrop(crop) ? cropOf(crop).kgHaPerBuAc : null;
  if (kgHa === null || display === 'metric' || perBushel === null)
    return formatQuantity(kgHa, 'mass per area', display);
  return `${formatNumber(kgHa / perBushel, 1)} bu/ac`;
}

export const FLAG_WORDS: Readonly<Record<FlagName, string>> = {
  'time-order': 'out of time order; used in its place',
  'duplicate-time': 'repeats a time; the first is used',
  'position-jump': 'jumps away and back; not on the path',
  'gap-before': 'a pause of the log lies before it',
  'duplicate-position': 'stands where the one before stood',
  'header-up': 'header up: nothing cut',
  'speed-low': 'slower than a combine works',
  'speed-high': 'faster than a combine works',
  'speed-change': 'speed changed by a quarter or more',
  'moisture-range': 'moisture that this crop cannot have',
  'ramp-start': 'start of a pass, the flow still rising',
  'ramp-end': 'end of a pass, the flow running out',
  overlap: 'little fresh ground under the header',
  'yield-global': 'yield far from the field’s',
  'yield-local': 'yield far from its neighbors’',
  bridged: 'a short pause bridged by a straight swath',
};

const STRETCHES_SAID = 8;

/** "Rows of the file: 14, 90 to 104 and 21 more stretches." */
export function rowsInWords(rows: ArrayLike<number>, placeless: number): string {
  const stretches: [from: number, to: number][] = [];
  for (let at = 0; at < rows.length; at++) {
    const last = stretches.at(-1);
    if (last && rows[at] === last[1] + 1) last[1]++;
    else stretches.push([rows[at]!, rows[at]!]);
  }
  const row = (value: number) => formatNumber(value, 0);
  const said = stretches
    .slice(0, STRETCHES_SAID)
    .map(([from, to]) => (from === to ? row(from) : `${row(from)} to ${row(to)}`));
  const more = stretches.length - said.length;
  const named =
    said.length === 0
      ? ''
      : `Rows of the file: ${said.join(', ')}${more > 0 ? ` and ${counted(more, 'stretch', 'stretches')} more` : ''}.`;
  const without = placeless === 0 ? '' : ` ${counted(placeless, 'record')} without a place.`;
  return `${named}${without}`.trim();
}

/** "0.4%", "12%". */
export function finePercent(fraction: number): string {
  return `${formatNumber(100 * fraction, fraction < 0.0995 ? 1 : 0)}%`;
}
