/**
 * Harvest logs straight from task data: a folder (or .zip) with TASKDATA.XML and its time logs. Every log of the set is read, one
 * after the other, as it streams; logs of other work are left out and told.
 * @source ISO 11783-10 (schemas V2.1–V4.3; shared/import/time-log-records.ts says how the bytes were checked)
 */
import { done, type Outcome, ProblemList, refused } from '../model/problem.ts';
import type { ByteSource, HarvestLogRecords } from '../model/records.ts';
import { boundsOfPlaces } from './bounds-of-places.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { type OpenLog, openLog, type ReadLog } from './open-time-log.ts';
import { TaskDataColumns, TaskDataLog } from './task-data-log.ts';
import { noHarvest, noRecords, noTimeLogs, otherWork, tellEnd, tellSet } from './task-data-problems.ts';
import { columnsTold, cropOf, lackedBy, saidTold, whyText } from './task-data-reading.ts';
import { readSaid } from './task-data-said.ts';
import { isTaskDataName, readTaskSet, type TaskSet } from './task-set.ts';
import { readTimeLog, type TimeLogEnd, type TimeLogRecord } from './time-log-records.ts';

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

type Reading<T> = Generator<readonly [number, number], T, void>;

function* readTaskData(bundle: Bundle, wishes: ReadingWishes): Reading<Outcome<ReadFile>> {
  const problems = new ProblemList();
  const total = bundle.parts.reduce((sum, one) => sum + one.size, 0);
  const set = yield* taskSetOf(bundle, total);
  problems.addAll(set.problems);
  if (set.logs.length === 0) return refused(...problems.list(), noTimeLogs(bundle.name, set));

  const said = readSaid(wishes, bundle.name);
  problems.addAll(said.problems);
  const open: OpenLog[] = [];
  for (const log of set.logs) {
    const opened = yield* openLog(log, set, said.values.densityKgM3 !== null, total);
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
    const machine = devices.indexOf(log.device ?? '');
    const reader = new TaskDataLog(
      columns,
      { name: log.name, file: bundle.name, header: log.layout, plan: log.plan, machine },
      said.values,
      wishes.utcOffsetMinutes ?? 0,
      problems,
    );
    const from = columns.timeS.count;
    let others = 0;
    const end = yield* recordsOf(log, isTaken ? reader.take : () => others++, before, total);
    before += log.bytes.size;
    if (isTaken) reader.close();
    else {
      columns.rows += others;
      columns.unusedRows += others;
      problems.add(otherWork(log, others, bundle.name));
    }
    tellEnd(log, end, bundle.name, problems);
    if (isTaken) read.push({ log, from, to: columns.timeS.count });
  }
  if (columns.timeS.count === 0) {
    const none =
      open.length > 0 && read.length === 0 ? noHarvest(bundle.name, open) : noRecords(bundle.name, columns.rows);
    return refused(...problems.list(), none);
  }
  tellSet(read, columns, set, said, wishes, bundle.name, problems);
  return done(
    {
      reading: {
        importer: taskDataImporter.id,
        takenFor: 'harvest log',
        why: whyText(set, read),
        crs: 'WGS 84 (task data is always in it)',
        ...(wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: wishes.utcOffsetMinutes }),
        columns: { ...columnsTold(read, set), ...saidTold(said, columns, read) },
        rows: columns.rows,
        unusedRows: columns.unusedRows,
        lacks: lackedBy(columns, read),
      },
      records: harvestLogOf(columns, cropOf(read, bundle.name, problems), devices.length > 1),
    },
    problems.list(),
  );
}

function* taskSetOf(bundle: Bundle, total: number): Reading<TaskSet> {
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
  return turn.value;
}

function* recordsOf(
  { bytes, layout }: OpenLog,
  take: (record: TimeLogRecord) => void,
  bytesBefore: number,
  total: number,
): Reading<TimeLogEnd> {
  const records = readTimeLog(bytes, layout, take);
  let step = records.next();
  while (!step.done) {
    yield [Math.min(bytesBefore + step.value, total), total];
    step = records.next();
  }
  return step.value;
}

function harvestLogOf(all: TaskDataColumns, crop: string | null, severalMachines: boolean): HarvestLogRecords {
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
