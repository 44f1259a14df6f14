/** How a task data set was read: why it was taken for a harvest, which values stand for which column, and its crop. */
import { problem, type ProblemList } from '../model/problem.ts';
import type { ColumnReading } from '../model/records.ts';
import { cropIdOf } from './crop-names.ts';
import type { LackedValue } from './importer.ts';
import type { ReadLog } from './open-time-log.ts';
import { DDI, ddiText, type LogPlan } from './task-data-columns.ts';
import type { TaskDataColumns } from './task-data-log.ts';
import { type Said, SAYABLE } from './task-data-said.ts';
import type { TaskSet } from './task-set.ts';

export function whyText(set: TaskSet, read: readonly ReadLog[]): string {
  const version = set.version === null ? 'without its task file' : `version ${set.version}`;
  const logs = read.length === 1 ? '1 time log with grain' : `${read.length} time logs with grain`;
  const fields = [...new Set(read.flatMap((one) => one.log.field ?? []))];
  const on = fields.length === 0 ? '' : ` on ${fields.slice(0, 6).join(', ')}${fields.length > 6 ? ' and others' : ''}`;
  return `Task data (${version}): ${logs}${on}.`;
}

export function columnsTold(read: readonly ReadLog[], set: TaskSet): Record<string, ColumnReading> {
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

/** What a person said, where any record took it; beside what is logged, it is said of the others. */
export function saidTold(
  { readings }: Said,
  { saidMoisture, saidWidth }: TaskDataColumns,
  read: readonly ReadLog[],
): Record<string, ColumnReading> {
  const isUsed = {
    moisture: saidMoisture > 0,
    swath: saidWidth > 0,
    density: read.some(({ log }) => log.plan.byVolume),
  };
  return Object.fromEntries(Object.entries(readings).filter(([id]) => isUsed[id as keyof typeof isUsed]));
}

/** What is not logged at all, or not by every record, so that one value may be said of it. */
export function lackedBy(
  { moisture, swath, saidMoisture, saidWidth }: TaskDataColumns,
  read: readonly ReadLog[],
): readonly LackedValue[] {
  const holdsNone = (values: { readonly count: number; at(index: number): number }) => {
    for (let i = 0; i < values.count; i++) if (Number.isNaN(values.at(i))) return true;
    return false;
  };
  const isDescribed = read.some(({ log: { plan } }) => plan.width === null && plan.sectionWidthsM === null);
  const lacks = {
    moisture: saidMoisture > 0 || holdsNone(moisture),
    swath: saidWidth > 0 || isDescribed || holdsNone(swath),
    density: read.some(({ log }) => log.plan.byVolume),
  };
  return SAYABLE.filter(({ id }) => lacks[id]).map(({ id, title, quantity }) => ({ id, title, quantity }));
}

const MEANINGS: Readonly<Record<number, string>> = {
  [DDI.massPerTime]: 'mass per time yield',
  [DDI.totalMass]: 'yield total mass',
  [DDI.dryMassPerTime]: 'dry mass per time yield',
  [DDI.massPerArea]: 'mass per area yield',
  [DDI.volumePerTime]: 'volume per time yield',
  [DDI.totalVolume]: 'yield total volume',
  [DDI.volumePerArea]: 'volume per area yield',
  [DDI.moisture]: 'crop moisture',
  [DDI.workingWidth]: 'actual working width',
  [DDI.workState]: 'actual work state',
  [DDI.speed]: 'actual speed',
};

export function cropOf(read: readonly ReadLog[], file: string, problems: ProblemList): string | null {
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
