/**
 * Field notes of ours: what was marked with a phone in the field (model/field-notes.ts), alone or with their pictures beside them.
 * Each find is checked by itself, so that one that is damaged takes no other with it.
 */
import { speciesIdOf } from '../agronomy/species-names.ts';
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { Bounds } from '../geometry/types.ts';
import {
  checkFind,
  checkNotesHead,
  documentFind,
  FASTEST_MS,
  FIELD_NOTES_FORMAT,
  FIELD_NOTES_VERSION,
  isSameFind,
  type NotedFind,
  ROUGH_POSITION_M,
} from '../model/field-notes.ts';
import { done, type Outcome, problem, ProblemList, refused } from '../model/problem.ts';
import type { ByteSource, Observation } from '../model/records.ts';
import { dayNumber, instantSeconds } from '../units/calendar.ts';
import { formatNumber } from '../units/format.ts';
import { readWhole } from './bundle-bytes.ts';
import type { Importer, ReadFile } from './importer.ts';
import { findJsonBreak } from './json-break.ts';

const MARK = new RegExp(`"format"\\s*:\\s*"${FIELD_NOTES_FORMAT}"`);

/** By its first bytes. */
export function isFieldNotes(head: Uint8Array): boolean {
  return MARK.test(new TextDecoder().decode(head.subarray(0, 2000)));
}

/** Whether a file among others is field notes; only what is called .json is looked into. */
export function isNotesSource(source: ByteSource): boolean {
  if (!/\.json$/i.test(source.name)) return false;
  for (const chunk of source.chunks()) return isFieldNotes(chunk);
  return false;
}

export const fieldNotesImporter: Importer = {
  id: 'field-notes',
  title: 'Field notes',
  recognize: (_bundle, head) => (isFieldNotes(head) ? 1 : 0),
  *read(bundle) {
    const main = bundle.parts.find((part) => part.name === bundle.name)!;
    const bytes = yield* readWhole(main);
    return readFieldNotes(new TextDecoder().decode(bytes), bundle.name);
  },
};

function readFieldNotes(text: string, file: string): Outcome<ReadFile> {
  const root = rootOf(text, file);
  if (!root.ok) return root;
  const { farm, finds: written } = root.value;
  const problems = new ProblemList();
  const finds: { readonly find: NotedFind; readonly number: number }[] = [];
  written.forEach((value, index) => {
    const find = usableFind(value, index + 1, file, problems);
    const twin = find && finds.find((one) => one.find.id === find.id);
    if (twin) tellTwin(find, twin, index + 1, file, problems);
    else if (find) finds.push({ find, number: index + 1 });
  });
  tellRough(finds, file, problems);
  tellJumps(finds, file, problems);
  if (finds.length === 0) {
    const none = written.length === 0 ? `${file} holds no find.` : `None of the finds in ${file} can be used.`;
    return refused(...problems.list(), problem('error', 'no-finds', none, { where: { file } }));
  }
  const n = finds.length;
  const value: ReadFile = {
    reading: {
      importer: 'field-notes',
      takenFor: 'scouting',
      why: `Field notes of ${farm.name}: ${n} find${n === 1 ? '' : 's'} marked in the field, each with an id of its own.`,
      columns: {},
      rows: written.length,
      unusedRows: written.length - n,
    },
    records: {
      kind: 'scouting',
      observations: finds.map(observationOf),
      bounds: boundsOf(finds.map((one) => one.find)),
      notes: { farm, finds: finds.map((one) => one.find) },
    },
  };
  return done(value, problems.list());
}

function rootOf(text: string, file: string) {
  const where = { where: { file } };
  let json: unknown;
  try {
    json = JSON.parse(text.replace('\ufeff', ''));
  } catch {
    const at = findJsonBreak(text);
    const place = at === null ? '' : ` in line ${at.line}`;
    const hint = 'Send the notes again from the phone: they are still on it.';
    return refused(problem('error', 'notes-cut', `${file} is cut short or damaged${place}.`, { ...where, hint }));
  }
  const version = (json as { version?: unknown } | null)?.version;
  if (typeof version === 'number' && version > FIELD_NOTES_VERSION) {
    const said = `${file} was written by a newer version (field notes ${version}, this one reads ${FIELD_NOTES_VERSION}).`;
    return refused(problem('error', 'notes-newer', said, { ...where, hint: 'Bring it in with the newer version.' }));
  }
  const head = checkNotesHead(json);
  if (head.ok) return done(head.value);
  return refused(problem('error', 'notes-invalid', `${file}: ${head.path || 'the notes'}: ${head.because}.`, where));
}

