/**
 * What every boundary format shares once its bytes are read: shapes with degrees and their attributes become boundaries or
 * drawn patches, with a name, a geodesic area, and every repair told. What cannot be used is counted and named, never dropped
 * in silence.
 */
import { geodesicAreaM2 } from '../geometry/geodesic.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import { done, problem, ProblemList, refused, type Outcome, type Place } from '../model/problem.ts';
import type { BoundaryFeature, BoundaryRecords, ColumnReading } from '../model/records.ts';
import { chooseNameColumn, choosePatchColumns, type PatchColumns } from './boundary-names.ts';
import { boundsOf, cleanShape } from './boundary-shape.ts';
import type { ReadFile, ReadingWishes } from './importer.ts';

export type Scalar = string | number | boolean | null;

/** So that a host can draw and be stopped; a feature takes a millisecond or so. */
const FEATURES_A_TURN = 8;

/** One feature as a format gives it. */
export interface Candidate {
  /** File or layer that it stands in, and its number there, from 1. */
  readonly file: string;
  readonly feature: number;
  /** Polygons → rings, outer first → corners, as in the file; [] where the feature has no shape. */
  readonly polygons: LonLat[][][];
  readonly properties: Readonly<Record<string, Scalar>>;
  /** A closed line, not a polygon: offered as a boundary. */
  readonly closedLine?: boolean;
  /** Its format asks for outer rings counter-clockwise; others are told. */
  readonly rightHanded?: boolean;
  /** Why it cannot be used; `what` follows the feature's name in a sentence. */
  readonly refused?: { readonly code: string; readonly what: string; readonly hint?: string };
}

export interface Assembly {
  readonly importer: string;
  readonly file: string;
  readonly candidates: readonly Candidate[];
  /** Features that the file should hold, lost ones included. */
  readonly rows: number;
  readonly crs: string;
  readonly wishes: ReadingWishes;
  /** Of the whole file: progress is told in them. */
  readonly bytes: number;
}

/**
 * Boundaries or drawn patches out of candidates in degrees.
 * Yields the second half of [bytes done, bytes in all]; the reading of the bytes is the first.
 * @returns A refusal only where every feature of the file had to be refused; a file without features gives none, told.
 */
export function* assembleBoundaries(assembly: Assembly): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const { candidates, file, wishes } = assembly;
  const problems = new ProblemList();
  const rows = candidates.map((one) => one.properties);
  const nameColumn = chooseNameColumn(rows, wishes.columns?.['name']);
  const patches = wishes.as === 'boundaries' ? null : choosePatchColumns(rows);
  const kind = wishes.as === 'drawn patches' || patches !== null ? 'drawn patches' : 'boundaries';
  const noun = kind === 'boundaries' ? 'Field' : 'Patch';

  if (wishes.columns?.['name'] !== undefined && nameColumn?.by !== 'person') {
    const text = `There is no column “${wishes.columns['name']}” to name the features by.`;
    problems.add(problem('warning', 'column-missing', text, { where: { file } }));
  }
  if (candidates.length === 0) {
    problems.add(problem('warning', 'no-fields', 'There are no fields in this file.', { where: { file } }));
  }
  const anyPolygon = candidates.some((one) => !one.closedLine && one.polygons.length > 0);
  const features: BoundaryFeature[] = [];
  const places: Place[] = [];
  let woundWrong = 0;
  for (const [index, candidate] of candidates.entries()) {
    if (index % FEATURES_A_TURN === 0) yield [(assembly.bytes * (1 + index / candidates.length)) / 2, assembly.bytes];
    const given = nameColumn === null ? null : (candidate.properties[nameColumn.column] ?? null);
    const isNamed = given !== null && String(given).trim() !== '';
    const name = isNamed ? String(given).trim() : `${noun} ${index + 1}`;
    const where = { file: candidate.file, feature: candidate.feature, ...(isNamed ? { id: name } : {}) };
    const who = isNamed ? `“${name}” (feature ${candidate.feature})` : `Feature ${candidate.feature}`;
    const tell = (level: 'warning' | 'note', code: string, what: string, more: { at?: LonLat; hint?: string } = {}) =>
      problems.add(
        problem(level, code, `${who} ${what}.`, {
          where: more.at === undefined ? where : { ...where, at: more.at },
          ...(more.hint === undefined ? {} : { hint: more.hint }),
        }),
      );

    if (candidate.refused) {
      const { code, what, hint } = candidate.refused;
      tell('warning', code, what, hint === undefined ? {} : { hint });
      continue;
    }
    if (candidate.polygons.length === 0) {
      tell('warning', 'shape-missing', 'has no shape and is left out');
      continue;
    }
    if (candidate.closedLine && anyPolygon && wishes.as === undefined) {
      tell('warning', 'line-closed', 'is a closed line among polygons and is left out', {
        hint: 'If it is a boundary, bring the file in as boundaries (--as boundaries), or save the line as a polygon.',
      });
      continue;
    }
    if (candidate.closedLine) {
      tell('warning', 'line-closed', 'is a closed line, not a polygon: it is offered as a boundary', {
        hint: 'If it is a path and not a boundary, leave it out.',
      });
    }
    const clean = cleanShape(candidate.polygons, tell);
    if (clean === null) continue;
    const { polygon } = clean;
    if (candidate.rightHanded) woundWrong += clean.woundWrong;
    if (patches !== null && !patches.hasDensity(candidate.properties)) {
      tell('warning', 'density-class-missing', 'has no density', {
        hint: 'Say thin, medium or thick, or plants per m².',
      });
    }
    features.push({
      feature: index + 1,
      name,
      polygon,
      properties: candidate.properties,
      areaM2: geodesicAreaM2(polygon),
    });
    places.push(where);
  }
  if (woundWrong > 0) {
    const rings = woundWrong === 1 ? '1 ring is' : `${woundWrong} rings are`;
    const text = `${rings} wound against the right-hand rule (RFC 7946); that changes no area, they are turned round.`;
    problems.add(problem('note', 'winding', text, { where: { file } }));
  }
  tellTwins(features, places, problems, kind);
  if (features.length === 0 && candidates.length > 0 && candidates.every((one) => one.refused)) {
    const lost = problem('error', 'nothing-usable', `None of the ${assembly.rows} features can be used.`, {
      where: { file },
    });
    return refused(...problems.list(), lost);
  }

  const records: BoundaryRecords = {
    kind,
    features,
    bounds: boundsOfAll(features.map((one) => one.polygon)),
    crs: assembly.crs,
  };
  const columns: Record<string, ColumnReading> = {};
  if (nameColumn) columns['name'] = nameColumn;
  if (patches) columns[patches.density.unit ? 'density' : 'density class'] = patches.density;
  if (patches?.species) columns['species'] = patches.species;
  return done(
    {
      reading: {
        importer: assembly.importer,
        takenFor: kind,
        why: whyOf(kind, features.length, assembly.rows, patches, nameColumn, wishes),
        crs: assembly.crs,
        columns,
        rows: assembly.rows,
        unusedRows: assembly.rows - features.length,
      },
      records,
    },
    problems.list(),
  );
}

