/**
 * Harvest logs straight from task data: a folder (or .zip) with TASKDATA.XML and its time logs. Every log of the set is read, one
 * after the other, as it streams; logs of other work are left out and told.
 * @source ISO 11783-10 (schemas V2.1–V4.3; shared/import/time-log-records.ts says how the bytes were checked)
 */
import { done, type Outcome, problem, ProblemList, refused, type Problem } from '../model/problem.ts';
import type { ByteSource, ColumnReading, HarvestLogRecords } from '../model/records.ts';
import { instantText } from '../units/calendar.ts';
import { boundsOfPlaces } from './bounds-of-places.ts';
import { cropIdOf } from './crop-names.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { readWhole } from './bundle-bytes.ts';
import { DDI, ddiText, HARVEST_DDIS, type LogPlan, planLog } from './task-data-columns.ts';
import { TaskDataColumns, TaskDataLog } from './task-data-log.ts';
import { isTaskDataName, readTaskSet, type TaskSet, type TimeLogFiles } from './task-set.ts';
import { readTimeLogHeader, type TimeLogHeader } from './time-log-header.ts';
import { readTimeLog, type TimeLogEnd } from './time-log-records.ts';

const TIME_LOG = /^TLG\d+\.(xml|bin)$/i;

export const taskDataImporter: Importer = {
  id: 'task-data',
  title: 'ISO 11783 task data',
  gives: 'harvest log',
  streams: true,
  recognize(bundle, head) {
    if (bundle.parts.some((one) => isTaskDataName(one.name))) return 1;
    const start = new TextDecoder('windows-1252').decode(head.subarray(0, 1000));
    return /<ISO11783_TaskData[\s>]/i.test(start) ? 1 : 0;
  },
  *read(bundle, wishes) {
    return yield* readTaskData(bundle, wishes);
  },
};

/** A log that can be read: its header is known. */
interface OpenLog extends TimeLogFiles {
  readonly bytes: ByteSource;
  readonly layout: TimeLogHeader;
  readonly plan: LogPlan;
  readonly isHarvest: boolean;
  readonly device: string | null;
}

interface ReadLog {
  readonly log: OpenLog;
  readonly end: TimeLogEnd;
  /** Elements of the columns. */
  readonly from: number;
  readonly to: number;
}

