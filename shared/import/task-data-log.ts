/** One time log's records as columns of a harvest log: appended in order, what cannot be used told with its record. */
import { problem, type ProblemList } from '../model/problem.ts';
import { dayNumberOf } from '../units/calendar.ts';
import { Growing } from './growing.ts';
import { isWidth, positionDoubt, WIDEST_M } from './log-limits.ts';
import { spreadCoarseTimes, stepWords } from './coarse-clock.ts';
import { HeldValues, type LogPlan } from './task-data-columns.ts';
import type { SaidValues } from './task-data-said.ts';
import type { TimeLogHeader } from './time-log-header.ts';
import type { TimeLogRecord } from './time-log-records.ts';

const DAY_S = 86_400;
const FIRST_DAY = dayNumberOf(1980, 1, 1);
/** Raw positions in a degree. */
const PER_DEGREE = 1e7;
const MICRO = 1e-6;
const M3_A_LITER = 1e-3;
/** Raw positions that stand for none. @source iso11783/README.md §5, from memory */
const NO_POSITION: ReadonlySet<number> = new Set([0x7fffffff, -1]);
/** A total that grew over a longer silence belongs to the last step of it: the machine stood or turned. *Assumed*. */
export const TOTAL_SPREAD_S = 10;
const M_PER_DEGREE = 111_195;

/** The columns of a whole set; they grow log by log. */
export class TaskDataColumns {
  readonly timeS = new Growing(Float64Array);
  readonly lon = new Growing(Float64Array);
  readonly lat = new Growing(Float64Array);
  readonly flow = new Growing(Float32Array);
  readonly moisture = new Growing(Float32Array);
  readonly swath = new Growing(Float32Array);
  readonly down = new Growing(Uint8Array);
  readonly speed = new Growing(Float32Array);
  readonly row = new Growing(Uint32Array);
  readonly machine = new Growing(Uint8Array);
  /** Records read, used or not. */
  rows = 0;
  unusedRows = 0;
  /** Records used whose header state is not known. */
  stateless = 0;
  /** Records that log none of it, and take what a person said. */
  saidMoisture = 0;
  saidWidth = 0;
}

export class TaskDataLog {
  private readonly held: HeldValues;
  private readonly from: number;
  private readonly rowsBefore: number;
  private readonly raw = new Growing(Float64Array);

  constructor(
    private readonly columns: TaskDataColumns,
    private readonly log: {
      readonly name: string;
      readonly file: string;
      readonly header: TimeLogHeader;
      readonly plan: LogPlan;
      readonly machine: number;
    },
    private readonly said: SaidValues,
    private readonly utcOffsetMinutes: number,
    private readonly problems: ProblemList,
  ) {
    this.held = new HeldValues(log.header);
    this.from = columns.timeS.count;
    this.rowsBefore = columns.rows;
  }

  readonly take = (record: TimeLogRecord): void => {
    const { columns, held } = this;
    const { plan } = this.log;
    columns.rows++;
    for (let n = 0; n < record.count; n++) held.held[record.index[n]!] = record.value[n]!;
    if (!this.isPlaced(record)) return;
    const offsetS = this.utcOffsetMinutes * 60;
    columns.timeS.push((FIRST_DAY + record.day) * DAY_S + record.clockMs / 1000 - offsetS);
    columns.lon.push(record.east / PER_DEGREE);
    columns.lat.push(record.north / PER_DEGREE);
    columns.row.push(columns.rows);
    columns.machine.push(this.log.machine);
    const moisture = this.moistureOf(plan.moisture === null ? NaN : held.first(plan.moisture) * MICRO);
    columns.moisture.push(moisture);
    columns.swath.push(this.widthOf(held.widthM(plan, this.said.swathM === null)));
    columns.speed.push(plan.speed === null ? NaN : Math.abs(held.first(plan.speed)) / 1000);
    const down = held.isDown(plan);
    if (down === null) columns.stateless++;
    columns.down.push(down ?? 1);
    this.raw.push(this.rawFlow(moisture));
  };

  /** Flows of the log, which need the records after. Call once, behind the last record. */
  close(): void {
    this.spreadTimes();
    const from = this.plan()?.from;
    if (from === 'total' || from === 'total volume') this.fromTotals();
    else if (from === 'mass an area' || from === 'volume an area') this.fromArea();
    else for (let i = 0; i < this.raw.count; i++) this.columns.flow.push(this.raw.at(i));
  }

  private plan(): LogPlan['flow'] {
    return this.log.plan.flow;
  }

  /** kg/s where the log gives a flow; else what `close` makes one of: kg, or kg/m². */
  private rawFlow(moisture: number): number {
    const { flow, referenceMoisture } = this.log.plan;
    if (flow === null) return NaN;
    const value = this.held.sum(flow);
    const kgM3 = this.said.densityKgM3 ?? NaN;
    if (flow.from === 'total') return value;
    if (flow.from === 'total volume') return value * M3_A_LITER * kgM3;
    if (flow.from === 'volume a time' || flow.from === 'volume an area') return value * MICRO * kgM3;
    if (flow.from !== 'dry mass a time') return value * MICRO;
    const reference = referenceMoisture === null ? NaN : this.held.first(referenceMoisture) * MICRO;
    return (value * MICRO * (1 - reference)) / (1 - moisture);
  }

