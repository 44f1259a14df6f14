/** Scouting rounds as tables: a row a stop and species, or a row a stop with one column a species. Counts stay exactly as written. */
import { speciesIdOf } from '../agronomy/species-names.ts';
import { problem } from '../model/problem.ts';
import type { Observation } from '../model/records.ts';
import { dateOf, dayText } from '../units/calendar.ts';
import type { WantedColumn } from './columns.ts';
import { countOf, presenceOf } from './count-text.ts';
import type { Counted } from './count-text.ts';
import type { CellBlock } from './csv-cells.ts';
import { GROUND_COLUMNS, groundLookedAt } from './ground-looked-at.ts';
import { DATE_NAMES, LAT, LON } from './harvest-log-columns.ts';
import { projectedPositions, untwistPositions } from './harvest-log-rules.ts';
import type { Importer } from './importer.ts';
import { speciesColumns, speciesOfHeader } from './species-columns.ts';
import { headTable, kindScore } from './table.ts';
import { readTableRows, unitGuess, words } from './table-reading.ts';
import type { Lack, RowTaker, TableReading } from './table-reading.ts';

const HEIGHT_UNIT: NonNullable<WantedColumn['unitFromValues']> = (sample, system) =>
  system === 'us'
    ? unitGuess('in', 'other columns are in US units', false)
    : sample.max > 300
      ? unitGuess('mm', `values up to ${sample.max}`, false)
      : unitGuess('cm', `values up to ${sample.max}`, false);

const WANTED: readonly WantedColumn[] = [
  LON,
  LAT,
  { id: 'date', title: 'the date', names: [...DATE_NAMES, 'datetime', 'time', 'timestamp'] },
  {
    id: 'species',
    title: 'the species',
    names: words('species weedspecies weed speciescode speciesname weedname eppo eppocode weedcode latin latinname'),
  },
  {
    id: 'count',
    title: 'the count',
    names: words(
      'count plants counted plantcount weedcount numberofplants nplants plantscounted number weeds counts n plantsperquadrat',
    ),
  },
  {
    id: 'present',
    title: 'presence',
    names: words('present presence presentabsent presenceabsence found seen detected weedpresent'),
  },
  ...GROUND_COLUMNS,
  {
    id: 'height',
    title: 'height',
    names: words('height tallest plantheight weedheight maxheight heightmax tallestplant'),
    quantity: 'length',
    unitFromValues: HEIGHT_UNIT,
  },
  {
    id: 'accuracy',
    title: 'accuracy of the position',
    names: words('accuracy gpsaccuracy horizontalaccuracy positionaccuracy positionerror'),
    quantity: 'length',
    unitFromValues: () => unitGuess('m', 'the usual unit', true),
  },
];

export const scoutingImporter: Importer = {
  id: 'scouting-table',
  title: 'Scouting round (CSV)',
  columns: () => WANTED,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    if (!table) return 0;
    const score = kindScore(table, WANTED, [
      ['lon'],
      ['lat'],
      ['count', 'present'],
      ['area', 'rowLength', 'species', 'date'],
    ]);
    if (score >= 0.5) return score;
    const wide = table.header.some((column) => speciesOfHeader(column) !== null);
    if (wide && kindScore(table, WANTED, [['lon'], ['lat'], ['area', 'rowLength', 'date']]) >= 0.5) return 0.7;
    // A round that lost its positions is taken, so that reading can say what is lacking.
    const counts = wide || kindScore(table, WANTED, [['count'], ['species']]) >= 0.5;
    return counts && kindScore(table, WANTED, [['date', 'area', 'rowLength']]) >= 0.5 ? 0.5 : score;
  },
  *read(bundle, wishes) {
    return yield* readTableRows(this.id, 'scouting', bundle, wishes, WANTED, takeScouting);
  },
};

interface CountColumn {
  readonly index: number;
  readonly column: string;
  readonly species: string | null;
  readonly presence: boolean;
}

function countColumns(reading: TableReading): CountColumn[] | Lack {
  const { found } = reading;
  const wide = found['species'] ? [] : speciesColumns(reading);
  if (wide.length > 0) {
    reading.note(
      'note',
      'species-by-column',
      `One column a species: ${wide.map(({ column, species }) => `"${column}" is ${species}`).join(', ')}. Blank cells mean not counted.`,
    );
    return wide.map((one) => ({ ...one, presence: false }));
  }
  const counted = found['count'] ?? found['present'];
  if (!counted) return { what: 'no column gives a count or presence' };
  if (!found['species'])
    return {
      what: 'no column gives the species',
      hint: 'Say the column, or one species for all: species = "=waterhemp", or "=pigweed" if pigweeds were not told apart.',
    };
  return [{ index: counted.index, column: counted.column, species: null, presence: counted === found['present'] }];
}