function* readTaskData(
  bundle: Bundle,
  wishes: ReadingWishes,
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const where = { file: bundle.name };
  const problems = new ProblemList();
  const total = bundle.parts.reduce((sum, one) => sum + one.size, 0);
  const isTaskFile = (one: ByteSource) => one.name === bundle.name && !TIME_LOG.test(one.name);
  const parts = bundle.parts.map((one) =>
    isTaskFile(one) ? { ...one, name: 'TASKDATA.XML', chunks: () => one.chunks() } : one,
  );
  const reading = readTaskSet(parts);
  let turn = reading.next();
  while (!turn.done) {
    yield [Math.min(turn.value, total), total];
    turn = reading.next();
  }
  const set = turn.value;
  problems.addAll(set.problems);
  if (set.logs.length === 0) return refused(...problems.list(), noTimeLogs(bundle.name, set));

  const open: OpenLog[] = [];
  for (const log of set.logs) {
    const opened = yield* openLog(log, set, total);
    problems.addAll(opened.problems);
    if (opened.ok) open.push(opened.value);
  }
  const forced = wishes.as === 'harvest log' && !open.some((one) => one.isHarvest);
  const columns = new TaskDataColumns();
  const devices = [...new Set(open.filter((one) => one.isHarvest || forced).map((one) => one.device ?? ''))];
  const read: ReadLog[] = [];
  let before = 0;
  for (const log of open) {
    const isTaken = log.isHarvest || forced;
    const reader = new TaskDataLog(
      columns,
      {
        name: log.name,
        file: bundle.name,
        header: log.layout,
        plan: log.plan,
        machine: devices.indexOf(log.device ?? ''),
      },
      wishes.utcOffsetMinutes ?? 0,
      problems,
    );
    const from = columns.timeS.count;
    let others = 0;
    const records = readTimeLog(log.bytes, log.layout, isTaken ? reader.take : () => others++);
    let step = records.next();
    while (!step.done) {
      yield [Math.min(before + step.value, total), total];
      step = records.next();
    }
    before += log.bytes.size;
    if (isTaken) reader.close();
    else {
      columns.rows += others;
      columns.unusedRows += others;
      problems.add(otherWork(log, others, bundle.name));
    }
    tellEnd(log, step.value, bundle.name, problems);
    if (isTaken) read.push({ log, end: step.value, from, to: columns.timeS.count });
  }
  if (columns.timeS.count === 0) {
    const none =
      open.length > 0 && read.length === 0 ? noHarvest(bundle.name, open) : noRecords(bundle.name, columns.rows);
    return refused(...problems.list(), none);
  }
  tellSet(read, columns, set, wishes, bundle.name, problems);
  return done(
    {
      reading: {
        importer: taskDataImporter.id,
        takenFor: 'harvest log',
        why: whyText(set, read),
        crs: 'WGS 84 (task data is always in it)',
        ...(wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: wishes.utcOffsetMinutes }),
        columns: columnsTold(read, set),
        rows: columns.rows,
        unusedRows: columns.unusedRows,
      },
      records: recordsOf(columns, cropOf(read, bundle.name, problems), devices.length > 1),
    },
    problems.list(),
  );

  function recordsOf(all: TaskDataColumns, crop: string | null, severalMachines: boolean): HarvestLogRecords {
    const count = all.timeS.count;
    const unknown = () => new Float32Array(count).fill(NaN);
    const [lon, lat] = [all.lon.done(), all.lat.done()];
    return {
      kind: 'harvest log',
      count,
      timeS: all.timeS.done(),
      lon,
      lat,
      flowKgS: all.flow.done(),
      moistureFraction: all.moisture.done(),
      swathM: all.swath.done(),
      headerDown: all.down.done(),
      headingDeg: unknown(),
      speedMS: all.speed.done(),
      durationS: unknown(),
      row: all.row.done(),
      ...(severalMachines ? { machine: all.machine.done() } : {}),
      bounds: boundsOfPlaces(lon, lat),
      crop,
    };
  }

  function noRecords(file: string, rows: number): Problem {
    const text =
      rows === 0
        ? `The time logs of ${file} hold no record that can be read.`
        : `None of the ${rows} records of ${file} has a position.`;
    return problem('error', 'no-records', text, { where, hint: 'Bring in the whole folder as the terminal wrote it.' });
  }
}

function* openLog(
  log: TimeLogFiles,
  set: TaskSet,
  total: number,
): Generator<readonly [number, number], Outcome<OpenLog>, void> {
  const lost = (code: string, text: string, file: string) =>
    refused(problem('warning', code, text, { where: { file }, hint: 'Bring in the whole folder, if it is there.' }));
  const task = log.task === null ? '' : ` of task ${log.task}`;
  if (!log.header && !log.records)
    return lost(
      'log-missing',
      `The time log ${log.name}${task} is missing: neither .XML nor .BIN is there.`,
      `${log.name}.BIN`,
    );
  if (!log.records)
    return lost(
      'log-missing',
      `${log.name}.BIN${task} is missing: none of its records can be read.`,
      `${log.name}.BIN`,
    );
  if (!log.header) {
    const text = `${log.name}.XML${task} is missing: it says what the ${log.records.size} bytes of ${log.name}.BIN mean, so that they cannot be read.`;
    return lost('log-header-missing', text, `${log.name}.XML`);
  }
  const header = readTimeLogHeader(yield* bytesOf(log.header, total), log.header.name);
  if (!header.ok) {
    const unread = ` The ${log.records.size} bytes of ${log.name}.BIN cannot be read without it.`;
    return refused(...header.problems.map((one): Problem => ({ ...one, level: 'warning', text: one.text + unread })));
  }
  const layout = header.value;
  if (!layout.hasTime || !layout.hasPosition) {
    const what = !layout.hasPosition ? 'positions' : 'times';
    return lost(
      'log-without-place',
      `The records of ${log.name} hold no ${what}: they are left out.`,
      log.records.name,
    );
  }
  const plan = planLog(layout, set.elements);
  const isHarvest = layout.values.some((one) => HARVEST_DDIS.includes(one.ddi));
  const [element] = plan.flow?.elements ?? plan.width?.elements ?? layout.values.map((one) => one.element);
  const device = set.elements.get(element ?? '')?.device ?? null;
  return done({ ...log, bytes: log.records, layout, plan, isHarvest, device });
}

