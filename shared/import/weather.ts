/** Daily weather of one station: highest and lowest temperature, rain. Days that are missing stay missing. */
import type { WeatherRecords } from '../model/records.ts';
import { dayText } from '../units/calendar.ts';
import { listed } from './columns.ts';
import type { UnitSystem, ValueSample, WantedColumn } from './columns.ts';
import type { CellBlock } from './csv-cells.ts';
import { DATE_NAMES } from './harvest-log-columns.ts';
import { splitWish } from './harvest-log-rules.ts';
import type { Importer, ReadingWishes } from './importer.ts';
import { headTable, kindScore } from './table.ts';
import { readTableRows, unitGuess, words } from './table-reading.ts';
import type { Lack, RowTaker, TableReading } from './table-reading.ts';
import { NumberColumn } from './table-rows.ts';

/** Beyond these no farm has seen weather, °C and mm a day: the world's highest is 56.7, the lowest of the United States −62.1 (memory). */
const HOTTEST_C = 57;
const COLDEST_C = -65;
const WETTEST_MM = 1300;

function temperatureUnit(sample: ValueSample, system: UnitSystem) {
  if (sample.max > HOTTEST_C) return unitGuess('F', `values up to ${sample.max} are no °C`, true);
  if (sample.min < -5 && sample.max < 50)
    return unitGuess('C', `values from ${sample.min} to ${sample.max}`, sample.count > 300);
  return system === 'us'
    ? unitGuess('F', 'other columns are in US units', false)
    : unitGuess('C', `values from ${sample.min} to ${sample.max}`, false);
}

function rainUnit(sample: ValueSample, system: UnitSystem) {
  if (sample.max > 15) return unitGuess('mm', `values up to ${sample.max} are no inches`, true);
  return system === 'us'
    ? unitGuess('in', 'temperatures are in °F', false)
    : unitGuess('mm', `values up to ${sample.max}`, system === 'metric' && sample.count > 300);
}

const WANTED: readonly WantedColumn[] = [
  { id: 'date', title: 'the date', names: [...DATE_NAMES, 'time', 'datetime', 'timestamp'] },
  {
    id: 'max',
    title: 'highest temperature',
    names: words(
      'tmax maxtemp maxtemperature tempmax temperaturemax maximumtemperature high highest hightemp temphigh airtempmax max maxairtemp maxt',
    ),
    quantity: 'temperature',
    unitFromValues: temperatureUnit,
  },
  {
    id: 'min',
    title: 'lowest temperature',
    names: words(
      'tmin mintemp mintemperature tempmin temperaturemin minimumtemperature low lowest lowtemp templow airtempmin min minairtemp mint',
    ),
    quantity: 'temperature',
    unitFromValues: temperatureUnit,
  },
  {
    id: 'rain',
    title: 'rain',
    names: words('rain rainfall precip precipitation prcp ppt prec precipitationsum raintotal totalrain'),
    parts: ['precip', 'rainfall'],
    quantity: 'length',
    unitFromValues: rainUnit,
  },
  { id: 'station', title: 'the station', names: words('station stationid stationname site siteid stn usaf ghcnd') },
];

export const weatherImporter: Importer = {
  id: 'weather-table',
  title: 'Daily weather (CSV)',
  columns: () => WANTED,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    return table ? kindScore(table, WANTED, [['date'], ['max', 'rain'], ['min', 'rain']]) : 0;
  },
  *read(bundle, wishes) {
    const { plain, station } = stationWish(wishes, headTable(bundle, firstBytes(bundle.parts[0]))?.header ?? []);
    return yield* readTableRows(this.id, 'weather', bundle, plain, WANTED, (reading) => takeWeather(reading, station));
  },
};

function firstBytes(part: { chunks(): Iterable<Uint8Array> } | undefined): Uint8Array {
  for (const chunk of part?.chunks() ?? []) if (chunk.length > 0) return chunk.subarray(0, 65_536);
  return new Uint8Array(0);
}

