/** Decides once, from columns and first values, how the rows of a harvest log are read; every decision is told. */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import { listed, sampleOf, unitSystem } from './columns.ts';
import type { FoundColumn, FoundColumns } from './columns.ts';
import type { Table } from './csv.ts';
import { findDayOrder, readDay } from './dates.ts';
import { flowUnit } from './harvest-log-columns.ts';
import type { HeaderRule, RecordingRule, RowRules } from './harvest-log-rows.ts';
import { explainStates } from './header-state.ts';
import type { ReadingWishes } from './importer.ts';
import { lacking } from './table.ts';
import { findTimeForm, type TimeForm, timeNotes, TimeReader } from './times.ts';

/** "column<40" or "column=value": a column with what belongs to it, as a person says it. */
export function splitWish(
  wish: string,
  header: readonly string[],
): { column: string; sign: string | null; value: string } {
  if (header.includes(wish) || wish.startsWith('=')) return { column: wish, sign: null, value: '' };
  const match = /^(.*?)\s*([<=])\s*(.*)$/.exec(wish);
  return match ? { column: match[1]!, sign: match[2]!, value: match[3]! } : { column: wish, sign: null, value: '' };
}

/** The wishes with such endings taken off, for finding the columns. */
export function plainWishes(wishes: ReadingWishes, header: readonly string[]): ReadingWishes {
  if (!wishes.columns) return wishes;
  const columns = Object.fromEntries(
    Object.entries(wishes.columns).map(([id, wish]) => [id, splitWish(wish, header).column]),
  );
  return { ...wishes, columns };
}

const cellsOf = (table: Table, column: FoundColumn) => table.sample.map((row) => (row[column.index] ?? '').trim());

/** No crop grows beyond this latitude: values beyond it in a latitude column are longitudes. Common practice, no source. */
const FARTHEST_CROP_DEG = 72;

/** Exchanges longitude and latitude where the values show that the names are swapped; tells it. */
export function untwistPositions(table: Table, found: FoundColumns, problems: Problem[]): void {
  const { lon, lat } = found;
  if (!lon || !lat) return;
  const [lons, lats] = [sampleOf(table, lon.index), sampleOf(table, lat.index)];
  if (!(
    Math.abs(lats.median) > FARTHEST_CROP_DEG &&
    Math.abs(lons.median) <= FARTHEST_CROP_DEG &&
    Math.abs(lats.median) <= 180
  ))
    return;
  if (lon.by === 'person' || lat.by === 'person') return;
  found.lon = { ...lat, because: `named "${lat.column}", but values like ${lats.median} are longitudes` };
  found.lat = { ...lon, because: `named "${lon.column}", but values like ${lons.median} are latitudes` };
  problems.push(
    problem(
      'warning',
      'positions-swapped',
      `Latitude and longitude are swapped: "${lat.column}" holds values like ${lats.median} and is taken as longitude.`,
      {
        where: { file: table.name, column: lat.column },
        hint: 'Look at the map; if it is wrong, say which column is which.',
      },
    ),
  );
}

/** Says that positions are no degrees, or null. */
export function projectedPositions(table: Table, found: FoundColumns): Problem | null {
  const [lons, lats] = [sampleOf(table, found.lon!.index), sampleOf(table, found.lat!.index)];
  if (!(Math.abs(lons.median) > 180 || Math.abs(lats.median) > 90)) return null;
  return problem(
    'error',
    'positions-not-degrees',
    `Positions like ${lons.median}, ${lats.median} are no longitude and latitude in degrees.`,
    {
      where: { file: table.name, column: found.lon!.column },
      hint: 'Export the table with longitude and latitude (WGS 84).',
    },
  );
}

/** A bare "mass" is mass flow where its unit or nothing at all is known; told. */
export function settleMass(table: Table, found: FoundColumns, problems: Problem[]): void {
  const mass = found.mass;
  if (!mass || mass.by === 'person' || mass.unit !== null) return;
  if (found.flow || found.yield) {
    found.mass = undefined;
    return;
  }
  const guess = flowUnit(sampleOf(table, mass.index), unitSystem(Object.values(found).map((one) => one?.unit)));
  found.flow = {
    ...mass,
    unit: guess.unit,
    because: `"${mass.column}" without a unit is taken as mass flow; ${guess.unit}: ${guess.because}`,
  };
  found.mass = undefined;
  problems.push(
    problem(
      'warning',
      'mass-or-flow',
      `"${mass.column}" is taken as mass flow in ${guess.unit}, not as the mass of a record.`,
      {
        where: { file: table.name, column: mass.column },
        hint: 'If it is the mass of each record, say so (quantity "mass") and give its unit.',
      },
    ),
  );
}

function headerRule(table: Table, found: FoundColumns, wishes: ReadingWishes, problems: Problem[]): HeaderRule {
  const where = { file: table.name };
  if (found.headerState) {
    const { usable, because } = explainStates(cellsOf(table, found.headerState));
    if (usable) {
      found.headerState = { ...found.headerState, because: `${found.headerState.because}; ${because}` };
      return { words: found.headerState };
    }
    problems.push(
      problem(
        'warning',
        'header-state-unknown',
        `Column "${found.headerState.column}" is not used for the header: ${because}.`,
        { where: { ...where, column: found.headerState.column } },
      ),
    );
    found.headerState = undefined;
  }
  if (found.headerHeight) {
    const { sign, value } = splitWish(wishes.columns?.headerHeight ?? '', table.header);
    const limit = sign === '<' ? Number(value) : NaN;
    if (Number.isFinite(limit)) return { height: found.headerHeight, limit };
    problems.push(
      problem(
        'note',
        'header-limit-missing',
        `"${found.headerHeight.column}" is the header's height, but not above which height it is up: all records are taken as worked.`,
        {
          where: { ...where, column: found.headerHeight.column },
          hint: `Say the limit: headerHeight = "${found.headerHeight.column}<40".`,
        },
      ),
    );
    return null;
  }
  problems.push(
    problem('note', 'no-header-state', 'No column says whether the header was down: all records are taken as worked.', {
      where,
    }),
  );
  return null;
}

