/** What is said of zones: where they come from, why one comes first, and one line of numbers while a hand draws. */
import { speciesOf } from '../../../../shared/agronomy/species.ts';
import type { ZoneNumbers } from '../../../../shared/analysis/zone-figures.ts';
import type { FieldZoneNumbers } from '../../../../shared/analysis/zone-numbers.ts';
import { type Display, formatQuantity, formatRange } from '../../../../shared/units/format.ts';
import { counted } from '../../../../shared/units/words.ts';
import { twoFigures } from '../../../../shared/units/rough.ts';

/** "3 zones hold 12.3 of 60 ac of Home, and most likely 78 % of the seed that fell there." */
export function zonesFinding(name: string, zones: number, numbers: FieldZoneNumbers | null, display: Display): string {
  if (zones === 0) return `${name} has no zones`;
  if (!numbers) return `${counted(zones, 'zone')} on ${name}`;
  const sum = (of: (one: ZoneNumbers) => number | null) => numbers.zones.reduce((all, one) => all + (of(one) ?? 0), 0);
  const areaM2 = sum((one) => one.areaM2);
  const area = formatQuantity(areaM2, 'area', display);
  const whole = formatQuantity(areaM2 + numbers.outside.areaM2, 'area', display);
  const holds = `${counted(zones, 'zone')} ${zones === 1 ? 'holds' : 'hold'} ${area} of the ${whole} of ${name}`;
  const seeds = sum((one) => one.seeds.central);
  const all = seeds + (numbers.outside.seeds.central ?? 0);
  if (numbers.outside.seeds.central === null || all === 0) return holds;
  return `${holds}, and most likely ${formatQuantity(seeds / all, 'fraction', display, 0)} of the seed that fell there`;
}

/** Why it stands where it stands. */
export function whyRank(one: ZoneNumbers, of: number, display: Display, years: number): string {
  const place = of === 1 ? '' : `${ordinal(one.rank ?? 1)} of ${of}: `;
  const { central } = one.gainPerHa;
  if (central === null) return `${place}what treating it gains cannot be told in money`;
  const each = formatQuantity(Math.abs(central), 'money per area', display);
  return central > 0
    ? `${place}treating it gains most likely ${each} over ${years} years`
    : `${place}treating it costs most likely ${each} more than it gains over ${years} years`;
}

function ordinal(rank: number): string {
  return ['First', 'Second', 'Third'][rank - 1] ?? `Number ${rank}`;
}

export function plantsInWords(one: ZoneNumbers, display: Display): readonly { species: string; words: string }[] {
  return one.plants
    .filter(({ range }) => range.high !== null && range.high > 0)
    .map(({ species, range }) => ({
      species,
      words: `${speciesOf(species).name}: ${formatRange(rounded(range), 'count', display)}`,
    }));
}

/** Counts of plants and seeds are known to two figures at best. */
export function rounded<R extends { low: number | null; central: number | null; high: number | null }>(range: R): R {
  const roughly = (value: number | null) => (value === null ? null : twoFigures(value));
  return { low: roughly(range.low), central: roughly(range.central), high: roughly(range.high) } as R;
}

/** One line while a zone is drawn. */
export function draftLine(letter: string, one: ZoneNumbers, display: Display): string {
  const parts = [`Zone ${letter}: ${formatQuantity(one.areaM2, 'area', display)}`];
  const seeds = rounded(one.seeds).central;
  if (seeds !== null) parts.push(`about ${formatQuantity(seeds, 'seed count', display)} fell there`);
  if (one.lossMoney.central !== null)
    parts.push(`${formatQuantity(one.lossMoney.central, 'money', display, 0)} lost this year`);
  if (one.gain.central !== null) parts.push(`gain ${formatQuantity(one.gain.central, 'money', display, 0)}`);
  return parts.join(' · ');
}
