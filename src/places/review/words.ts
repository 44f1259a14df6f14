/** What the review says: pure sentences from what was read. */
import type { ColumnChoice } from '../../../shared/analysis/review-columns.ts';
import type { ReviewFacts } from '../../../shared/analysis/review-facts.ts';
import type { FileKind } from '../../../shared/model/records.ts';
import { instantText } from '../../../shared/units/calendar.ts';
import {
  type Display,
  formatDistance,
  formatNumber,
  formatQuantity,
  shownUnit,
  usualDigits,
} from '../../../shared/units/format.ts';
import { fromSI, isUnit, type Quantity, toSI, type UnitId, UNITS } from '../../../shared/units/units.ts';
import { capital, counted, fewListed, listed } from '../../../shared/units/words.ts';
import { weedName } from '../telling/weed-words.ts';

export const KIND_WORDS: Readonly<Record<FileKind, string>> = {
  boundaries: 'field boundaries',
  'drawn patches': 'drawn weed patches',
  scouting: 'a scouting round',
  ratings: 'ratings of fields',
  'harvest log': 'a harvest log',
  weather: 'daily weather',
  crops: 'a crop plan',
  sprayings: 'a spray record',
  track: 'a walked track',
};

/** What a drop comes to, as a heading. @param summaries of the files that can be added, in the order of taking */
export function headline(files: number, summaries: readonly string[]): string {
  if (files === 0) return 'There is nothing to add in what was dropped';
  if (summaries.length === 0) {
    return files === 1 ? 'This file cannot be added as it is' : `None of these ${files} files can be added as they are`;
  }
  const things = fieldsTogether(summaries);
  const told = fewListed(things, 3);
  if (files === 1) return `This file brings ${told}`;
  return summaries.length === files
    ? `${counted(files, 'file')} bring ${told}`
    : `${formatNumber(summaries.length, 0)} of ${counted(files, 'file')} can be added: ${told}`;
}

/** "8 fields" and "6 fields" of two files are 14 fields. */
function fieldsTogether(summaries: readonly string[]): string[] {
  const fields = summaries.flatMap((one) => /^([\d,]+) fields?$/.exec(one)?.[1] ?? []);
  const rest = summaries.filter((one) => !/^[\d,]+ fields?$/.test(one));
  const sum = fields.reduce((all, one) => all + Number(one.replaceAll(',', '')), 0);
  return sum > 0 ? [counted(sum, 'field'), ...rest] : rest;
}

export function sizeText(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  return bytes < 1e6 ? `${formatNumber(bytes / 1e3, 0)} kB` : `${formatNumber(bytes / 1e6, bytes < 1e7 ? 1 : 0)} MB`;
}

