/**
 * What a task set says about its time logs: which task, field, crop and machine each belongs to, and what the machine's elements
 * hold as constants. Parts outside of TASKDATA.XML (XFR) are put in where they stood; what is missing is told, never fatal:
 * the logs are read all the same.
 * @source ISO 11783-10 task file schemas V2.1–V4.3 (TSK, TLG, PFD, CTP, DVC, DET, DPD, DPT, XFR)
 */
import { problem, type Problem } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { readWhole } from './bundle-bytes.ts';
import { childrenOf, readXml, type XmlElement } from './xml.ts';

const TASK_FILE = /^taskdata\.xml$/i;
const TIME_LOG = /^(TLG\d+)\.(xml|bin)$/i;

/** The task file or a part of a time log: what makes a folder one of task data. */
export function isTaskDataName(name: string): boolean {
  return TASK_FILE.test(name) || TIME_LOG.test(name);
}

export function isTimeLogName(name: string): boolean {
  return TIME_LOG.test(name);
}

/** A part of a machine: the machine itself, a function (a header), a section, a connector, a receiver. */
export interface DeviceElement {
  /** "DET-1" */
  readonly id: string;
  /** Its machine: "DVC-1". */
  readonly device: string;
  readonly name: string;
  /** 1 machine, 2 function, 3 bin, 4 section, 5 unit, 6 connector, 7 navigation. */
  readonly type: number;
  /** Steps up to the machine. */
  readonly depth: number;
  /** Data dictionary entry → its fixed value. */
  readonly constants: ReadonlyMap<number, number>;
}

export interface TimeLogFiles {
  /** "TLG00001", as the files are named. */
  readonly name: string;
  readonly header: ByteSource | null;
  readonly records: ByteSource | null;
  readonly task: string | null;
  readonly field: string | null;
  readonly crop: string | null;
}

export interface TaskSet {
  /** "4.1"; null where the task file is missing or broken. */
  readonly version: string | null;
  readonly tasks: number;
  readonly logs: readonly TimeLogFiles[];
  readonly elements: ReadonlyMap<string, DeviceElement>;
  /** Designators of the machines by id. */
  readonly devices: ReadonlyMap<string, string>;
  readonly hasFields: boolean;
  readonly hasGrids: boolean;
  readonly problems: readonly Problem[];
}

/** The task file and the outer parts that it names, as elements. */
export interface TaskRoots {
  /** null where the task file is missing or broken. */
  readonly root: XmlElement | null;
  /** With the parts outside of it. */
  readonly roots: readonly XmlElement[];
  readonly problems: readonly Problem[];
}

/** Yields bytes read. */
export function* readTaskRoots(parts: readonly ByteSource[]): Generator<number, TaskRoots, void> {
  const problems: Problem[] = [];
  const byName = new Map(parts.map((one) => [one.name.toUpperCase(), one]));
  const main = parts.find((one) => TASK_FILE.test(one.name));
  const root = main ? yield* rootOf(main, problems) : null;
  const roots = root ? [root, ...(yield* outerParts(root, byName, problems))] : [];
  return { root, roots, problems };
}

/** Yields bytes read. */
export function* readTaskSet(parts: readonly ByteSource[]): Generator<number, TaskSet, void> {
  const { root, roots, problems: told } = yield* readTaskRoots(parts);
  const problems = [...told];
  const byName = new Map(parts.map((one) => [one.name.toUpperCase(), one]));
  const main = parts.find((one) => TASK_FILE.test(one.name));
  if (!main) {
    const text = 'TASKDATA.XML is missing: the logs are read without their tasks, fields and machines.';
    const hint = 'Bring in the whole folder, if it is there.';
    problems.push(problem('warning', 'task-file-missing', text, { where: { file: parts[0]!.name }, hint }));
  }
  const all = (name: string) => roots.flatMap((one) => [...childrenOf(one, name)]);

  const names = (kind: string, attribute: string) =>
    new Map(all(kind).map((one) => [one.getAttribute('A') ?? '', one.getAttribute(attribute) ?? '']));
  const fields = new Map(all('PFD').map((one) => [one.getAttribute('A') ?? '', one]));
  const crops = names('CTP', 'B');
  const tasks = all('TSK');
  const logs: TimeLogFiles[] = [];
  const named = new Set<string>();
  const filesOf = (name: string) => {
    const key = name.toUpperCase();
    named.add(key);
    return { name, header: byName.get(`${key}.XML`) ?? null, records: byName.get(`${key}.BIN`) ?? null };
  };
  for (const task of tasks) {
    const field = fields.get(task.getAttribute('E') ?? '');
    for (const log of childrenOf(task, 'TLG')) {
      logs.push({
        ...filesOf(log.getAttribute('A') ?? ''),
        task: textIn(task, 'B') ?? textIn(task, 'A'),
        field: field ? textIn(field, 'C') : null,
        crop: crops.get(field?.getAttribute('G') ?? '') || null,
      });
    }
  }
  const loose = [...new Set(parts.flatMap(({ name }) => TIME_LOG.exec(name)?.[1]?.toUpperCase() ?? []))]
    .filter((name) => !named.has(name))
    .sort();
  for (const name of loose) logs.push({ ...filesOf(name), task: null, field: null, crop: null });
  if (loose.length > 0 && root) {
    const text = `${loose.join(', ')}: no task names ${loose.length === 1 ? 'this log' : 'these logs'}; read all the same.`;
    problems.push(problem('warning', 'log-without-task', text, { where: { file: main!.name } }));
  }
  const { elements, devices } = devicesOf(all('DVC'));
  return {
    version: root ? `${root.getAttribute('VersionMajor') ?? '?'}.${root.getAttribute('VersionMinor') ?? '?'}` : null,
    tasks: tasks.length,
    logs,
    elements,
    devices,
    hasFields: fields.size > 0,
    hasGrids: tasks.some((one) => !childrenOf(one, 'GRD').next().done),
    problems,
  };
}