function* bytesOf(source: ByteSource, total: number): Generator<readonly [number, number], Uint8Array, void> {
  const reading = readWhole(source);
  let turn = reading.next();
  while (!turn.done) {
    yield [0, total];
    turn = reading.next();
  }
  return turn.value;
}

function noTimeLogs(file: string, { hasFields, hasGrids, tasks }: TaskSet): Problem {
  const holds = hasGrids ? 'a prescription' : tasks > 0 ? 'tasks' : hasFields ? 'fields' : 'nothing that is read here';
  return problem('error', 'no-time-logs', `${file} holds ${holds}, but no time log: nothing was recorded.`, {
    where: { file },
    hint: 'A harvest has files named TLG00001.XML and TLG00001.BIN beside it. Boundaries come as GeoJSON or as a shapefile.',
  });
}

function noHarvest(file: string, logs: readonly OpenLog[]): Problem {
  const ddis = [...new Set(logs.flatMap((one) => one.layout.values.map((value) => ddiText(value.ddi))))].sort();
  const list =
    ddis.length === 0 ? 'positions alone' : ddis.slice(0, 8).join(', ') + (ddis.length > 8 ? ' and others' : '');
  const which = logs.length === 1 ? 'Its time log holds' : `Its ${logs.length} time logs hold`;
  return problem(
    'error',
    'no-harvest-log',
    `${file} is the task data of other work: no grain was weighed. ${which} ${list}.`,
    {
      where: { file },
      hint: 'If it was a harvest all the same, say that it is a harvest log: its path can be followed without grain.',
    },
  );
}

function otherWork(log: OpenLog, records: number, file: string): Problem {
  const text = `${log.name} holds no grain (${records} records): it is of other work, or of the road, and is left out.`;
  return problem('note', 'log-of-other-work', text, { where: { file } });
}

function tellEnd(log: OpenLog, end: TimeLogEnd, file: string, problems: ProblemList): void {
  const hint = 'Copy the set again from the terminal; what is whole is used.';
  for (const { beforeRecord, bytes } of end.broken) {
    const text = `${log.bytes.name} is damaged before its record ${beforeRecord}: ${bytes} bytes make no sense and are stepped over.`;
    problems.add(problem('warning', 'log-damaged', text, { where: { file: log.bytes.name, row: beforeRecord }, hint }));
  }
  if (end.leftBytes > 0) {
    const text = `${log.bytes.name} ends inside record ${end.records + 1}: ${end.records} records are whole, ${end.leftBytes} bytes are left over.`;
    problems.add(
      problem('warning', 'log-ends-early', text, { where: { file: log.bytes.name, row: end.records + 1 }, hint }),
    );
  }
  if (end.records === 0 && end.leftBytes === 0)
    problems.add(problem('note', 'log-empty', `${log.bytes.name} holds no records.`, { where: { file } }));
}