  /** A clock coarser than the log: times within its step by the order of the records. */
  private spreadTimes(): void {
    const { timeS } = this.columns;
    const count = this.raw.count;
    const spread = spreadCoarseTimes(Float64Array.from({ length: count }, (_, i) => timeS.at(this.from + i)));
    if (!spread) return;
    timeS.put(this.from, spread.timeS);
    const text = `${this.log.name}: its clock gives ${stepWords(spread.stepS)}, up to ${spread.most} records each: they are spread over the step in the order in which they were logged.`;
    this.problems.add(
      problem('warning', 'clock-coarse', text, {
        where: { file: this.log.file },
        hint: 'Order and distance hold; speeds and the delay of the grain are as good as that.',
      }),
    );
  }

  private fromTotals(): void {
    const { raw, columns } = this;
    const { timeS, flow } = columns;
    const kgS = new Float64Array(raw.count);
    const at = (i: number) => timeS.at(this.from + i);
    let changed = 0;
    for (let i = 1; i < raw.count; i++) {
      const grown = raw.at(i) - raw.at(changed);
      if (grown === 0) continue;
      // A counter that starts anew weighs from there.
      if (grown > 0) {
        const first = at(i) - at(changed) <= TOTAL_SPREAD_S ? changed : i - 1;
        const seconds = at(i) - at(first);
        for (let k = first; k < i; k++) kgS[k] = seconds > 0 ? grown / seconds : NaN;
      } else if (grown < 0) {
        this.tell('total-restarts', i, 'the total of grain is smaller than before', 'It is counted anew from there.');
      }
      if (grown === grown || raw.at(changed) !== raw.at(changed)) changed = i;
    }
    for (const one of kgS) flow.push(one);
  }

  private fromArea(): void {
    const { raw, columns } = this;
    for (let i = 0; i < raw.count; i++) {
      const speed = columns.speed.at(this.from + i);
      columns.flow.push(raw.at(i) * columns.swath.at(this.from + i) * (speed === speed ? speed : this.speedBetween(i)));
    }
  }

  /** m/s from one record to the next. */
  private speedBetween(i: number): number {
    if (i + 1 >= this.raw.count) return NaN;
    const { lon, lat, timeS } = this.columns;
    const at = this.from + i;
    const north = (lat.at(at + 1) - lat.at(at)) * M_PER_DEGREE;
    const east = (lon.at(at + 1) - lon.at(at)) * M_PER_DEGREE * Math.cos((lat.at(at) * Math.PI) / 180);
    return Math.hypot(north, east) / (timeS.at(at + 1) - timeS.at(at));
  }

  private isPlaced({ north, east }: TimeLogRecord): boolean {
    const degrees = (raw: number) => (NO_POSITION.has(raw) ? NaN : raw / PER_DEGREE);
    const doubt = positionDoubt(degrees(east), degrees(north));
    if (doubt === null) return true;
    this.columns.unusedRows++;
    this.problems.add(
      problem('warning', doubt.code, `${this.placeOf(this.columns.rows)} is not used: ${doubt.why}.`, {
        where: { file: this.log.file, row: this.columns.rows },
      }),
    );
    return false;
  }

  /** "Record 9363 (512 of TLG00003)" */
  private placeOf(row: number): string {
    return `Record ${row} (${row - this.rowsBefore} of ${this.log.name})`;
  }

  /** As logged, else what a person said; what a person said is in its range. */
  private moistureOf(logged: number): number {
    const moisture = this.share(logged);
    const { moistureFraction } = this.said;
    if (moisture === moisture || moistureFraction === null) return moisture;
    this.columns.saidMoisture++;
    return moistureFraction;
  }

  /** What a person said goes before the machine's description. */
  private widthOf(logged: number): number {
    const widthM = this.width(logged);
    const { swathM } = this.said;
    if (widthM === widthM || swathM === null) return widthM;
    this.columns.saidWidth++;
    return swathM;
  }

  private share(moisture: number): number {
    if (!(moisture < 0 || moisture > 1)) return moisture;
    this.told('moisture-range', `moisture is ${(moisture * 100).toFixed(1)} %, outside 0–100 %; left out`);
    return NaN;
  }

  private width(widthM: number): number {
    if (isWidth(widthM)) return widthM;
    this.told('width-range', `cut width is ${widthM.toFixed(1)} m, outside 0–${WIDEST_M} m; left out`);
    return NaN;
  }

  /** Of the record just read. */
  private told(code: string, what: string): void {
    const { rows } = this.columns;
    this.problems.add(
      problem('warning', code, `${this.placeOf(rows)}: ${what}.`, { where: { file: this.log.file, row: rows } }),
    );
  }

  private tell(code: string, i: number, what: string, hint: string): void {
    const row = this.columns.row.at(this.from + i);
    this.problems.add(
      problem('warning', code, `${this.placeOf(row)}: ${what}.`, { where: { file: this.log.file, row }, hint }),
    );
  }
}