/** What the file holds, a line each. */
export function factLines(facts: ReviewFacts, display: Display): string[] {
  switch (facts.kind) {
    case 'boundaries':
      return [`${counted(facts.features, 'field')}, together ${formatQuantity(facts.areaM2, 'area', display)}.`];
    case 'drawn patches':
      return [
        `${counted(facts.features, 'patch', 'patches')}, together ${formatQuantity(facts.areaM2, 'area', display)}.`,
      ];
    case 'scouting':
      return [
        `${counted(facts.observations, 'observation')}${between(facts.firstDay, facts.lastDay)}.`,
        ...facts.species.map(
          (one) =>
            `${nameOf(one.species)}: found at ${formatNumber(one.withWeed, 0)} of ${counted(one.observations, 'place')}, ` +
            `on ${ground(one.effortM2, display)} looked at.`,
        ),
      ];
    case 'harvest log': {
      const dated = facts.firstS > 366 * 86_400;
      const times = !facts.hasClock
        ? dated
          ? `${between(dayOf(facts.firstS), dayOf(facts.lastS)).trim()}; the file has no time of day, the order of its records stands for it`
          : 'without a day and a clock; the order of its records stands for them'
        : dated
          ? `from ${minuteText(facts.firstS)} to ${minuteText(facts.lastS)} UTC`
          : `over ${formatNumber((facts.lastS - facts.firstS) / 3600, 1)} hours; the day is not in the file`;
      return [
        `${counted(facts.records, 'record')} ${times}.`,
        facts.crop === null ? 'The file does not say which crop it is.' : `The crop is ${facts.crop}.`,
      ];
    }
    case 'ratings':
      return [
        `${listed(Object.entries(facts.ratings).map(([rating, count]) => `${formatNumber(count, 0)} “${rating}”`))}.`,
      ];
    case 'weather':
      return [
        `${counted(facts.days, 'day')}${between(facts.firstDay, facts.lastDay)}${facts.station === null ? '' : `, station ${facts.station}`}.`,
      ];
    case 'crops':
      return [`${counted(facts.rows, 'row')} of ${listed(facts.years.map(String))}: ${listed(facts.crops)}.`];
    case 'track':
      return [
        `${formatDistance(facts.lengthM, display)} of track${between(facts.firstDay, facts.lastDay)}, ${counted(facts.waypoints, 'waypoint')}.`,
        ...(facts.stops > 0
          ? [
              `${counted(facts.stops, 'waypoint')} ${facts.stops === 1 ? 'is a stop' : 'are stops'} that went out: where to look, not what was found.`,
            ]
          : []),
        ...(facts.lengthM === 0
          ? []
          : [
              facts.widthM === null
                ? 'How wide a strip was looked over is not in the file: without it no area is told.'
                : `Looked over ${formatQuantity(facts.widthM, 'length', display)} wide: ${formatQuantity(facts.lengthM * facts.widthM, 'area', display)}.`,
            ]),
      ];
    case 'sprayings':
      return [`${counted(facts.rows, 'row')}: ${listed(facts.ingredients)}.`];
  }
}

export function nameOf(species: string): string {
  const name = weedName(species);
  return capital(name);
}

/** Small ground is said in ft² or m², not in acres. */
function ground(areaM2: number, display: Display): string {
  const unit = display === 'us' ? 'ft2' : 'm2';
  return `${formatNumber(fromSI(areaM2, unit), 0)} ${UNITS[unit].symbol}`;
}

function between(first: string | null, last: string | null): string {
  if (first === null || last === null) return '';
  return first === last ? ` on ${first}` : ` from ${first} to ${last}`;
}

const dayOf = (unixS: number) => instantText(unixS).slice(0, 10);

function minuteText(unixS: number): string {
  return instantText(unixS).slice(0, 16).replace('T', ' ');
}

/** What the first rows of a column come to in the units of the screen: a wrong unit shows here. */
export function readsAs({ id, sample, taken, quantity }: ColumnChoice, display: Display): string {
  if (!sample || !taken) return '';
  if (id === 'lon' || id === 'lat') return `${degrees(sample.min)} to ${degrees(sample.max)}`;
  const { unit } = taken;
  if (quantity === null || unit === undefined || !isUnit(unit)) {
    const of = [sample.min, sample.median, sample.max].map(plain);
    return spread(of, unit ?? '');
  }
  const shown = unitFor(quantity, display, toSI(sample.max, unit));
  const of = [sample.min, sample.median, sample.max].map((value) => plain(fromSI(toSI(value, unit), shown)));
  return spread(of, UNITS[shown].symbol);
}

/** The usual unit of the quantity, or a smaller one for what would be a fraction of it: quadrats, rain, plant heights. */
function unitFor(quantity: Quantity, display: Display, max: number): UnitId {
  if (quantity === 'area' && max < 1000) return display === 'us' ? 'ft2' : 'm2';
  if (quantity === 'length' && max < 1) return display === 'us' ? 'in' : max < 0.2 ? 'mm' : 'cm';
  return shownUnit(quantity, display);
}

function spread([min, median, max]: readonly string[], symbol: string): string {
  const unit = symbol === '' ? '' : ` ${symbol}`;
  return min === max ? `${median}${unit} throughout` : `around ${median}, from ${min} to ${max}${unit}`;
}

const degrees = (value: number) => value.toFixed(4).replace('-', '−');

function plain(value: number): string {
  const text = formatNumber(value, usualDigits(value));
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
