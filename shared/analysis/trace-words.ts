/** A trace of seed in sentences: a finding, its parts, and what it rests on. Shares are said as classes first: the machine's numbers are assumed. */
import type { Farm } from '../model/farm.ts';
import { arrivalOf, fieldOf, harvestOf, machineOf } from '../model/lookups.ts';
import type { Range } from '../model/range.ts';
import { type Display, formatNumber, formatQuantity, formatRange } from '../units/format.ts';
import { capital } from '../units/words.ts';
import type { ToldTrace, TracePart, TracePartId } from './seed-trace.ts';

/** What of these results nobody has measured; said wherever a number hangs on it. */
export const UNMEASURED =
  'Nobody has measured how long weed seed stays in a combine or how much of it lodges: these are assumed, from mild to harsh. Read shares as more or less, not as counts.';

const MOST_FALLS = 4;
const LEAST_FALL = 0.001;

const CLASSES: readonly (readonly [least: number, words: string])[] = [
  [0.9, 'nearly all'],
  [0.5, 'most'],
  [0.2, 'a good part'],
  [0.05, 'some'],
  [0.01, 'a little'],
  [0, 'hardly any'],
];

/** A share as a class: nearly all from 90 %, most from 50, a good part from 20, some from 5, a little from 1. *Assumed*, ours. */
export function shareClass(share: number): string {
  return CLASSES.find(([least]) => share >= least)![1];
}

/** "20% (5 to 40%)", "under 1%". */
export function shareText({ low, central, high }: Range): string {
  if (low === null || central === null || high === null) return 'an unknown share';
  const [from, likely, to] = [percentText(low), percentText(central), percentText(high)];
  return from === to ? `${likely}%` : `${likely}% (${from} to ${to}%)`;
}

function percentText(share: number): string {
  return share > 0 && share < 0.01 ? 'under 1' : formatNumber(100 * share, 0);
}

/** "some (20%, 5 to 40%)". */
function classText(range: Range): string {
  if (range.central === null) return 'an unknown share';
  const text = shareText(range).replace(' (', ', ').replace(')', '');
  return `${shareClass(range.central)} (${text})`;
}

const PARTS: Readonly<Record<TracePartId, (trace: ToldTrace, other: string) => string>> = {
  'shed before': () => 'fell before harvest, where it stood',
  header: () => 'fell at the header, where it stood',
  landed: ({ name }) => `went through the machine and came down on ${name}`,
  'left standing': () => 'stayed on plants that were not cut',
  outside: () => 'fell beyond the field',
  'grain tank': () => 'went into the grain tank',
  destroyed: () => 'was destroyed by the mill',
  'rode on': () => 'rode on in the machine',
  'grown here': () => 'grew on this ground itself',
  'grown on': ({ name }) => `grew elsewhere on ${name}`,
  'carried in': (_, other) => `came in from ${other}`,
  arrived: () => 'was aboard already when the machine came to the farm',
};

export function partWords(trace: ToldTrace, { id, field }: Pick<TracePart, 'id' | 'field'>, farm: Farm): string {
  return PARTS[id](trace, field === null ? '' : fieldOf(farm, field).name);
}

/** "within 60 ft of the place", "in the drawn ground". */
export function groundWords({ ground }: Pick<ToldTrace, 'ground'>, display: Display): string {
  return 'area' in ground
    ? 'on the chosen ground'
    : `within ${formatQuantity(ground.radiusM, 'length', display, 0)} of the place`;
}

/** The distance that holds most of what stayed on the field, and the share within it; null where nothing did. */
export function tellingDistance({ within }: Pick<ToldTrace, 'within'>): ToldTrace['within'][number] | null {
  const all = within.at(-1)?.share.central ?? null;
  if (all === null || all === 0) return null;
  return within.find((one) => one.share.central! >= 0.75 * all) ?? null;
}

/** Up to the one that holds all that stayed on the field. */
export function tellingDistances({ within }: Pick<ToldTrace, 'within'>): ToldTrace['within'] {
  const all = within.at(-1)?.share.central ?? 0;
  const last = within.findIndex((one) => (one.share.central ?? 0) >= 0.985 * all);
  return all === 0 ? [] : within.slice(0, last + 1);
}