function tellSet(
  read: readonly ReadLog[],
  columns: TaskDataColumns,
  set: TaskSet,
  wishes: ReadingWishes,
  file: string,
  problems: ProblemList,
): void {
  const where = { file };
  const note = (code: string, text: string, hint?: string, level: Problem['level'] = 'note') =>
    problems.add(problem(level, code, text, { where, ...(hint === undefined ? {} : { hint }) }));
  if (wishes.utcOffsetMinutes === undefined)
    note(
      'time-zone',
      'Task data holds the clock of the machine without its zone: times are taken as UTC.',
      'Give the local time zone if days or hours matter.',
    );
  const all = (test: (plan: LogPlan) => boolean) => read.filter((one) => test(one.log.plan)).map((one) => one.log.name);
  const stateless = all((plan) => plan.states === null && plan.condensed === null);
  if (stateless.length > 0)
    note(
      'no-header-state',
      `${stateless.join(', ')}: no value says whether the machine worked; all records are taken as worked.`,
    );
  else if (columns.stateless > 0)
    note(
      'header-state',
      `${columns.stateless} records do not say whether the machine worked (no state yet, or an error): taken as worked.`,
    );
  const widthless = all((plan) => plan.width === null && plan.sectionWidthsM === null);
  const fixed = widthless.filter((name) =>
    read.some((one) => one.log.name === name && one.log.plan.fixedWidthM !== null),
  );
  if (fixed.length > 0) {
    const { fixedWidthM } = read.find((one) => one.log.name === fixed[0])!.log.plan;
    note(
      'width-from-description',
      `${fixed.join(', ')}: no width is logged; the machine's description gives ${fixedWidthM!.toFixed(2)} m.`,
    );
  }
  if (widthless.length > fixed.length)
    note('no-width', 'The log has no cut width: the header width of the machine is used.');
  const dry = all((plan) => plan.moisture === null && plan.flow !== null);
  if (dry.length > 0)
    note(
      'no-moisture',
      `${dry.join(', ')}: no moisture is logged; the grain is taken to be as moist as the crop is traded.`,
    );
  for (const { log } of read) tellFlow(log, note);
  tellOverlap(read, columns, note);
  tellOffsets(read, set, note);
}

type Note = (code: string, text: string, hint?: string, level?: Problem['level']) => void;

function tellFlow({ name, plan }: OpenLog, note: Note): void {
  if (plan.flow === null) {
    const text = plan.byVolume
      ? `${name} gives the yield by volume alone: mass flow is not known.`
      : `${name} gives no mass of grain: path and ground cut are known, yield is not.`;
    note('flow-missing', text, 'Paths and seed movement work without it; a yield map does not.', 'warning');
  } else if (plan.flow.from === 'total')
    note(
      'flow-from-total',
      `${name}: mass flow is the growth of the total mass (${ddiText(plan.flow.ddi)}) over time.`,
    );
  else if (plan.flow.from === 'mass an area')
    note('flow-from-yield', `${name}: mass flow is yield (${ddiText(plan.flow.ddi)}) × width × speed.`);
  else if (plan.flow.from === 'dry mass a time')
    note(
      'dry-yield',
      `${name} weighs dry mass; it is turned back to wet by the moisture and the reference moisture logged.`,
    );
}

/** Logs of one machine cannot run at the same time. */
function tellOverlap(read: readonly ReadLog[], columns: TaskDataColumns, note: Note): void {
  const spans = read
    .filter((one) => one.to > one.from)
    .map(({ log, from, to }) => ({ log, firstS: columns.timeS.at(from), lastS: columns.timeS.at(to - 1) }))
    .sort((a, b) => a.firstS - b.firstS);
  for (let i = 1; i < spans.length; i++) {
    const [a, b] = [spans[i - 1]!, spans[i]!];
    if (b.firstS >= a.lastS || a.log.device !== b.log.device) continue;
    note(
      'logs-overlap',
      `${a.log.name} and ${b.log.name} are of one machine and overlap from ${instantText(b.firstS)} to ${instantText(Math.min(a.lastS, b.lastS))}: of records with the same time the first is used.`,
      'Was one task logged twice, or is the clock of one wrong?',
      'warning',
    );
  }
}

