/** Files that were just written, read again by the readers that a person's own files go through, and held against what was meant. */
import { geodesicAreaM2 } from '../geometry/geodesic.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import { done, type Outcome, problem, type Problem, refused } from '../model/problem.ts';
import { readBundle } from './importers.ts';

export interface Meant {
  readonly polygon: MultiPolygon;
  /** What the column `rate` holds; null where there is none. */
  readonly rate: number | null;
}

export interface ReadBack {
  readonly name: string;
  readonly features: number;
  /** Geodesic. */
  readonly areaM2: number;
}

/** Corners rounded to 9 decimals of a degree move an area by 0.05 m² a kilometre of edge; shapefiles are exact. */
const AREA_SLACK = { relative: 1e-6, absoluteM2: 0.1 };
/** A table holds 15 decimals. */
const RATE_SLACK = 1e-9;

/** @param files one file, or the loose parts of a shapefile with the .shp first */
export function readBack(
  files: readonly { readonly name: string; readonly bytes: Uint8Array }[],
  meant: readonly Meant[],
): Outcome<ReadBack> {
  const { name } = files[0]!;
  const parts = files.map((file) => ({ name: file.name, size: file.bytes.length, chunks: () => [file.bytes] }));
  const reading = readBundle({ name, parts }, {});
  let turn = reading.next();
  while (!turn.done) turn = reading.next();
  if (!turn.value.ok) return refused(broken(name, 'could not be read'), ...turn.value.problems);
  const { records } = turn.value.value;
  if (records.kind !== 'boundaries' && records.kind !== 'drawn patches')
    return refused(broken(name, `was taken for ${records.kind}`));
  const { features } = records;
  if (features.length !== meant.length)
    return refused(broken(name, `gave ${features.length} zones instead of ${meant.length}`));
  for (const [index, { polygon, rate }] of meant.entries()) {
    const read = features[index]!;
    const areaM2 = geodesicAreaM2(polygon);
    if (Math.abs(read.areaM2 - areaM2) > AREA_SLACK.relative * areaM2 + AREA_SLACK.absoluteM2)
      return refused(
        broken(name, `gave ${read.areaM2.toFixed(1)} m² for zone ${index + 1} instead of ${areaM2.toFixed(1)}`),
      );
    if (rate === null) continue;
    const [, value] = Object.entries(read.properties).find(([column]) => /^rate(?!_\d)/.test(column)) ?? [];
    if (typeof value !== 'number' || Math.abs(value - rate) > RATE_SLACK * Math.abs(rate))
      return refused(broken(name, `gave the rate ${value} for zone ${index + 1} instead of ${rate}`));
  }
  return done({ name, features: features.length, areaM2: features.reduce((sum, one) => sum + one.areaM2, 0) });
}

function broken(name: string, what: string): Problem {
  return problem('error', 'read-back', `${name} was written, but reading it back ${what}: it is not handed over.`, {
    where: { file: name },
    hint: 'This is a fault of this program: please report it with the farm file.',
  });
}
