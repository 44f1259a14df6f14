/** The rows of a harvest log as raw columns: positions, times and values in SI, in file order, with every doubt told. */
import { problem } from '../model/problem.ts';
import type { Problem, ProblemList } from '../model/problem.ts';
import { cropIdOf } from './crop-names.ts';
import type { FoundColumns, FoundColumn } from './columns.ts';
import type { Table } from './csv.ts';
import type { CellBlock } from './csv-cells.ts';
import { Growing } from './growing.ts';
import type { Numbers } from './growing.ts';
import { headerDownOf } from './header-state.ts';
import { isWidth, positionDoubt, WIDEST_M } from './log-limits.ts';
import { isMissing } from './number-text.ts';
import { checkWidth, NumberColumn } from './table-rows.ts';
import type { TimeReader } from './times.ts';

/** How the header column is read: words, a height with its limit, or not at all. */
export type HeaderRule = { words: FoundColumn } | { height: FoundColumn; limit: number } | null;
/** Keeps only the rows of one recording. */
export type RecordingRule = { column: FoundColumn; only: string | null } | null;

export interface RowRules {
  readonly found: FoundColumns;
  readonly time: { column: FoundColumn; reader: TimeReader } | null;
  /** Days of a date column, for a time column that holds only a clock. */
  readonly date: { column: FoundColumn; dayS: (text: string) => number } | null;
  /** Days since 1970 of a column that gives no time of day; only where times are made. */
  readonly day: { column: FoundColumn; dayOf: (text: string) => number } | null;
  readonly header: HeaderRule;
  readonly recording: RecordingRule;
  /** Times are made afterwards from the order of logging: a row needs none. */
  readonly timesAreMade: boolean;
}

const VALUES = [
  'flow',
  'mass',
  'yield',
  'yieldVolume',
  'moisture',
  'swath',
  'distance',
  'speed',
  'heading',
  'duration',
  'sequence',
] as const;
export type ValueId = (typeof VALUES)[number];
const TITLES: Readonly<Record<ValueId | 'lon' | 'lat', string>> = {
  lon: 'longitude',
  lat: 'latitude',
  flow: 'mass flow',
  mass: 'mass',
  yield: 'yield',
  yieldVolume: 'yield',
  moisture: 'moisture',
  swath: 'cut width',
  distance: 'distance',
  speed: 'speed',
  heading: 'heading',
  duration: 'duration',
  sequence: 'order of logging',
};

export class HarvestLogRows {
  readonly timeS = new Growing(Float64Array);
  readonly lon = new Growing(Float64Array);
  readonly lat = new Growing(Float64Array);
  readonly headerDown = new Growing(Uint8Array);
  readonly row = new Growing(Uint32Array);
  readonly section = new Growing(Float64Array);
  readonly recording = new Growing(Uint32Array);
  /** Days since 1970, where times are made from them; NaN where a row has none. */
  readonly day = new Growing(Float64Array);
  readonly values: Partial<Record<ValueId, Growing<Numbers>>> = {};
  readonly recordings: string[] = [];
  readonly crops = new Map<string, string | null>();
  rows = 0;
  unusedRows = 0;

  private readonly lonColumn: NumberColumn;
  private readonly latColumn: NumberColumn;
  private readonly heightColumn: NumberColumn | null;
  private readonly columns: { id: ValueId; from: NumberColumn; to: Growing<Numbers> }[] = [];
  private lastCrop = '';
  private lastRecording = '';
  private lastRecordingIndex = -1;
  private otherRecordings = 0;

  constructor(
    private readonly table: Table,
    private readonly rules: RowRules,
    private readonly problems: ProblemList,
  ) {
    const { found } = rules;
    const number = (id: ValueId | 'lon' | 'lat') => new NumberColumn(found[id]!, TITLES[id], table.name, problems);
    this.lonColumn = number('lon');
    this.latColumn = number('lat');
    for (const id of VALUES) {
      if (!found[id]) continue;
      const to = new Growing<Numbers>(id === 'sequence' ? Float64Array : Float32Array);
      this.values[id] = to;
      this.columns.push({ id, from: number(id), to });
    }
    const { header } = rules;
    this.heightColumn =
      header && 'height' in header ? new NumberColumn(header.height, 'header height', table.name, problems) : null;
  }

  block(cells: CellBlock): void {
    const { found, time, day, header, recording, timesAreMade } = this.rules;
    const sectionAt = found.section?.index;
    for (let row = 0; row < cells.rows; row++) {
      this.rows++;
      if (cells.width(row) !== this.table.header.length)
        checkWidth(cells, row, this.table.header, this.table.name, this.problems);
      let recordingIndex = 0;
      if (recording) {
        const name = cells.text(row, recording.column.index);
        if (recording.only !== null && name !== recording.only) {
          this.otherRecordings++;
          continue;
        }
        recordingIndex = this.recordingIndex(name);
      }
      const lon = this.lonColumn.read(cells, row);
      const lat = this.latColumn.read(cells, row);
      if (!this.isPosition(lon, lat, cells, row)) continue;
      let timeS = NaN;
      if (!timesAreMade) {
        timeS = this.time(cells, row);
        if (timeS !== timeS) {
          this.unused(
            'time-missing',
            time ? `the time "${cells.text(row, time.column.index).slice(0, 40)}" cannot be read` : 'there is no time',
            cells,
            row,
            time?.column.column,
          );
          continue;
        }
      }
      if (day) this.day.push(this.dayOf(cells, row, day));
      this.timeS.push(timeS);
      this.lon.push(lon);
      this.lat.push(lat);
      this.row.push(cells.line(row));
      if (recording) this.recording.push(recordingIndex);
      if (sectionAt !== undefined) this.section.push(cells.number(row, sectionAt));
      this.headerDown.push(header ? this.isDown(cells, row, header) : 1);
      for (const { id, from, to } of this.columns) to.push(this.checked(id, from.read(cells, row), cells, row));
      if (found.crop) this.crop(cells.text(row, found.crop.index));
    }
  }