/** null where it cannot be used, told. */
function usableFind(value: unknown, row: number, file: string, problems: ProblemList): NotedFind | null {
  const where = { file, row };
  const wrong = (code: string, text: string, hint?: string) => {
    problems.add(problem('error', code, `Find ${row}: ${text}; it is not used.`, { where, ...(hint ? { hint } : {}) }));
    return null;
  };
  const checked = checkFind(value);
  if (!checked.ok) return wrong('find-invalid', `${checked.path || 'it'}: ${checked.because}`);
  const find = checked.value;
  const [lon, lat] = find.at;
  if (Math.abs(lon) > 180 || (lon === 0 && lat === 0))
    return wrong('position-missing', `${lat}, ${lon} is no position`);
  if (dayNumber(find.on) === null || instantSeconds(find.time) === null)
    return wrong('date-unreadable', `${find.on}, ${find.time} is no day and time`);
  if (speciesIdOf(find.species) !== find.species)
    return wrong('species-unknown', `the species "${find.species.slice(0, 40)}" is not known here`);
  const count = typeof find.count === 'number' ? find.count : 'atLeast' in find.count ? find.count.atLeast : 0;
  if (!Number.isInteger(count)) {
    const text = `Find ${row}: the count is ${count}, not a whole number; kept as written.`;
    problems.add(problem('warning', 'count-fractional', text, { where, hint: 'Is it a density or a mean?' }));
  }
  return find;
}

interface Numbered {
  readonly find: NotedFind;
  /** From 1 in the file. */
  readonly number: number;
}

function tellTwin(find: NotedFind, twin: Numbered, row: number, file: string, problems: ProblemList): void {
  const same = isSameFind(documentFind(find, undefined), documentFind(twin.find, undefined));
  const text = same
    ? `Find ${row} is find ${twin.number} once more; it counts once.`
    : `Find ${row} has the id of find ${twin.number} and says something else; the first is used.`;
  problems.add(problem(same ? 'note' : 'error', same ? 'find-twice' : 'find-differs', text, { where: { file, row } }));
}

function tellRough(finds: readonly Numbered[], file: string, problems: ProblemList): void {
  for (const { find, number } of finds) {
    const { accuracyM } = find;
    if (accuracyM === undefined || accuracyM <= ROUGH_POSITION_M) continue;
    const text = `Find ${number}: its position is good to ${meters(accuracyM)} only.`;
    const hint = 'It is kept, with that. Look at the place again if it decides something.';
    problems.add(problem('warning', 'position-rough', text, { where: { file, row: number, at: find.at }, hint }));
  }
}

/** Two finds farther apart than anyone can have come in the time between them, both accuracies allowed for. */
function tellJumps(finds: readonly Numbered[], file: string, problems: ProblemList): void {
  const inTime = [...finds].sort((a, b) => (a.find.time < b.find.time ? -1 : a.find.time > b.find.time ? 1 : 0));
  for (let i = 1; i < inTime.length; i++) {
    const [before, { find, number }] = [inTime[i - 1]!, inTime[i]!];
    const apartM = geodesicDistanceM(before.find.at, find.at);
    const seconds = instantSeconds(find.time)! - instantSeconds(before.find.time)!;
    const slackM = (before.find.accuracyM ?? 0) + (find.accuracyM ?? 0);
    if (apartM - slackM <= FASTEST_MS * Math.max(1, seconds)) continue;
    const text = `Find ${number} lies ${meters(apartM)} from find ${before.number}, ${seconds} s after it: one of the positions is wrong.`;
    const hint = 'Look at both on the map, and take back the one that is wrong.';
    problems.add(problem('warning', 'position-jump', text, { where: { file, row: number, at: find.at }, hint }));
  }
}

function observationOf({ find, number }: Numbered): Observation {
  const { at, on, species, count, effortM2, heightMm, accuracyM } = documentFind(find, undefined);
  return {
    at,
    on,
    species,
    count,
    effortM2,
    ...(heightMm === undefined ? {} : { heightMm }),
    ...(accuracyM === undefined ? {} : { accuracyM }),
    row: number,
  };
}

function boundsOf(finds: readonly NotedFind[]): Bounds {
  const [lons, lats] = [finds.map((one) => one.at[0]), finds.map((one) => one.at[1])];
  const least = (values: readonly number[]) => values.reduce((a, b) => Math.min(a, b));
  const most = (values: readonly number[]) => values.reduce((a, b) => Math.max(a, b));
  return [least(lons), least(lats), most(lons), most(lats)];
}

const meters = (lengthM: number) => `${formatNumber(lengthM, 0)} m`;
