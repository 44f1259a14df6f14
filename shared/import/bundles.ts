/**
 * Loose files put together to what is read as one: the parts of a shapefile belong to their .shp, pictures to field notes beside
 * them, the logs and outer parts of task data to the task file beside them.
 */
import type { ByteSource } from '../model/records.ts';
import { isNotesSource } from './field-notes.ts';
import type { Bundle } from './importer.ts';
import { isPictureName } from './not-records.ts';
import { fieldParts } from './task-data-fields.ts';
import { isTaskDataName, isTimeLogName } from './task-set.ts';

const SHAPEFILE_PART = /\.(shp|shx|dbf|prj|cpg|sbn|sbx|qix|shp\.xml)$/i;

const TASK_FILE = /^taskdata\.xml$/i;
/** Logs, grids and outer parts of a task set by their names of three letters and digits; attached files. */
const TASK_PART = /^(taskdata\.xml|linklist\.xml|[a-z]{3}\d{5}\.(xml|bin)|[^/]*\.bin)$/i;

/** Bundles in the order in which their first file came. Parts belong together by folder and name, whatever the letters' case. */
export function groupIntoBundles(sources: readonly ByteSource[]): Bundle[] {
  const groups = new Map<string, ByteSource[]>();
  const isTaskSet = sources.some((one) => isTaskDataName(one.name));
  const notes = sources.some((one) => isPictureName(one.name)) ? sources.filter(isNotesSource) : [];
  for (const source of sources) {
    // Of two notes side by side nobody knows whose the pictures are: each is then read alone.
    if (notes.length === 1 && (source === notes[0] || isPictureName(source.name))) {
      groups.set('notes', [...(groups.get('notes') ?? []), source]);
      continue;
    }
    if (isTaskSet && TASK_PART.test(source.name)) {
      const set = groups.get('task set');
      if (set) set.push(source);
      else groups.set('task set', [source]);
      continue;
    }
    const key = SHAPEFILE_PART.test(source.name)
      ? `parts of ${source.name.replace(SHAPEFILE_PART, '').toLowerCase()}`
      : `file ${source.name}`;
    const group = groups.get(key);
    if (group && key.startsWith('parts')) group.push(source);
    else groups.set(group ? `${key} ${groups.size}` : key, [source]);
  }
  return [...groups].flatMap(([key, parts]) => {
    // Fields of a set with logs stand for themselves: they can be taken or left without the logs.
    const ofLogs = key === 'task set' && parts.some((one) => isTimeLogName(one.name));
    const fields = ofLogs ? fieldParts(parts) : [];
    return fields.length === 0 ? [bundleOf(parts, notes[0])] : [bundleOf(fields), bundleOf(parts)];
  });
}

function bundleOf(parts: readonly ByteSource[], notes?: ByteSource): Bundle {
  const shp = parts.find((part) => /\.shp$/i.test(part.name));
  const taskFile = parts.find((part) => TASK_FILE.test(part.name));
  const main = shp ?? taskFile ?? (notes && parts.includes(notes) ? notes : parts[0]!);
  return { name: main.name, parts };
}

/** A source and the folder that it lies in ("", "harvest/", "fields.zip/north/"). */
export interface PlacedSource {
  readonly folder: string;
  readonly source: ByteSource;
}

/** A picture that lies beside field notes is theirs. */
export function isPictureOfNotes({ folder, source }: PlacedSource, placed: readonly PlacedSource[]): boolean {
  return isPictureName(source.name) && placed.some((one) => one.folder === folder && isNotesSource(one.source));
}

/** Bundles, never across folders. */
export function bundlesByFolder(placed: readonly PlacedSource[]): { folder: string; bundle: Bundle }[] {
  const byFolder = new Map<string, ByteSource[]>();
  for (const { folder, source } of placed) {
    const beside = byFolder.get(folder);
    if (beside) beside.push(source);
    else byFolder.set(folder, [source]);
  }
  return [...byFolder].flatMap(([folder, sources]) => groupIntoBundles(sources).map((bundle) => ({ folder, bundle })));
}