/** "station=IA0200" or plain "IA0200": which station; a column's name alone says only which column. */
function stationWish(
  wishes: ReadingWishes,
  header: readonly string[],
): { plain: ReadingWishes; station: string | null } {
  const wish = wishes.columns?.['station'];
  if (wish === undefined || wish === '' || wish === '-' || header.includes(wish))
    return { plain: wishes, station: null };
  const { column, sign, value } = splitWish(wish, header);
  const columns = { ...wishes.columns };
  if (sign === '=' && column !== '') columns['station'] = column;
  else delete columns['station'];
  return { plain: { ...wishes, columns }, station: sign === '=' ? value : wish };
}

interface Day {
  readonly day: number;
  readonly maxC: number;
  readonly minC: number;
  readonly rainMm: number;
  readonly line: number;
}

/** Rain as written: "T" is a trace, counted as 0. */
class RainColumn {
  traces = 0;
  constructor(
    private readonly numbers: NumberColumn,
    private readonly index: number,
  ) {}
  readMm(cells: CellBlock, row: number): number {
    if (this.index >= 0 && /^(t|trace)$/i.test(cells.text(row, this.index))) {
      this.traces++;
      return 0;
    }
    return this.numbers.read(cells, row) * 1000;
  }
}

function takeWeather(
  reading: TableReading,
  station: string | null,
): RowTaker | Lack | { refusal: ReturnType<typeof severalStations> } {
  const { found, table } = reading;
  const days = reading.day('date');
  if (!days) return { what: 'no column gives the date' };
  const max = reading.number('max', 'highest temperature');
  const min = reading.number('min', 'lowest temperature');
  const rainNumbers = reading.number('rain', 'rain');
  if (!max && !min && !rainNumbers) return { what: 'no column gives temperature or rain' };
  for (const [column, title] of [
    [max, 'highest temperature'],
    [min, 'lowest temperature'],
    [rainNumbers, 'rain'],
  ] as const) {
    if (!column)
      reading.note('warning', 'column-absent', `${table.name} has no column of ${title}: it is missing on all days.`);
  }
  const stations = stationsOf(reading);
  if (station === null && stations.size > 1) return { refusal: severalStations(reading, stations) };
  if (station !== null && !stations.has(station)) {
    return { what: `there is no station "${station}"; the file has ${listed([...stations.keys()])}` };
  }
  const rain = rainNumbers ? new RainColumn(rainNumbers, found['rain']!.index) : null;
  const list: Day[] = [];
  let others = 0;

  const possible = (
    value: number,
    least: number,
    most: number,
    what: string,
    id: string,
    cells: CellBlock,
    row: number,
  ): number => {
    if (!(value < least || value > most)) return value;
    const unit = found[id]!.unit ?? '';
    reading.tell(
      'warning',
      'weather-range',
      `${what} is ${cells.text(row, found[id]!.index)} ${unit === 'C' || unit === 'F' ? `°${unit}` : unit}, which cannot be; the value is left out`,
      cells,
      row,
      found[id],
    );
    return NaN;
  };
  const take = (cells: CellBlock, row: number): boolean => {
    if (station !== null && reading.text(cells, row, 'station') !== station) {
      others++;
      return false;
    }
    const day = days.read(cells, row);
    if (day === null) {
      reading.tell('warning', 'date-missing', 'there is no date; the row is not used', cells, row, found['date']);
      return false;
    }
    let maxC = possible(
      max ? max.read(cells, row) : NaN,
      COLDEST_C,
      HOTTEST_C,
      'the highest temperature',
      'max',
      cells,
      row,
    );
    let minC = possible(
      min ? min.read(cells, row) : NaN,
      COLDEST_C,
      HOTTEST_C,
      'the lowest temperature',
      'min',
      cells,
      row,
    );
    const rainMm = possible(rain ? rain.readMm(cells, row) : NaN, 0, WETTEST_MM, 'rain', 'rain', cells, row);
    if (minC > maxC) {
      reading.tell(
        'warning',
        'min-over-max',
        `the lowest temperature (${cells.text(row, found['min']!.index)}) is above the highest (${cells.text(row, found['max']!.index)}); both are left out`,
        cells,
        row,
        found['min'],
      );
      [maxC, minC] = [NaN, NaN];
    }
    list.push({ day, maxC, minC, rainMm, line: cells.line(row) });
    return true;
  };
  const finish = (): WeatherRecords | null => {
    if (others > 0)
      reading.note(
        'note',
        'other-stations',
        `${others} rows of other stations were left out, as asked.`,
        found['station'],
      );
    if (rain && rain.traces > 0)
      reading.note('note', 'rain-trace', `${rain.traces} days with a trace of rain ("T") count as 0.`, found['rain']);
    for (const column of [max, min, rainNumbers]) if (column) reading.problems.addAll(column.missingNote(list.length));
    return list.length === 0 ? null : inDateOrder(reading, list, station ?? [...stations.keys()][0] ?? null);
  };
  return { take, finish };
}