function takeScouting(reading: TableReading): RowTaker | Lack | { refusal: ReturnType<typeof problem> } {
  const { found, table, wishes } = reading;
  if (!found['lon'] || !found['lat']) return { what: 'no column gives the position' };
  const doubts: ReturnType<typeof problem>[] = [];
  untwistPositions(table, found, doubts);
  reading.problems.addAll(doubts);
  const projected = projectedPositions(table, found);
  if (projected) return { refusal: projected };
  const days = reading.day('date');
  if (!days)
    return { what: 'no column gives the date', hint: 'Say the column, or one date for all: date = "=2026-06-10".' };
  const columns = countColumns(reading);
  if ('what' in columns) return columns;
  const ground = groundLookedAt(reading);
  if ('what' in ground) return ground;
  const [lon, lat] = [reading.number('lon', 'longitude')!, reading.number('lat', 'latitude')!];
  const [height, accuracy] = [reading.number('height', 'height'), reading.number('accuracy', 'accuracy')];
  const observations: Observation[] = [];
  let outOfSeason = 0;

  const take = (cells: CellBlock, row: number): boolean => {
    const at = [lon.read(cells, row), lat.read(cells, row)] as const;
    if (!(Math.abs(at[0]) <= 180 && Math.abs(at[1]) <= 90) || (at[0] === 0 && at[1] === 0)) {
      const seen = `${cells.text(row, found['lon']!.index) || 'nothing'}, ${cells.text(row, found['lat']!.index) || 'nothing'}`;
      reading.tell(
        'warning',
        'position-missing',
        `the position (${seen}) is missing or nowhere on a farm; the row is not used`,
        cells,
        row,
        found['lon'],
      );
      return false;
    }
    const day = days.read(cells, row);
    if (day === null) {
      reading.tell('warning', 'date-missing', 'there is no date; the row is not used', cells, row, found['date']);
      return false;
    }
    if (wishes.season !== undefined && dateOf(day).year !== wishes.season) {
      outOfSeason++;
      reading.tell(
        'warning',
        'date-out-of-season',
        `${dayText(day)} is not in the season ${wishes.season}`,
        cells,
        row,
        found['date'],
        'Correct the date or the season; the row is kept as written.',
      );
    }
    const effortM2 = ground(cells, row);
    if (effortM2 === null) return false;
    const more = {
      ...optional('heightMm', height ? height.read(cells, row) * 1000 : NaN),
      ...optional('accuracyM', accuracy ? accuracy.read(cells, row) : NaN),
    };
    let used = false;
    for (const column of columns) {
      const species = column.species ?? rowSpecies(reading, cells, row);
      if (species === null) continue;
      const count = readCount(reading, column, cells, row, columns.length > 1 || column.species !== null);
      if (count === null) continue;
      observations.push({ at, on: dayText(day), species, effortM2, count, ...more, row: cells.line(row) });
      used = true;
    }
    return used;
  };
  const finish = () => {
    if (observations.length === 0) return null;
    if (outOfSeason === observations.length)
      reading.note(
        'warning',
        'season-wrong',
        `No date of ${table.name} is in the season ${wishes.season}.`,
        found['date'],
      );
    const [lons, lats] = [observations.map((one) => one.at[0]), observations.map((one) => one.at[1])];
    const least = (values: number[]) => values.reduce((a, b) => Math.min(a, b));
    const most = (values: number[]) => values.reduce((a, b) => Math.max(a, b));
    return {
      kind: 'scouting' as const,
      observations,
      bounds: [least(lons), least(lats), most(lons), most(lats)] as const,
    };
  };
  return { take, finish };
}

function optional(key: string, value: number): Record<string, number> {
  return value > 0 ? { [key]: value } : {};
}

function rowSpecies(reading: TableReading, cells: CellBlock, row: number): string | null {
  const text = reading.text(cells, row, 'species');
  const species = speciesIdOf(text);
  if (species) return species;
  const what = text === '' ? 'the species is missing' : `the species "${text.slice(0, 40)}" is not known here`;
  reading.tell(
    'warning',
    'species-unknown',
    `${what}; the row is not used`,
    cells,
    row,
    reading.found['species'],
    'Use an EPPO code, a common or a Latin name; "pigweed" if pigweeds were not told apart.',
  );
  return null;
}

function readCount(
  reading: TableReading,
  column: CountColumn,
  cells: CellBlock,
  row: number,
  blankIsQuiet: boolean,
): Counted | null {
  const text = cells.text(row, column.index);
  const where = { ...reading.found['count']!, column: column.column };
  const { decimal } = reading.table;
  let read = column.presence ? presenceOf(text, decimal) : countOf(text, decimal);
  if (read === null && column.species === null && !column.presence)
    read = presenceOf(reading.text(cells, row, 'present'), decimal);
  if (read === null) {
    if (!blankIsQuiet)
      reading.tell(
        'warning',
        'count-missing',
        'nothing is written for the count; the row is not used',
        cells,
        row,
        where,
        'Write 0 where nothing was found.',
      );
    return null;
  }
  if (read === 'unreadable') {
    reading.tell('error', 'not-a-count', `"${text.slice(0, 40)}" is no count; it is not used`, cells, row, where);
    return null;
  }
  const number = typeof read === 'number' ? read : 'atLeast' in read ? read.atLeast : 0;
  if (number < 0) {
    reading.tell(
      'error',
      'count-negative',
      `the count is ${text}; a count cannot be negative, it is not used`,
      cells,
      row,
      where,
    );
    return null;
  }
  if (!Number.isInteger(number))
    reading.tell(
      'warning',
      'count-fractional',
      `the count is ${text}, not a whole number; kept as written`,
      cells,
      row,
      where,
      'Is it a density or a mean?',
    );
  return read;
}
