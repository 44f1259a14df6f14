/** Loose files put together to what is read as one: the parts of a shapefile belong to their .shp. */
import type { ByteSource } from '../model/records.ts';
import type { Bundle } from './importer.ts';

const SHAPEFILE_PART = /\.(shp|shx|dbf|prj|cpg|sbn|sbx|qix|shp\.xml)$/i;

/** Bundles in the order in which their first file came. Parts belong together by folder and name, whatever the letters' case. */
export function groupIntoBundles(sources: readonly ByteSource[]): Bundle[] {
  const groups = new Map<string, ByteSource[]>();
  for (const source of sources) {
    const key = SHAPEFILE_PART.test(source.name)
      ? `parts of ${source.name.replace(SHAPEFILE_PART, '').toLowerCase()}`
      : `file ${source.name}`;
    const group = groups.get(key);
    if (group && key.startsWith('parts')) group.push(source);
    else groups.set(group ? `${key} ${groups.size}` : key, [source]);
  }
  return [...groups.values()].map((parts) => {
    const shp = parts.find((part) => /\.shp$/i.test(part.name));
    return { name: (shp ?? parts[0]!).name, parts };
  });
}

/** A source and the folder that it lies in ("", "harvest/", "fields.zip/north/"). */
export interface PlacedSource {
  readonly folder: string;
  readonly source: ByteSource;
}

/** Bundles, never across folders. */
export function bundlesByFolder(placed: readonly PlacedSource[]): { folder: string; bundle: Bundle }[] {
  const byFolder = new Map<string, ByteSource[]>();
  for (const { folder, source } of placed) byFolder.set(folder, [...(byFolder.get(folder) ?? []), source]);
  return [...byFolder].flatMap(([folder, sources]) => groupIntoBundles(sources).map((bundle) => ({ folder, bundle })));
}
