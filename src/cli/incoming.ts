/** The files that a person named, as bundles to read: the parts of a shapefile together, but never across folders; mixed zips unpacked. */
import { bundlesByFolder, type PlacedSource } from '../../shared/import/bundles.ts';
import type { Bundle } from '../../shared/import/importer.ts';
import { unpack } from '../../shared/import/unpack.ts';
import { type Problem, problem } from '../../shared/model/problem.ts';
import { drive, percent } from './drive.ts';
import type { Host } from './host.ts';
import { isTaskDataName } from '../../shared/import/task-set.ts';

export interface Incoming {
  readonly bundles: readonly Bundle[];
  /** Files that are missing or cannot be taken, those inside a .zip too: one problem a file. */
  readonly missing: readonly Problem[];
}

export function bundlesAt(host: Host, paths: readonly string[]): Incoming {
  const missing: Problem[] = [];
  const placed: PlacedSource[] = [];
  for (const path of new Set(paths.flatMap((one) => filesAt(host, one)))) {
    const source = host.open(path);
    if (!source) {
      missing.push(fileMissing(host, path));
      continue;
    }
    const one = { folder: path.slice(0, path.length - host.baseName(path).length), source };
    const unpacked = drive(host, unpack(one), ([done, total]) => `${source.name} ${percent(done, total)}`);
    missing.push(...unpacked.problems);
    if (!unpacked.ok) continue;
    if (unpacked.value.is === 'farm file') missing.push(farmFile(path));
    else placed.push(...(unpacked.value.is === 'records' ? unpacked.value.placed : [one]));
  }
  return { bundles: bundlesByFolder(placed).map((one) => one.bundle), missing };
}

/** A folder of task data stands for its files; it is always handed over whole. */
function filesAt(host: Host, path: string): string[] {
  if (host.kind(path) !== 'folder') return [path];
  const names = host.list(path).filter((one) => !one.startsWith('.'));
  if (names.some(isTaskDataName)) {
    return names.map((name) => host.join(path, name)).filter((one) => host.kind(one) === 'file');
  }
  const inside = names.find((name) => /^taskdata$/i.test(name));
  return inside === undefined ? [path] : filesAt(host, host.join(path, inside));
}

function farmFile(path: string): Problem {
  return problem('error', 'farm-file', `${path} is a farm file: records never cross from one farm to another.`, {
    where: { file: path },
    hint: `Study it by itself: seedfall study ${path}.`,
  });
}

function fileMissing(host: Host, path: string): Problem {
  return host.kind(path) === 'folder'
    ? problem('error', 'file-missing', `${path} is a folder.`, {
        where: { file: path },
        hint: 'Name the files in it; only a folder of task data is taken whole.',
      })
    : problem('error', 'file-missing', `There is no file ${path}.`, { where: { file: path } });
}