function recordingRule(table: Table, found: FoundColumns, wishes: ReadingWishes): RecordingRule {
  if (!found.recording) return null;
  // A bare "machine" of numbers is as often a state as a machine's number.
  const isState = /^machine$/i.test(found.recording.column) && found.recording.by === 'guess';
  if (isState && cellsOf(table, found.recording).every((text) => text === '' || Number.isFinite(Number(text)))) {
    found.recording = undefined;
    return null;
  }
  const { sign, value } = splitWish(wishes.columns?.recording ?? '', table.header);
  return { column: found.recording, only: sign === '=' ? value : null };
}

/** What a machine logs beside the yield: tells a log without a clock from a yield map. */
export const LOGGED_BESIDE: readonly string[] = ['distance', 'speed', 'duration', 'heading', 'headerState', 'swath'];

/** How rows are read, or the problems that make it impossible. */
export function findRules(
  table: Table,
  found: FoundColumns,
  wishes: ReadingWishes,
): { rules: RowRules | null; problems: Problem[] } {
  const problems: Problem[] = [];
  const file = table.name;
  const offset = wishes.utcOffsetMinutes ?? 0;
  const recording = recordingRule(table, found, wishes);
  const refuse = (what: string) => ({ rules: null, problems: [...problems, lacking(table, 'harvest log', what)] });
  if (!found.time && found.date) {
    found.time = found.date;
    found.date = undefined;
  }
  let time: RowRules['time'] = null;
  let date: RowRules['date'] = null;
  let day: RowRules['day'] = null;
  let timesAreMade = false;
  if (found.time) {
    const place = { file, column: found.time.column };
    const form = findTimeForm(cellsOf(table, found.time), place);
    if (!form)
      return refuse(
        `the values of "${found.time.column}" are no times (${listed(cellsOf(table, found.time).slice(0, 3))})`,
      );
    problems.push(...form.problems);
    found.time = { ...found.time, because: `${found.time.because}; ${form.form.kind}` };
    if (form.form.wholeDays) {
      timesAreMade = true;
      day = dayRule(found.time, form.form, offset);
    } else {
      time = { column: found.time, reader: new TimeReader(form.form, offset) };
      if (form.form.kind === 'clock' || (form.form.kind === 'seconds' && found.date))
        date = dateRule(table, found, form.form.kind, offset, problems);
      if (form.form.kind === 'clock' && !date)
        problems.push(
          problem(
            'warning',
            'no-date',
            `"${found.time.column}" gives the time of day, but no column gives the date: times start in 1970.`,
            { where: place },
          ),
        );
      if (!date) problems.push(...timeNotes(form.form, place, wishes.utcOffsetMinutes));
      if (date) problems.push(...timeNotes({ ...form.form, kind: 'date and clock' }, place, wishes.utcOffsetMinutes));
    }
  } else timesAreMade = true;
  if (!found.time && !found.sequence && !LOGGED_BESIDE.some((id) => found[id]))
    return refuse(
      'no column gives the time, and nothing that a machine logs beside the yield says that its rows are in the order of driving',
    );
  if (timesAreMade && found.section) {
    return refuse(
      `it has a row a header section ("${found.section.column}") and no time of day: rows of one moment cannot be put together`,
    );
  }
  const header = headerRule(table, found, wishes, problems);
  return { rules: { found, time, date, day, header, recording, timesAreMade }, problems };
}

/** Days of a column that gives no time of day. */
function dayRule(column: FoundColumn, form: TimeForm, utcOffsetMinutes: number): NonNullable<RowRules['day']> {
  const reader = new TimeReader(form, utcOffsetMinutes);
  const offsetS = form.kind.startsWith('unix') ? 0 : utcOffsetMinutes * 60;
  return { column, dayOf: (text) => Math.floor((reader.seconds(text) + offsetS) / 86_400) };
}

function dateRule(
  table: Table,
  found: FoundColumns,
  kind: string,
  utcOffsetMinutes: number,
  problems: Problem[],
): RowRules['date'] {
  if (!found.date) return null;
  const { order, problems: told } = findDayOrder(cellsOf(table, found.date), {
    file: table.name,
    column: found.date.column,
  });
  if (!cellsOf(table, found.date).some((text) => readDay(text, order) !== null)) return null;
  problems.push(...told);
  found.date = {
    ...found.date,
    because: `${found.date.because}; joined with the ${kind === 'clock' ? 'time of day' : 'seconds of the day'}`,
  };
  let last = '';
  let lastS = NaN;
  const dayS = (text: string) => {
    if (text !== last) {
      last = text;
      const day = readDay(text, order);
      lastS = day === null ? NaN : day * 86_400 - utcOffsetMinutes * 60;
    }
    return lastS;
  };
  return { column: found.date, dayS };
}
