/**
 * Fields of a task set as boundaries: each field (PFD) with its outlines (PLN of type 1), holes and parts. A set with logs is read twice:
 * once for its logs, once for the fields that they lie on.
 * @source ISO 11783-10 task file schemas V2.1–V4.3 (PFD, PLN, LSG, PNT); rings may end where they began or not
 */
import type { LonLat } from '../geometry/types.ts';
import { type Outcome, problem, type Problem, refused } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { assembleBoundaries, type Candidate } from './boundaries.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { nestRings } from './ring-nesting.ts';
import { isTimeLogName, readTaskRoots } from './task-set.ts';
import { childrenOf, type XmlElement } from './xml.ts';

export const TASK_FIELDS = 'task-data-fields';

/** Type of a polygon: of a field, what it encloses. */
const BOUNDARY = '1';
const [EXTERIOR, INTERIOR] = ['1', '2'];
const OTHER_POLYGONS: Readonly<Record<string, string>> = {
  2: 'treatment zone',
  3: 'water surface',
  4: 'building',
  5: 'road',
  6: 'obstacle',
  7: 'flag',
  9: 'main field',
  10: 'headland',
  11: 'buffer zone',
  12: 'windbreak',
};
/** The set's own area of a field may be of the cropped ground: told from this share on. *Assumed*. */
const AREA_DIFFERS = 0.05;

export const taskDataFieldsImporter: Importer = {
  id: TASK_FIELDS,
  title: 'Fields of ISO 11783 task data',
  gives: 'boundaries',
  recognize({ parts }) {
    const isOfLogs = parts.some((one) => isTimeLogName(one.name));
    return !isOfLogs && holdsFieldOutlines(parts) ? 1 : 0;
  },
  *read(bundle, wishes) {
    return yield* readTaskFields(bundle, wishes);
  },
};

/** The files of a set without its logs, or none where no field of it has an outline. */
export function fieldParts(parts: readonly ByteSource[]): readonly ByteSource[] {
  const of = parts.filter((one) => /\.xml$/i.test(one.name) && !isTimeLogName(one.name));
  return holdsFieldOutlines(of) ? of : [];
}

/** Whether a field in the text of the files holds a polygon; read as text, since all of them are asked. */
function holdsFieldOutlines(parts: readonly ByteSource[]): boolean {
  return parts.some((one) => /\.xml$/i.test(one.name) && hasFieldOutline(textOfSource(one)));
}

function hasFieldOutline(text: string): boolean {
  if (!/<(ISO11783_TaskData|XFC)[\s>]/.test(text.slice(0, 2000))) return false;
  for (let at = text.search(/<PFD\s/); at >= 0;) {
    const opened = text.indexOf('>', at);
    if (opened < 0) return false;
    const isEmpty = text[opened - 1] === '/';
    const closed = isEmpty ? opened : text.indexOf('</PFD>', opened);
    if (!isEmpty && /<PLN\s/.test(text.slice(opened, closed < 0 ? undefined : closed))) return true;
    if (closed < 0) return false;
    const next = text.slice(closed).search(/<PFD\s/);
    at = next < 0 ? -1 : closed + next;
  }
  return false;
}

/** Names of elements are ASCII in every encoding that is read; two bytes a letter lose their zeros. */
function textOfSource(source: ByteSource): string {
  const decoder = new TextDecoder('windows-1252');
  let text = '';
  for (const chunk of source.chunks()) text += decoder.decode(chunk, { stream: true });
  return text.replaceAll('\0', '');
}

function* readTaskFields(
  bundle: Bundle,
  wishes: ReadingWishes,
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const total = bundle.parts.reduce((sum, one) => sum + one.size, 0);
  const reading = readTaskRoots(bundle.parts);
  let turn = reading.next();
  while (!turn.done) {
    yield [Math.min(turn.value, total) / 2, total];
    turn = reading.next();
  }
  const { roots, problems } = turn.value;
  const found = roots.flatMap((root) => [...childrenOf(root, 'PFD')]);
  if (found.length === 0) return refused(...problems, noFields(bundle.name));
  const candidates = found.map((field, index) => candidateOf(field, bundle.name, index + 1));
  const outcome = yield* assembleBoundaries({
    importer: TASK_FIELDS,
    file: bundle.name,
    candidates,
    rows: candidates.length,
    crs: 'WGS 84 (task data is always in it)',
    wishes: { ...wishes, as: 'boundaries' },
    bytes: total,
  });
  const told = [...problems, ...otherPolygons(found, bundle.name), aboutLogs(roots, bundle.name), ...outcome.problems];
  if (!outcome.ok) return refused(...told);
  const { reading: how, records } = outcome.value;
  const areas = records.kind === 'boundaries' ? areasThatDiffer(found, records.features, bundle.name) : [];
  const why = `${how.unusedRows === 0 ? '' : `${how.rows - how.unusedRows} of `}${how.rows} field${how.rows === 1 ? '' : 's'} of a task set, with the outline and the name that the terminal has.`;
  return { ok: true, value: { reading: { ...how, why, columns: {} }, records }, problems: [...told, ...areas] };
}

