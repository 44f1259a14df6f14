/**
 * Shapefile boundaries, from loose parts (.shp with .shx, .dbf, .prj, .cpg) or from a .zip.
 *
 * A reader of our own, not the npm one: that halves a cut file in silence, takes metres without .prj as degrees, hangs on a cut
 * .zip, nests holes by winding and gives nothing at all where one record is damaged (seen on reference/file-interop, whose
 * cases ask that the other records stay usable). It judges this one in the tests.
 * @source Esri shapefile technical description, July 1998; reference/file-interop.
 */
import type { Outcome } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { assembleBoundaries } from './boundaries.ts';
import { readWhole } from './bundle-bytes.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { pointsOf } from './point-table.ts';
import { readLayer, type LayerPart } from './shapefile-layer.ts';
import { readZipped } from './zipped-boundaries.ts';

export const shapefileImporter: Importer = {
  id: 'shapefile',
  title: 'Shapefile',

  recognize(bundle: Bundle, head: Uint8Array): number {
    // Points with their attributes are a table, not boundaries.
    if (pointsOf(bundle)) return 0;
    if (bundle.parts.some((part) => /\.shp$/i.test(part.name))) return 1;
    if (isZip(bundle, head)) return 0.9;
    if (head.length >= 4 && head[0] === 0 && head[1] === 0 && head[2] === 0x27 && head[3] === 0x0a) return 0.8;
    return /\.(shx|dbf|prj|cpg)$/i.test(bundle.name) ? 0.5 : 0;
  },

  *read(bundle: Bundle, wishes: ReadingWishes): Generator<readonly [number, number], Outcome<ReadFile>, void> {
    const parts: Partial<Record<LayerPart, Uint8Array>> = {};
    const bytes = bundle.parts.reduce((sum, part) => sum + part.size, 0);
    let before = 0;
    for (const source of bundle.parts) {
      const content = yield* readWhole(source, before, bytes);
      before += source.size;
      if (bundle.parts.length === 1 && isZip(bundle, content)) return yield* readZipped(content, bundle.name, wishes);
      const part = partOf(source, bundle);
      if (part !== null) parts[part] = content;
    }
    const layer = readLayer(parts, bundle.name, wishes);
    if (!layer.ok) return layer;
    const { candidates, rows, crs } = layer.value;
    const file = bundle.name;
    const outcome = yield* assembleBoundaries({ importer: 'shapefile', file, candidates, rows, crs, wishes, bytes });
    return { ...outcome, problems: [...layer.problems, ...outcome.problems] };
  },
};

/** By name, or by its first letters where the name has no ending: .kmz and others are zips, too. */
function isZip(bundle: Bundle, head: Uint8Array): boolean {
  if (/\.\w+$/.test(bundle.name)) return /\.zip$/i.test(bundle.name);
  return head[0] === 0x50 && head[1] === 0x4b;
}

function partOf(source: ByteSource, bundle: Bundle): LayerPart | null {
  const ending = /\.(shp|shx|dbf|prj|cpg)$/i.exec(source.name)?.[1]?.toLowerCase();
  if (ending !== undefined) return ending as LayerPart;
  return bundle.parts.length === 1 ? 'shp' : null;
}