  /** Missing values, told once a column. */
  closing(): Problem[] {
    const notes = this.columns.flatMap(({ from }) => from.missingNote(this.rows));
    if (this.otherRecordings > 0) {
      this.unusedRows += this.otherRecordings;
      notes.push(
        problem(
          'note',
          'other-recordings',
          `${this.otherRecordings} rows of other recordings were left out, as asked.`,
          { where: { file: this.table.name } },
        ),
      );
    }
    return notes;
  }

  private time(cells: CellBlock, row: number): number {
    const { time, date } = this.rules;
    if (!time) return NaN;
    const seconds = time.reader.seconds(cells.text(row, time.column.index));
    return date ? date.dayS(cells.text(row, date.column.index)) + seconds : seconds;
  }

  private dayOf(cells: CellBlock, row: number, { column, dayOf }: NonNullable<RowRules['day']>): number {
    const text = cells.text(row, column.index);
    const day = dayOf(text);
    if (day !== day)
      this.tell(
        'day-missing',
        `the day "${text.slice(0, 40)}" cannot be read; it is taken to be that of the row before`,
        cells,
        row,
        column.column,
      );
    return day;
  }

  private recordingIndex(name: string): number {
    if (name === this.lastRecording && this.lastRecordingIndex >= 0) return this.lastRecordingIndex;
    let index = this.recordings.indexOf(name);
    if (index < 0) index = this.recordings.push(name) - 1;
    this.lastRecording = name;
    this.lastRecordingIndex = index;
    return index;
  }

  private crop(text: string): void {
    if (text === this.lastCrop) return;
    this.lastCrop = text;
    if (text !== '' && this.crops.size < 50) this.crops.set(text, cropIdOf(text));
  }

  private unused(code: string, why: string, cells: CellBlock, row: number, column?: string): void {
    this.unusedRows++;
    const line = cells.line(row);
    this.problems.add(
      problem('warning', code, `Row ${line} is not used: ${why}.`, {
        where: { file: this.table.name, row: line, ...(column === undefined ? {} : { column }) },
      }),
    );
  }

  private isPosition(lon: number, lat: number, cells: CellBlock, row: number): boolean {
    const doubt = positionDoubt(lon, lat);
    if (doubt === null) return true;
    this.unused(doubt.code, doubt.why, cells, row, this.rules.found[doubt.of]!.column);
    return false;
  }

  private isDown(cells: CellBlock, row: number, header: NonNullable<HeaderRule>): 0 | 1 {
    if ('height' in header) {
      const height = this.heightColumn!.read(cells, row);
      return height !== height || height < header.limit ? 1 : 0;
    }
    const text = cells.text(row, header.words.index);
    const down = headerDownOf(text);
    if (down !== null) return down;
    this.tell(
      'header-state',
      `header state is "${text.slice(0, 40)}": neither up nor down, taken as down`,
      cells,
      row,
      header.words.column,
    );
    return 1;
  }

  private tell(code: string, what: string, cells: CellBlock, row: number, column: string, hint?: string): void {
    const line = cells.line(row);
    this.problems.add(
      problem('warning', code, `Row ${line}: ${what}.`, {
        where: { file: this.table.name, row: line, column },
        ...(hint === undefined ? {} : { hint }),
      }),
    );
  }

  /** Values that cannot be are told; impossible ones are left out, doubtful ones kept for the flags that follow. */
  private checked(id: ValueId, value: number, cells: CellBlock, row: number): number {
    const column = this.rules.found[id]!.column;
    const seen = () =>
      isMissing(cells.text(row, this.rules.found[id]!.index))
        ? 'missing'
        : cells.text(row, this.rules.found[id]!.index);
    if ((id === 'flow' || id === 'mass' || id === 'yield' || id === 'yieldVolume') && value < 0) {
      this.tell('negative-flow', `${TITLES[id]} is negative (${seen()}); kept as it is`, cells, row, column);
    } else if (id === 'moisture' && (value < 0 || value > 1)) {
      this.tell(
        'moisture-range',
        `moisture is ${seen()}, outside 0–100 %; left out`,
        cells,
        row,
        column,
        'Is the column in tenths of a percent?',
      );
      return NaN;
    } else if (id === 'swath' && !isWidth(value)) {
      this.tell(
        'width-range',
        `cut width is ${seen()}, outside 0–${WIDEST_M} m; left out`,
        cells,
        row,
        column,
        'Is the unit right?',
      );
      return NaN;
    } else if ((id === 'speed' || id === 'distance' || id === 'duration') && value < 0) {
      this.tell('value-negative', `${TITLES[id]} is negative (${seen()}); left out`, cells, row, column);
      return NaN;
    } else if (id === 'heading' && (value < -360 || value > 360)) {
      this.tell('heading-range', `heading is ${seen()}, no direction; left out`, cells, row, column);
      return NaN;
    }
    return value;
  }
}
