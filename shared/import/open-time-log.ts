/** The time logs of a task data set, opened: what can be read, and what is missing or without a place. */
import { done, type Outcome, problem, refused, type Problem } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { readWhole } from './bundle-bytes.ts';
import { HARVEST_DDIS, type LogPlan, planLog } from './task-data-columns.ts';
import type { TaskSet, TimeLogFiles } from './task-set.ts';
import { readTimeLogHeader, type TimeLogHeader } from './time-log-header.ts';

/** A log that can be read: its header is known. */
export interface OpenLog extends TimeLogFiles {
  readonly bytes: ByteSource;
  readonly layout: TimeLogHeader;
  readonly plan: LogPlan;
  readonly isHarvest: boolean;
  readonly device: string | null;
}

/** A log that was taken in. */
export interface ReadLog {
  readonly log: OpenLog;
  /** Elements of the columns. */
  readonly from: number;
  readonly to: number;
}

export function* openLog(
  log: TimeLogFiles,
  set: TaskSet,
  hasDensity: boolean,
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
  const plan = planLog(layout, set.elements, hasDensity);
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
