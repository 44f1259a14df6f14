/** The files that a person named, as bundles to read: the parts of a shapefile together, but never across folders. */
import { groupIntoBundles } from '../../shared/import/bundles.ts';
import type { Bundle } from '../../shared/import/importer.ts';
import { type Problem, problem } from '../../shared/model/problem.ts';
import type { ByteSource } from '../../shared/model/records.ts';
import type { Host } from './host.ts';

export function bundlesAt(host: Host, paths: readonly string[]): { bundles: Bundle[]; missing: Problem[] } {
  const missing: Problem[] = [];
  const byFolder = new Map<string, ByteSource[]>();
  for (const path of new Set(paths)) {
    const source = host.open(path);
    if (!source) {
      missing.push(fileMissing(host, path));
      continue;
    }
    const folder = path.slice(0, path.length - host.baseName(path).length);
    byFolder.set(folder, [...(byFolder.get(folder) ?? []), source]);
  }
  return { bundles: [...byFolder.values()].flatMap((sources) => groupIntoBundles(sources)), missing };
}

function fileMissing(host: Host, path: string): Problem {
  return host.kind(path) === 'folder'
    ? problem('error', 'file-missing', `${path} is a folder.`, {
        where: { file: path },
        hint: 'Name the files in it.',
      })
    : problem('error', 'file-missing', `There is no file ${path}.`, { where: { file: path } });
}