/** What the description says of where the header is; not used by itself, since signs differ between makers. */
function tellOffsets(read: readonly ReadLog[], set: TaskSet, note: Note): void {
  const devices = new Set(read.map((one) => one.log.device));
  const told = [...set.elements.values()].flatMap((one) => {
    const mm = one.constants.get(DDI.offsetX);
    return mm !== undefined && mm !== 0 && devices.has(one.device) ? [`${one.name} ${(mm / 1000).toFixed(2)} m`] : [];
  });
  if (told.length > 0)
    note(
      'element-offsets',
      `The description of the machine gives distances along the machine: ${told.join(', ')}.`,
      'They are not used by themselves: enter how far the cutter bar is ahead of the antenna with the machine.',
    );
}

function whyText(set: TaskSet, read: readonly ReadLog[]): string {
  const version = set.version === null ? 'without its task file' : `version ${set.version}`;
  const logs = read.length === 1 ? '1 time log with grain' : `${read.length} time logs with grain`;
  const fields = [...new Set(read.flatMap((one) => one.log.field ?? []))];
  const on = fields.length === 0 ? '' : ` on ${fields.slice(0, 6).join(', ')}${fields.length > 6 ? ' and others' : ''}`;
  return `Task data (${version}): ${logs}${on}.`;
}

function columnsTold(read: readonly ReadLog[], set: TaskSet): Record<string, ColumnReading> {
  const told: Record<string, ColumnReading> = {};
  const nameOf = (element: string) => set.elements.get(element)?.name ?? element;
  const add = (
    id: string,
    unit: string,
    of: (plan: LogPlan) => { ddi: number; elements: readonly string[] } | null,
  ) => {
    const first = read.find((one) => of(one.log.plan) !== null);
    if (!first) return;
    const { ddi, elements } = of(first.log.plan)!;
    const others = read.filter((one) => of(one.log.plan)?.ddi !== ddi).length;
    const but = others === 0 ? '' : `, in all logs but ${others}`;
    const sum = elements.length > 1 ? `, ${elements.length} sections together` : '';
    told[id] = {
      column: ddiText(ddi),
      unit,
      because: `${MEANINGS[ddi] ?? 'state'} of ${nameOf(elements[0]!)}${sum}${but}`,
      by: 'guess',
    };
  };
  add('flow', 'kg/s', (plan) => plan.flow);
  add('moisture', 'fraction', (plan) => plan.moisture);
  add('swath', 'm', (plan) => plan.width);
  add('headerState', '', (plan) => plan.states ?? plan.condensed);
  add('speed', 'm/s', (plan) => plan.speed);
  delete (told['headerState'] as { unit?: string } | undefined)?.unit;
  return told;
}

const MEANINGS: Readonly<Record<number, string>> = {
  [DDI.massPerTime]: 'mass per time yield',
  [DDI.totalMass]: 'yield total mass',
  [DDI.dryMassPerTime]: 'dry mass per time yield',
  [DDI.massPerArea]: 'mass per area yield',
  [DDI.moisture]: 'crop moisture',
  [DDI.workingWidth]: 'actual working width',
  [DDI.workState]: 'actual work state',
  [DDI.speed]: 'actual speed',
};

function cropOf(read: readonly ReadLog[], file: string, problems: ProblemList): string | null {
  const named = [...new Set(read.flatMap((one) => one.log.crop ?? []))];
  const known = [...new Set(named.flatMap((one) => cropIdOf(one) ?? []))];
  const unknown = named.filter((one) => cropIdOf(one) === null);
  const where = { file };
  if (unknown.length > 0)
    problems.add(
      problem('note', 'crop-unknown', `The crop ${unknown.join(', ')} is not known here.`, {
        where,
        hint: 'The crop comes from the season then.',
      }),
    );
  if (known.length > 1)
    problems.add(
      problem('warning', 'several-crops', `The set names several crops: ${known.join(', ')}.`, {
        where,
        hint: 'The crop of each field comes from the season then.',
      }),
    );
  return known.length === 1 && unknown.length === 0 ? known[0]! : null;
}
