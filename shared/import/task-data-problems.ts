/** What a person is told about a task data set: nothing is left out or taken for granted in silence. */
import { problem, ProblemList, type Problem } from '../model/problem.ts';
import { instantText } from '../units/calendar.ts';
import type { ReadingWishes } from './importer.ts';
import type { OpenLog, ReadLog } from './open-time-log.ts';
import { DDI, ddiText, type LogPlan } from './task-data-columns.ts';
import { type TaskDataColumns, TOTAL_SPREAD_S } from './task-data-log.ts';
import type { Said } from './task-data-said.ts';
import type { TaskSet } from './task-set.ts';
import type { TimeLogEnd } from './time-log-records.ts';

export function noTimeLogs(file: string, { hasFields, hasGrids, tasks }: TaskSet): Problem {
  const holds = hasGrids ? 'a prescription' : tasks > 0 ? 'tasks' : hasFields ? 'fields' : 'nothing that is read here';
  return problem('error', 'no-time-logs', `${file} holds ${holds}, but no time log: nothing was recorded.`, {
    where: { file },
    hint: 'A harvest has files named TLG00001.XML and TLG00001.BIN beside it. Boundaries come as GeoJSON or as a shapefile.',
  });
}

export function noHarvest(file: string, logs: readonly OpenLog[]): Problem {
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

export function noRecords(file: string, rows: number): Problem {
  const text =
    rows === 0
      ? `The time logs of ${file} hold no record that can be read.`
      : `None of the ${rows} records of ${file} has a position.`;
  return problem('error', 'no-records', text, {
    where: { file },
    hint: 'Bring in the whole folder as the terminal wrote it.',
  });
}

export function otherWork(log: OpenLog, records: number, file: string): Problem {
  const text = `${log.name} holds no grain (${records} records): it is of other work, or of the road, and is left out.`;
  return problem('note', 'log-of-other-work', text, { where: { file } });
}

export function tellEnd(log: OpenLog, end: TimeLogEnd, file: string, problems: ProblemList): void {
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

export function tellSet(
  read: readonly ReadLog[],
  columns: TaskDataColumns,
  set: TaskSet,
  said: Said,
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
  if (columns.saidWidth > 0)
    note(
      'width-said',
      `${columns.saidWidth} records log no cut width: ${saidText(said, 'swath')} is taken, as you said.`,
    );
  else if (fixed.length > 0) {
    const { fixedWidthM } = read.find((one) => one.log.name === fixed[0])!.log.plan;
    note(
      'width-from-description',
      `${fixed.join(', ')}: no width is logged; the machine's description gives ${fixedWidthM!.toFixed(2)} m.`,
    );
  }
  if (columns.saidWidth === 0 && widthless.length > fixed.length)
    note(
      'no-width',
      'The log has no cut width: the header width of the machine is used.',
      'Or say one width for all records (swath: "=30 ft").',
    );
  const dry = all((plan) => plan.moisture === null && plan.flow !== null);
  if (columns.saidMoisture > 0)
    note(
      'moisture-said',
      `${columns.saidMoisture} records log no moisture: ${saidText(said, 'moisture')} is taken, as you said.`,
    );
  else if (dry.length > 0)
    note(
      'no-moisture',
      `${dry.join(', ')}: no moisture is logged; the grain is taken to be as moist as the crop is traded.`,
      'Or say one moisture for all records (moisture: "=17 %").',
    );
  for (const { log } of read) tellFlow(log, said, note);
  tellOverlap(read, columns, note);
  tellOffsets(read, set, note);
}

type Note = (code: string, text: string, hint?: string, level?: Problem['level']) => void;

const saidText = ({ readings }: Said, id: string): string => readings[id]?.column.replace(/^=\s*/, '') ?? '';

/** What nobody has to know by heart: where growth over a silence goes. */
const SILENCE_TOLD = `What it grew over a silence of more than ${TOTAL_SPREAD_S} s counts as the last record's (assumed).`;

function tellFlow({ name, plan }: OpenLog, said: Said, note: Note): void {
  if (plan.flow === null) {
    const text = plan.byVolume
      ? `${name} gives the yield by volume alone: mass flow is not known.`
      : `${name} gives no mass of grain: path and ground cut are known, yield is not.`;
    const how = plan.byVolume ? 'Say how heavy the grain is (density: "=56 lb/bu"), and its mass is known. ' : '';
    note('flow-missing', text, `${how}Paths and seed movement work without it; a yield map does not.`, 'warning');
  } else if (plan.byVolume) {
    const silence = plan.flow.from === 'total volume' ? ` ${SILENCE_TOLD}` : '';
    note(
      'flow-from-volume',
      `${name}: mass flow is the volume logged (${ddiText(plan.flow.ddi)}) × ${saidText(said, 'density')}, as you said.${silence}`,
      'The weight of a volume differs from field to field by some per cent: a scale total corrects it.',
    );
  } else if (plan.flow.from === 'total')
    note(
      'flow-from-total',
      `${name}: mass flow is the growth of the total mass (${ddiText(plan.flow.ddi)}) over time. ${SILENCE_TOLD}`,
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