function textIn(element: XmlElement, name: string): string | null {
  return element.getAttribute(name)?.trim() || null;
}

function* rootOf(source: ByteSource, problems: Problem[]): Generator<number, XmlElement | null, void> {
  const bytes = yield* wholeOf(source);
  const read = readXml(bytes, source.name);
  if (read.ok) return read.value;
  problems.push(
    ...read.problems.map((one): Problem => ({
      ...one,
      level: 'warning',
      text: `${one.text} The logs beside it are read without it.`,
    })),
  );
  return null;
}

/** The roots of the parts that the task file names; their children stand for the XFR elements. */
function* outerParts(
  root: XmlElement,
  byName: ReadonlyMap<string, ByteSource>,
  problems: Problem[],
): Generator<number, XmlElement[], void> {
  const roots: XmlElement[] = [];
  for (const one of childrenOf(root, 'XFR')) {
    const name = one.getAttribute('A') ?? '';
    const source = byName.get(`${name.toUpperCase()}.XML`);
    const lost = PART_HOLDS[name.slice(0, 3).toUpperCase()] ?? 'a part of the set';
    if (!source) {
      const text = `${name}.XML (${lost}) is missing: TASKDATA.XML names it.`;
      const hint = 'Bring in the whole folder, if it is there.';
      problems.push(problem('warning', 'task-part-missing', text, { where: { file: `${name}.XML` }, hint }));
      continue;
    }
    const read = readXml(yield* wholeOf(source), source.name);
    if (read.ok) roots.push(read.value);
    else problems.push(...read.problems.map((told): Problem => ({ ...told, level: 'warning' })));
  }
  return roots;
}

const PART_HOLDS: Readonly<Record<string, string>> = {
  PFD: 'fields',
  TSK: 'tasks',
  DVC: 'machines',
  CTP: 'crops',
  CTR: 'customers',
  FRM: 'farms',
  PDT: 'products',
  WKR: 'workers',
};

function* wholeOf(source: ByteSource): Generator<number, Uint8Array, void> {
  const reading = readWhole(source);
  let turn = reading.next();
  while (!turn.done) {
    yield turn.value[0];
    turn = reading.next();
  }
  return turn.value;
}

function devicesOf(found: readonly XmlElement[]): {
  elements: Map<string, DeviceElement>;
  devices: Map<string, string>;
} {
  const elements = new Map<string, DeviceElement>();
  const devices = new Map<string, string>();
  for (const device of found) {
    const id = device.getAttribute('A') ?? '';
    devices.set(id, textIn(device, 'B') ?? id);
    const constantOf = new Map(
      [...childrenOf(device, 'DPT')].map((one) => [
        one.getAttribute('A') ?? '',
        [Number.parseInt(one.getAttribute('B') ?? '', 16), Number(one.getAttribute('C'))] as const,
      ]),
    );
    const parts = [...childrenOf(device, 'DET')];
    const parentOf = new Map(parts.map((one) => [one.getAttribute('B') ?? '', one.getAttribute('F') ?? '0']));
    for (const part of parts) {
      let depth = 0;
      for (let up = part.getAttribute('F') ?? '0'; up !== '0' && parentOf.has(up) && depth < parts.length; depth++)
        up = parentOf.get(up)!;
      const refs = [...childrenOf(part, 'DOR')].flatMap((one) => {
        const constant = constantOf.get(one.getAttribute('A') ?? '');
        return constant ? [constant] : [];
      });
      const element = part.getAttribute('A') ?? '';
      elements.set(element, {
        id: element,
        device: id,
        name: textIn(part, 'D') ?? element,
        type: Number(part.getAttribute('C')),
        depth,
        constants: new Map(refs),
      });
    }
  }
  return { elements, devices };
}