/** Rows of each station; a file without a station column has none. */
function stationsOf(reading: TableReading): Map<string, number> {
  const rows = new Map<string, number>();
  if (!reading.found['station']) return rows;
  for (const { cells } of reading.table.blocks()) {
    for (let row = 0; row < cells.rows; row++) {
      const name = reading.text(cells, row, 'station');
      if (name !== '') rows.set(name, (rows.get(name) ?? 0) + 1);
    }
  }
  return rows;
}

function severalStations(reading: TableReading, stations: ReadonlyMap<string, number>) {
  const seen = listed([...stations].map(([name, rows]) => `${name} (${rows} days)`));
  const first = [...stations.keys()][0]!;
  return {
    code: 'several-stations',
    level: 'error' as const,
    text: `${reading.table.name} holds ${stations.size} stations: ${seen}. Weather is read from one of them.`,
    where: { file: reading.table.name, column: reading.found['station']!.column },
    hint: `Say which: station = "${first}".`,
  };
}

function inDateOrder(reading: TableReading, list: Day[], station: string | null): WeatherRecords {
  const sorted = list.some((one, i) => i > 0 && one.day < list[i - 1]!.day);
  if (sorted) {
    reading.note(
      'note',
      'days-sorted',
      'The days are not in order in the file; they are put in order.',
      reading.found['date'],
    );
    list.sort((a, b) => a.day - b.day || a.line - b.line);
  }
  const first = list[0]!.day;
  const count = list.at(-1)!.day - first + 1;
  const day = Int32Array.from({ length: count }, (_, i) => first + i);
  const make = () => new Float64Array(count).fill(NaN);
  const [maxC, minC, rainMm] = [make(), make(), make()];
  const seen = new Uint8Array(count);
  for (const one of list) {
    const at = one.day - first;
    if (seen[at]) {
      const text = `Row ${one.line}: ${dayText(one.day)} is in the file twice; the first is used.`;
      reading.problems.add({
        code: 'day-twice',
        level: 'warning',
        text,
        where: { file: reading.table.name, row: one.line },
      });
      continue;
    }
    seen[at] = 1;
    [maxC[at], minC[at], rainMm[at]] = [one.maxC, one.minC, one.rainMm];
  }
  tellGaps(reading, first, seen);
  return { kind: 'weather', day, maxC, minC, rainMm, station };
}

function tellGaps(reading: TableReading, first: number, seen: Uint8Array): void {
  const gaps: string[] = [];
  let missing = 0;
  for (let at = 0; at < seen.length; at++) {
    if (seen[at]) continue;
    const from = at;
    while (!seen[at]) at++;
    missing += at - from;
    gaps.push(at - from === 1 ? dayText(first + from) : `${dayText(first + from)} to ${dayText(first + at - 1)}`);
  }
  if (missing === 0) return;
  const some = gaps.slice(0, 10).join(', ') + (gaps.length > 10 ? ` and ${gaps.length - 10} more gaps` : '');
  reading.note(
    'warning',
    'days-missing',
    `${missing} day${missing === 1 ? ' is' : 's are'} missing: ${some}.`,
    reading.found['date'],
  );
}