/** Fields are read without logs; whether there should be any is said all the same. */
function aboutLogs(roots: readonly XmlElement[], file: string): Problem {
  const tasks = roots.flatMap((root) => [...childrenOf(root, 'TSK')]);
  const named = tasks.flatMap((task) => [...childrenOf(task, 'TLG')]).length;
  const where = { file };
  if (named > 0) {
    const text = `Its tasks name ${named} time log${named === 1 ? '' : 's'}: these are read for themselves, from the files beside it.`;
    return problem('note', 'logs-beside', text, { where, hint: 'Bring in the whole folder, if they are not there.' });
  }
  const text = `${file} has no time log: nothing was recorded. The outlines of its fields are read, and nothing else of it.`;
  return problem('note', 'no-time-logs', text, { where });
}

function noFields(file: string): Problem {
  return problem('error', 'no-fields', `${file} holds no field.`, { where: { file } });
}

function candidateOf(field: XmlElement, file: string, feature: number): Candidate {
  const text = (attribute: string) => field.getAttribute(attribute)?.trim() ?? '';
  const properties = { name: text('C') || text('B') || text('A') };
  const base = { file, feature, properties };
  const polygons: LonLat[][][] = [];
  for (const outline of childrenOf(field, 'PLN')) {
    if (outline.getAttribute('A') !== BOUNDARY) continue;
    const rings = (type: string) =>
      [...childrenOf(outline, 'LSG')].filter((one) => one.getAttribute('A') === type).map(ringOf);
    const [outer, holes] = [rings(EXTERIOR!), rings(INTERIOR!)];
    if ([...outer, ...holes].some((ring) => ring === null)) {
      const what = 'has a corner without a position that can be read, and is left out';
      const hint = 'Export the set again from the terminal, or bring its boundary in as GeoJSON or a shapefile.';
      return { ...base, polygons: [], refused: { code: 'corner-broken', what, hint } };
    }
    const sound = (all: (LonLat[] | null)[]) =>
      all.filter((ring): ring is LonLat[] => ring !== null && ring.length > 0);
    const [around, inside] = [sound(outer), sound(holes)];
    // A polygon has one outer ring; of several, each takes the holes that lie in it.
    if (around.length === 1) polygons.push([around[0]!, ...inside]);
    else polygons.push(...nestRings([...around, ...inside]).polygons);
  }
  return { ...base, polygons };
}

/** Closed; null where a corner has no position. */
function ringOf(line: XmlElement): LonLat[] | null {
  const ring = [...childrenOf(line, 'PNT')].map((point): LonLat => [degrees(point, 'D'), degrees(point, 'C')]);
  if (ring.some(([lon, lat]) => !(Math.abs(lon) <= 180 && Math.abs(lat) <= 90))) return null;
  const [first, last] = [ring[0], ring.at(-1)];
  const isClosed = !first || !last || (first[0] === last[0] && first[1] === last[1]);
  return isClosed ? ring : [...ring, first];
}

function degrees(point: XmlElement, attribute: string): number {
  const text = point.getAttribute(attribute)?.trim() ?? '';
  return text === '' ? NaN : Number(text);
}

/** Headlands, obstacles and the like are no boundary: said, with how many of each. */
function otherPolygons(fields: readonly XmlElement[], file: string): Problem[] {
  const counts = new Map<string, number>();
  for (const field of fields)
    for (const outline of childrenOf(field, 'PLN')) {
      const type = outline.getAttribute('A') ?? '';
      if (type === BOUNDARY) continue;
      const name = OTHER_POLYGONS[type] ?? 'polygon of another kind';
      counts.set(name, (counts.get(name) ?? 0) + 1);
    }
  if (counts.size === 0) return [];
  const list = [...counts].map(([name, count]) => `${count} × ${name}`).join(', ');
  return [
    problem('note', 'polygons-left-out', `${file}: polygons of fields that are no boundary are left out: ${list}.`, {
      where: { file },
      hint: 'Draw what must be left out of a field as an exclusion.',
    }),
  ];
}

function areasThatDiffer(
  fields: readonly XmlElement[],
  features: readonly { readonly feature: number; readonly name: string; readonly areaM2: number }[],
  file: string,
): Problem[] {
  return features.flatMap(({ feature, name, areaM2 }): Problem[] => {
    const saidM2 = Number(fields[feature - 1]!.getAttribute('D'));
    if (!(saidM2 > 0) || Math.abs(areaM2 - saidM2) <= AREA_DIFFERS * saidM2) return [];
    const [drawn, said] = [areaM2, saidM2].map((one) => (one / 10_000).toFixed(2));
    const text = `“${name}” (feature ${feature}) is ${drawn} ha by its outline, and ${said} ha by what the set says: the outline is taken (told from 5 % on).`;
    return [problem('note', 'area-differs', text, { where: { file, feature, id: name } })];
  });
}
