import { speciesOf } from '../../../shared/agronomy/species.ts';
import { speciesIdOf } from '../../../shared/agronomy/species-names.ts';
import { type LookNext, lookedInWords, lookNext, type LookNextAsk } from '../../../shared/analysis/look-next.ts';
import { csvText } from '../../../shared/export/csv.ts';
import { settlesInWords, stopRows, stopsAsGpx, stopsTable } from '../../../shared/hand-over/stop-files.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { speciesOf as speciesOfFarm, studySeason } from '../../../shared/model/lookups.ts';
import { PRECISION_SOURCE, precisionInWords, USUAL_PRECISION } from '../../../shared/scouting/precision-words.ts';
import { USUAL_HOURS, USUAL_STOP_TIMES } from '../../../shared/scouting/stop-plan.ts';
import { stopsNeeded } from '../../../shared/scouting/stops-needed.ts';
import { dayNumber, dayText } from '../../../shared/units/calendar.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import type { Command } from '../command.ts';
import { openOrTell, resultsOf } from '../opened.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson } from '../print.ts';

const USUAL_STOPS = 5;

export const stopsCommand: Command = {
  name: 'stops',
  words: 'FARM',
  summary: 'where to look next, for a field or for the farm within so many hours',
  more: `Stops are chosen for what they would settle: ground on which treating or not could still turn out wrong. Fields that nobody looked at come first; fields inside a re-entry interval stay out. How many stops a field's mean takes for a wanted precision is told beside them, by a handbook's formula. A stop takes ${USUAL_STOP_TIMES.stopMin} minutes and reaching a field ${USUAL_STOP_TIMES.arriveMin} (common practice, no source).`,
  examples: ['stops my-farm --hours 6 --on 2026-06-12 --out stops.gpx', 'stops my-farm --field west --most 8'],
  options: [
    { name: 'on', value: 'DATE', help: 'the day of the walk (2026-06-12): which fields are closed then' },
    { name: 'hours', value: 'N', help: `time for the whole farm; ${USUAL_HOURS} if neither this nor a field is given` },
    { name: 'field', value: 'ID', help: 'this field alone' },
    { name: 'most', value: 'N', help: `stops on that field; ${USUAL_STOPS} if not given` },
    {
      name: 'precision',
      value: 'PERCENT',
      help: `how near the mean should be known: standard error as a share of it; ${100 * USUAL_PRECISION} if not given`,
    },
    { name: 'weed', value: 'NAME', help: 'EPPO code, common or Latin name; else the farm’s first weed' },
    { name: 'out', value: 'PATH', help: 'file to write: .gpx waypoints and a route, or .csv' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const given = (name: string) => options[name]?.[0];
    const ask = askOf(farm, given);
    const out = given('out');
    const precision = Number(given('precision') ?? 100 * USUAL_PRECISION) / 100;
    const isFile = out === undefined || /\.(gpx|csv)$/i.test(out);
    const isPrecision = precision >= 0.01 && precision <= 1;
    if (typeof ask === 'string' || !isFile || !isPrecision) {
      host.err(`${typeof ask === 'string' ? ask : isFile ? PRECISION : OUT}\n`);
      return 2;
    }
    const { result, keep } = resultsOf(host, store);
    const plan = lookNext(farm, ask, result);
    keep();
    const weed = speciesOf(ask.species).name;
    const rows = stopRows(plan.fields);
    if (out !== undefined && rows.length > 0) {
      const text = /\.gpx$/i.test(out)
        ? stopsAsGpx(`${farm.name}: where to look next`, rows, weed, farm.display)
        : csvText(stopsTable(rows, weed, farm.display));
      host.write(out, new TextEncoder().encode(text));
    }
    if (json) printJson(host, { ...plan, stopsNeeded: neededOf(plan, precision) });
    else print(host, plan, farm, weed, precision, out);
    return rows.length > 0 ? 0 : 1;
  },
};

const OUT = 'The file to write ends in .gpx or .csv.';
const PRECISION = '--precision is a per cent from 1 to 100: the standard error as a share of the mean.';

/** Stops that each field's mean takes in all; null where no plant was counted. */
function neededOf(plan: LookNext, relativeError: number) {
  const fields = plan.counted.map(({ field, spread }) => ({
    field,
    stops: spread && stopsNeeded(spread.meanCount, spread.k ?? Infinity, relativeError),
  }));
  return { relativeError, fields };
}

/** What was asked for, or what is wrong with it. */
function askOf(farm: Farm, given: (name: string) => string | undefined): LookNextAsk | string {
  const season = studySeason(farm);
  const [first] = speciesOfFarm(farm);
  const weed = given('weed');
  const species = weed === undefined ? first : speciesIdOf(weed);
  if (season === null || species === undefined) return 'No weed is on record yet: rate a field, or add counts.';
  if (species === null || !speciesOfFarm(farm).includes(species))
    return `The farm has no weed "${weed}"; it has ${speciesOfFarm(farm).join(', ')}.`;
  const day = dayNumber(given('on') ?? '');
  if (day === null) return 'Say the day of the walk: --on 2026-06-12. Re-entry intervals hang on it.';
  const field = given('field');
  if (field !== undefined) {
    if (!farm.fields.some((one) => one.id === field && one.ours))
      return `The farm has no field with the id "${field}"; its ids are ${farm.fields.map((one) => one.id).join(', ')}.`;
    const stops = Number(given('most') ?? USUAL_STOPS);
    if (!Number.isInteger(stops) || stops < 1) return `--most is a whole number from 1, not "${given('most')}".`;
    return { season, species, day, within: { field, stops } };
  }
  const hours = Number(given('hours') ?? USUAL_HOURS);
  if (!(hours > 0 && hours <= 100)) return `--hours is a number above 0 and up to 100, not "${given('hours')}".`;
  return { season, species, day, within: { budgetMin: 60 * hours, ...USUAL_STOP_TIMES } };
}

function print(host: Host, plan: LookNext, farm: Farm, weed: string, precision: number, out: string | undefined): void {
  const { display } = farm;
  const say = (text: string, indent = '') => host.out(paragraph(text, indent));
  if (plan.fields.length > 0) say(`Where to look next for ${weed}, about ${Math.round(plan.minutes)} minutes in all:`);
  for (const field of plan.fields) {
    const before = lookedInWords(field);
    say(
      `${field.name}: ${field.stops.length} stop${field.stops.length === 1 ? '' : 's'}, ${before}; walk ${formatQuantity(field.walkM, 'length', display)}.`,
    );
    for (const stop of field.stops) {
      const [lon, lat] = stop.at;
      host.out(
        `  ${String(stop.order).padStart(2)}  ${lat.toFixed(6)}, ${lon.toFixed(6)}  ${settlesInWords(stop, display)}\n`,
      );
    }
    for (const day of field.entryUnknown)
      say(
        `Sprayed on ${dayText(day)}, and no re-entry interval is on record: read the label before anyone enters.`,
        '  ',
      );
  }
  for (const one of plan.leftOut) {
    if (one.because === 'closed')
      say(`${one.name} is closed (${one.closedBy}); it opens on ${dayText(one.opensDay!)}.`);
    else if (one.because === 'nothing to settle') say(`${one.name}: no further stop would change what to do there.`);
    else say(`${one.name}: no time left for it.`);
  }
  say(`How many stops the mean takes (n = (1/m + 1/k) / D²; ${PRECISION_SOURCE})`);
  for (const one of plan.counted) {
    const { finding, working } = precisionInWords(one, precision, display);
    say(`${one.name}: ${finding}.${plan.counted.length === 1 ? ` ${working.join(' ')}` : ''}`, '  ');
  }
  if (out !== undefined && plan.fields.length > 0) host.out(`Wrote the stops to ${out}.\n`);
  say('The product label and local rules say when a field may be entered; this list does not.');
}
