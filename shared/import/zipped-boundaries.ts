/** Boundaries inside a .zip: shapefiles and GeoJSON files, in folders or not; several layers are taken together, told. */
import { problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import { openArchive, type ArchiveEntry } from './archive.ts';
import { assembleBoundaries, type Candidate } from './boundaries.ts';
import { groupIntoBundles } from './bundles.ts';
import { readGeojson } from './geojson.ts';
import type { ReadFile, ReadingWishes } from './importer.ts';
import { readLayer, type LayerPart } from './shapefile-layer.ts';

export function* readZipped(
  bytes: Uint8Array,
  file: string,
  wishes: ReadingWishes,
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const opened = openArchive(bytes);
  if (!opened.ok) return refused(...opened.problems.map((one) => inFile(one, file)));
  const problems: Problem[] = opened.problems.map((one) => inFile(one, file));
  const entryOf = new Map(opened.value.map((entry) => [entry.name, entry]));
  const bundles = groupIntoBundles(opened.value.map(({ name, size }) => ({ name, size, chunks: () => [] })));
  const layers = bundles.filter(
    ({ name }) => /\.(shp|geojson)$/i.test(name) || (/\.json$/i.test(name) && bundles.length === 1),
  );
  if (layers.length === 0) {
    const names = opened.value.map((entry) => entry.name);
    const list = names.length > 5 ? `${names.slice(0, 5).join(', ')} and ${names.length - 5} more` : names.join(', ');
    return refused(
      ...problems,
      problem(
        'error',
        'zip-without-boundaries',
        `There is no .shp or .geojson in the .zip; it holds ${list || 'no files'}.`,
        {
          where: { file },
          hint: 'Other records are brought in unpacked: unpack the .zip and drop its files.',
        },
      ),
    );
  }
  const candidates: Candidate[] = [];
  const systems: string[] = [];
  let rows = 0;
  let usable = 0;
  for (const { name, parts } of layers) {
    const layer = /\.shp$/i.test(name)
      ? readZippedLayer(
          parts.map((part) => entryOf.get(part.name)!),
          name,
          wishes,
        )
      : readZippedGeojson(entryOf.get(name)!, wishes);
    problems.push(...layer.problems);
    if (!layer.ok) continue;
    usable++;
    rows += layer.value.rows;
    candidates.push(...layer.value.candidates);
    systems.push(layer.value.crs);
  }
  if (usable === 0) return refused(...problems);
  if (layers.length > 1) {
    const list = layers.map((layer) => layer.name).join(', ');
    const text = `The .zip holds ${layers.length} layers (${list}); ${usable === layers.length ? 'all are' : `${usable} of them ${usable === 1 ? 'is' : 'are'}`} taken.`;
    const hint = 'Leave out the features of a layer that you do not need; coinciding fields are named below.';
    problems.push(problem('warning', 'layers-several', text, { where: { file }, hint }));
  }
  const outcome = yield* assembleBoundaries({
    importer: 'shapefile',
    bytes: bytes.length,
    file,
    candidates,
    rows,
    crs: [...new Set(systems)].join('; '),
    wishes,
  });
  return { ...outcome, problems: [...problems, ...outcome.problems] };
}

function readZippedLayer(
  entries: readonly ArchiveEntry[],
  name: string,
  wishes: ReadingWishes,
): ReturnType<typeof readLayer> {
  const parts: Partial<Record<LayerPart, Uint8Array>> = {};
  const problems: Problem[] = [];
  for (const entry of entries) {
    const part = /\.(shp|shx|dbf|prj|cpg)$/i.exec(entry.name)?.[1]?.toLowerCase() as LayerPart | undefined;
    if (part === undefined) continue;
    const content = entry.read();
    if (content.ok) parts[part] = content.value;
    else if (part === 'shp') return refused(...content.problems);
    else problems.push(...content.problems.map((one): Problem => ({ ...one, level: 'warning' })));
  }
  const layer = readLayer(parts, name, wishes);
  return { ...layer, problems: [...problems, ...layer.problems] };
}

function readZippedGeojson(entry: ArchiveEntry, wishes: ReadingWishes): ReturnType<typeof readLayer> {
  const content = entry.read();
  if (!content.ok) return content;
  const layer = readGeojson(content.value, entry.name, wishes);
  return layer.ok ? { ...layer, value: { ...layer.value, rows: layer.value.candidates.length } } : layer;
}

function inFile(one: Problem, file: string): Problem {
  return { ...one, where: { file, ...one.where } };
}