function whyOf(
  kind: BoundaryRecords['kind'],
  used: number,
  rows: number,
  patches: PatchColumns | null,
  name: ColumnReading | null,
  wishes: ReadingWishes,
): string {
  const named = name ? `; named by “${name.column}”: ${name.because}` : '; without names: numbered';
  const count =
    used !== rows
      ? `${used} of ${rows} features are usable polygons`
      : rows === 1
        ? '1 polygon feature'
        : `${rows} polygon features`;
  if (wishes.as === kind) return `${count}, taken for ${kind} as you said${named}.`;
  if (patches) {
    const species = patches.species ? `, “${patches.species.column}” the species` : '';
    return `${count}, and ${patches.density.because}: drawn patches${species}${named}.`;
  }
  return `${count} without a density class: boundaries${named}.`;
}

/**
 * Tells the same field given twice (same name and shape), shapes that coincide under two names, and names that two shapes bear.
 * All are kept.
 */
function tellTwins(features: BoundaryFeature[], places: Place[], problems: ProblemList, kind: string): void {
  const label = (i: number) => `“${features[i]!.name}” (feature ${places[i]!.feature} of ${places[i]!.file})`;
  const boxes = features.map((one) => boundsOf(one.polygon));
  const order = features.map((_, i) => i).sort((a, b) => boxes[a]![0] - boxes[b]![0] || a - b);
  const coinciding = new Set<string>();
  order.forEach((i, position) => {
    for (let k = position + 1; k < order.length; k++) {
      const j = order[k]!;
      if (boxes[j]![0] - boxes[i]![0] > SAME_PLACE_DEG) break;
      if (!coincide(features[i]!, boxes[i]!, features[j]!, boxes[j]!)) continue;
      const [first, second] = i < j ? [i, j] : [j, i];
      coinciding.add(`${first} ${second}`);
      const sameName = features[first]!.name === features[second]!.name;
      problems.add(
        problem(
          'warning',
          sameName ? 'field-twice' : 'shape-twice',
          `${label(second)} has the same shape as ${label(first)}; both are kept.`,
          { where: places[second]!, hint: 'Leave one of them out unless both are meant.' },
        ),
      );
    }
  });
  const firstOf = new Map<string, number>();
  features.forEach(({ name }, i) => {
    const first = firstOf.get(name);
    if (first === undefined) firstOf.set(name, i);
    else if (kind === 'boundaries' && !coinciding.has(`${first} ${i}`)) {
      problems.add(
        problem('warning', 'name-twice', `${label(i)} bears the same name as ${label(first)} but is another shape.`, {
          where: places[i]!,
          hint: 'Rename one, or join them into one field.',
        }),
      );
    }
  });
}

/** 2 cm: what a file's own rounding moves a corner. */
const SAME_PLACE_DEG = 2e-7;

function coincide(a: BoundaryFeature, boxA: Bounds, b: BoundaryFeature, boxB: Bounds): boolean {
  const sameBox = boxA.every((edge, i) => Math.abs(edge - boxB[i]!) <= SAME_PLACE_DEG);
  return sameBox && Math.abs(a.areaM2 - b.areaM2) <= 1e-4 * Math.max(a.areaM2, b.areaM2);
}

/** NaN edges where there is no feature. */
function boundsOfAll(polygons: readonly MultiPolygon[]): Bounds {
  if (polygons.length === 0) return [NaN, NaN, NaN, NaN];
  let [west, south, east, north] = boundsOf(polygons[0]!);
  for (const polygon of polygons) {
    const box = boundsOf(polygon);
    west = Math.min(west, box[0]);
    south = Math.min(south, box[1]);
    east = Math.max(east, box[2]);
    north = Math.max(north, box[3]);
  }
  return [west, south, east, north];
}