/** One sentence with two or three numbers, without its full stop. */
export function traceFinding(trace: ToldTrace, farm: Farm): string {
  const { display } = farm;
  const { seeds, way, name } = trace;
  const where = groundWords(trace, display);
  if (seeds.central === null || seeds.high < 1)
    return way === 'to' ? `No weed seed lies ${where}, in any case` : `No weed seed grew ${where}, in any case`;
  const seedText = formatRange(rough(seeds), 'seed count', display);
  const telling = tellingDistance(trace);
  const near = telling && {
    share: classText(telling.share),
    distance: formatQuantity(telling.distanceM, 'length', display, 0),
  };
  if (way === 'to') {
    const foreign = largest(trace, ['carried in', 'arrived']);
    const grew = near
      ? `${near.share} grew on ${name} within ${near.distance} of it`
      : `none is known to have grown on ${name}`;
    const came = foreign ? `; ${classText(foreign.share)} ${partWords(trace, foreign, farm)}` : '';
    return `Of the weed seed ${where} (${seedText}), ${grew}${came}`;
  }
  const rode = largest(trace, ['rode on']);
  const [after] = trace.fellOn;
  const onto = after ? `, most of that to ${fieldOf(farm, mostFellOn(trace)).name}` : '';
  const landed = near ? `${near.share} came down within ${near.distance} of it` : `none came down on ${name}`;
  return `Of the weed seed that grew ${where} (${seedText}), ${landed}${rode ? `; ${classText(rode.share)} rode on${onto}` : ''}`;
}

/** The fields on which most of what rode on came down, the most first; and how many more got too little to tell. */
export function tellingFalls({ fellOn }: Pick<ToldTrace, 'fellOn'>): {
  readonly falls: ToldTrace['fellOn'];
  readonly more: number;
} {
  const falls = [...fellOn]
    .sort((a, b) => (b.share.high ?? 0) - (a.share.high ?? 0))
    .filter((one, index) => index === 0 || (index < MOST_FALLS && (one.share.high ?? 0) >= LEAST_FALL));
  return { falls, more: fellOn.length - falls.length };
}

function mostFellOn({ fellOn }: ToldTrace): string {
  return fellOn.reduce((a, b) => ((b.share.central ?? 0) > (a.share.central ?? 0) ? b : a)).field;
}

function largest({ parts }: ToldTrace, ids: readonly TracePartId[]): TracePart | null {
  const those = parts.filter((one) => ids.includes(one.id) && (one.share.central ?? 0) > 0);
  return those.length === 0 ? null : those.reduce((a, b) => (b.share.central! > a.share.central! ? b : a));
}

/** What the answer rests on and leaves out. */
export function traceNotes(trace: ToldTrace, farm: Farm): readonly string[] {
  const { field, season, name, way } = trace;
  const machine = harvestOf(farm, field, season).machine;
  const described = machineOf(farm, machine);
  const notes: string[] = [];
  if (trace.assumedPath)
    notes.push(`Assumed path: no log of ${name}; the strips are driven both ways, and this is the mean of the two.`);
  if (!trace.looked) notes.push(`Nobody looked at ${name}: its own seed is unknown and not in this.`);
  else if (trace.even)
    notes.push(
      `What is known of ${name} spreads its weeds evenly: this tells how the machine moves seed, not where plants stood.`,
    );
  if (!trace.orderKnown)
    notes.push(
      way === 'to'
        ? `On which day ${name} was cut is not known, so what rode in is left out.`
        : `On which day ${name} was cut is not known, so where the seed rode on to is not told.`,
    );
  else if (way === 'to') notes.push(arrivalWords(farm, machine, season));
  notes.push(UNMEASURED);
  if (described?.chaffWidthM === undefined)
    notes.push('How wide this machine spreads its chaff is not said: a usual share of the header’s width is assumed.');
  return notes;
}

/** What the machine brought to the farm, and whether somebody said it. */
export function arrivalWords(farm: Farm, machine: string, season: number): string {
  const { load, said } = arrivalOf(farm, machine, season);
  const name = capital(machineOf(farm, machine)?.name ?? 'the combine');
  if (!said) return `${name} is taken to have come clean to its first field of ${season}: nobody said otherwise.`;
  if (load === 'clean') return `${name} came clean to its first field of ${season}.`;
  if (load === 'unknown')
    return `Whether ${name} came clean is not known: none is aboard in the mild and most likely case, as much as from an infested field in the harsh one.`;
  if ('seeds' in load) return `${name} came with seed aboard, by the number that was typed.`;
  return `${name} came from an infested field: how much it held is assumed, from mild to harsh.`;
}

/** Seeds are known to two figures at best. */
function rough({ low, central, high }: Range): Range {
  const two = (seeds: number) => (seeds < 10 ? Math.round(seeds) : Number(seeds.toPrecision(2)));
  return central === null || low === null || high === null
    ? { low: null, central: null, high: null }
    : { low: two(low), central: two(central), high: two(high) };
}
