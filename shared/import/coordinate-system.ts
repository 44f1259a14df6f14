/**
 * From the numbers of a file to degrees on WGS 84. Order of trust: what the person says, what the file says (.prj, crs member),
 * the format's own rule (RFC 7946: degrees), then the numbers themselves, and those only as a question. UTM is never assumed.
 * @source methods-spatial §15; reference/file-interop.
 */
import { projectionFromEpsg, projectionFromWkt } from '../geometry/projection.ts';
import type { LonLat } from '../geometry/types.ts';
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import type { Candidate } from './boundaries.ts';
import { capital } from '../units/words.ts';

/** What a file says of its coordinates. */
export type SystemClue =
  | { readonly kind: 'wkt'; readonly text: string; readonly from: string }
  | { readonly kind: 'epsg'; readonly code: number; readonly from: string }
  | { readonly kind: 'degrees'; readonly from: string }
  | { readonly kind: 'none'; readonly missing: string };

export interface InDegrees {
  readonly candidates: readonly Candidate[];
  /** In words, with where it is known from. */
  readonly crs: string;
}

export interface System {
  readonly toLonLat: (x: number, y: number) => LonLat;
  /** Null where the person's word makes the numbers' size no evidence. */
  readonly isDegrees: boolean | null;
  readonly crs: string;
  readonly notes: readonly string[];
}

/** Beyond this no coordinate on Earth lies, in metres or in feet. */
const FARTHEST = 1e8;

/**
 * Candidates with degrees for the file's numbers. A single one outside the Earth becomes a refused candidate; where none
 * fits, the file is refused with what to say (`coordinates-swapped`, `coordinate-system-unknown`, `coordinate-system-wrong`).
 */
export function toDegrees(
  candidates: readonly Candidate[],
  clue: SystemClue,
  wish: string | undefined,
  file: string,
): Outcome<InDegrees> {
  const extents = candidates.map(extentOf).filter((extent) => extent !== null);
  const found = findSystem(extents, clue, wish, file);
  if (!found.ok) return found;
  const system = found.value;
  return done({ candidates: candidates.map((one) => converted(one, system)), crs: system.crs }, found.problems);
}

/** The system of a file's numbers, or why it cannot be told. @param extents of its shapes, or of some of them */
export function findSystem(
  extents: readonly Extent[],
  clue: SystemClue,
  wish: string | undefined,
  file: string,
): Outcome<System> {
  const problems: Problem[] = [];
  const all = (test: (extent: Extent) => boolean) => extents.length > 0 && extents.every(test);
  const where = { file };

  let system: System;
  const wished = wish === undefined ? null : systemOfWish(wish);
  if (wished !== null) {
    if (!wished.ok) return refused(problem('error', 'coordinate-system-not-read', wished.why, { where }));
    system = wished.system;
    if (clue.kind === 'wkt' || clue.kind === 'epsg') {
      const text = `${clue.from} names a coordinate system; yours, ${system.crs}, is used instead.`;
      problems.push(problem('warning', 'coordinate-system-overridden', capital(text), { where }));
    }
  } else if (clue.kind === 'wkt' || clue.kind === 'epsg') {
    const found = clue.kind === 'wkt' ? projectionFromWkt(clue.text) : projectionFromEpsg(clue.code);
    if (!found.ok) {
      return refused(
        problem(
          'error',
          'coordinate-system-not-read',
          `The coordinate system in ${clue.from} is not read: ${found.why}`,
          {
            where,
            hint: SAY_WHICH,
          },
        ),
      );
    }
    const probe = found.toLonLat(-93, 42);
    const isDegrees = Math.abs(probe[0] + 93) < 0.01 && Math.abs(probe[1] - 42) < 0.01;
    system = {
      toLonLat: found.toLonLat,
      isDegrees,
      crs: `${found.describe}${clue.kind === 'wkt' ? epsgOfName(found.describe) : ''} (from ${clue.from})`,
      notes: found.notes,
    };
  } else {
    const why = clue.kind === 'degrees' ? clue.from : 'taken by its numbers';
    system = { toLonLat: (x, y) => [x, y], isDegrees: true, crs: `WGS 84 (${why})`, notes: [] };
  }

  if (system.isDegrees && !extents.some(fitsDegrees)) {
    if (all(looksSwapped)) return refused(swappedProblem(extents[0]!, file));
    if (all((extent) => largest(extent) <= FARTHEST && largest(extent) > 180)) {
      const { x, y } = extents[0]!;
      const said = clue.kind === 'none' ? `${clue.missing}, and ` : `${capital(system.crs)} says degrees, but `;
      return refused(
        problem(
          'error',
          'coordinate-system-unknown',
          `${said}numbers such as x ${grouped(x)}, y ${grouped(y)} cannot be degrees: they are meters or feet of some system.`,
          { where, hint: `${SAY_WHICH}${utmSuggestion(x, y)}` },
        ),
      );
    }
  }
  if (system.isDegrees === false && all(fitsDegrees)) {
    return refused(
      problem(
        'error',
        'coordinate-system-wrong',
        `${capital(system.crs)} has meters or feet, but numbers such as ${extents[0]!.x}, ${extents[0]!.y} look like degrees.`,
        { where, hint: 'If they are degrees, say so: “WGS 84” as the coordinate system (--crs "WGS 84").' },
      ),
    );
  }
  if (clue.kind === 'none' && wished === null && extents.length > 0) {
    problems.push(
      problem(
        'warning',
        'coordinate-system-unknown',
        `${clue.missing}; the numbers fit degrees and are taken as longitude and latitude on WGS 84.`,
        {
          where,
          hint: `Look at the map: do the fields lie where they should? If not, say which coordinate system it is, for example EPSG:26915 (--crs EPSG:26915).`,
        },
      ),
    );
  }
  for (const note of system.notes) problems.push(problem('note', 'coordinate-system-note', note, { where }));
  return done(system, problems);
}

const SAY_WHICH = 'Say which coordinate system it is, for example EPSG:26915 (--crs EPSG:26915).';

function systemOfWish(wish: string): { ok: true; system: System } | { ok: false; why: string } {
  const epsg = /^\s*(?:epsg\s*:?\s*)?(\d{4,6})\s*$/i.exec(wish);
  if (epsg) {
    const found = projectionFromEpsg(Number(epsg[1]));
    if (!found.ok) return { ok: false, why: `The coordinate system “${wish}” is not known here: ${found.why}` };
    const isDegrees = Math.abs(found.toLonLat(-93, 42)[0] + 93) < 0.01;
    return {
      ok: true,
      system: { toLonLat: found.toLonLat, isDegrees, crs: `${found.describe} (as you said)`, notes: found.notes },
    };
  }
  if (/wgs\s*-?_?84|lon|lat/i.test(wish)) {
    const swap = /lat[a-z]*\W+(first|lon)/i.test(wish) || /swap/i.test(wish);
    return {
      ok: true,
      system: {
        toLonLat: swap ? (x, y) => [y, x] : (x, y) => [x, y],
        isDegrees: swap ? null : true,
        crs: swap ? 'WGS 84, latitude before longitude (as you said)' : 'WGS 84 (as you said)',
        notes: [],
      },
    };
  }
  return { ok: false, why: `“${wish}” is not a coordinate system this tool knows: write EPSG:26915 or WGS 84.` };
}

/** The code of the systems that most .prj name without one. */
function epsgOfName(name: string): string {
  const utm = /^(WGS_1984|NAD_1983)_UTM_Zone_(\d{1,2})(N|S)\b/i.exec(name);
  if (utm) {
    const isWgs = utm[1]!.toUpperCase().startsWith('WGS');
    if (utm[3]!.toUpperCase() === 'S') return isWgs ? `, EPSG:${32700 + Number(utm[2])}` : '';
    return `, EPSG:${(isWgs ? 32600 : 26900) + Number(utm[2])}`;
  }
  return /^(GCS_WGS_1984|WGS 84)$/i.test(name) ? ', EPSG:4326' : '';
}

function converted(candidate: Candidate, system: System): Candidate {
  if (candidate.refused || candidate.polygons.length === 0) return candidate;
  const refuse = (code: string, what: string, hint?: string): Candidate => ({
    ...candidate,
    polygons: [],
    refused: { code, what, ...(hint === undefined ? {} : { hint }) },
  });
  let bad: LonLat | null = null;
  let badCode = '';
  const polygons = candidate.polygons.map((rings) =>
    rings.map((ring) =>
      ring.map((corner): LonLat => {
        const [x, y] = corner;
        const at = system.toLonLat(x, y);
        if (bad === null && !(Number.isFinite(x) && Number.isFinite(y))) {
          bad = corner;
          badCode = 'coordinate-not-finite';
        } else if (
          bad === null &&
          !(Math.abs(at[0]) <= 180 && Math.abs(at[1]) <= 90 && Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST)
        ) {
          bad = corner;
          badCode = 'coordinate-out-of-range';
        }
        return at;
      }),
    ),
  );
  if (bad === null) return { ...candidate, polygons };
  const [x, y] = bad as LonLat;
  if (badCode === 'coordinate-not-finite') {
    return refuse(badCode, `has a coordinate that is not a number (${x}, ${y}) and is left out`);
  }
  const extent = extentOf(candidate);
  if (system.isDegrees && extent !== null && looksSwapped(extent)) {
    return refuse('coordinates-swapped', `has a latitude of ${y}: longitude and latitude look swapped; it is left out`);
  }
  return refuse(badCode, `has the coordinate ${x}, ${y}, which is nowhere on Earth, and is left out`);
}

/** Whether a corner can be one in any unit at all. */
export function isOnEarth([x, y]: LonLat): boolean {
  return Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST;
}

export interface Extent {
  /** First corner. */
  readonly x: number;
  readonly y: number;
  readonly largestX: number;
  readonly largestY: number;
}

/** Null where there is no corner, or one that is not a number. */
function extentOf(candidate: Candidate): Extent | null {
  let largestX = 0;
  let largestY = 0;
  let first: LonLat | null = null;
  for (const rings of candidate.polygons) {
    for (const ring of rings) {
      for (const corner of ring) {
        first ??= corner;
        largestX = Math.max(largestX, Math.abs(corner[0]));
        largestY = Math.max(largestY, Math.abs(corner[1]));
      }
    }
  }
  if (first === null || !Number.isFinite(largestX) || !Number.isFinite(largestY)) return null;
  return { x: first[0], y: first[1], largestX, largestY };
}

const largest = (extent: Extent) => Math.max(extent.largestX, extent.largestY);
const fitsDegrees = (extent: Extent) => extent.largestX <= 180 && extent.largestY <= 90;
const looksSwapped = (extent: Extent) => extent.largestX <= 90 && extent.largestY > 90 && extent.largestY <= 180;

function swappedProblem(extent: Extent, file: string): Problem {
  return problem(
    'error',
    'coordinates-swapped',
    `A latitude of ${extent.y} does not exist: longitude and latitude look swapped (first corner ${extent.x}, ${extent.y}).`,
    {
      where: { file },
      hint: 'To take the first number as latitude, say “WGS 84, latitude first” as the coordinate system (--crs "WGS 84, latitude first").',
    },
  );
}

/** Where the place would lie in the UTM zones of the conterminous United States and Canada, for a person to pick from. */
function utmSuggestion(x: number, y: number): string {
  if (x < 100_000 || x > 900_000 || y < 0 || y > 10_000_000) return '';
  const zones: string[] = [];
  let latitude = NaN;
  for (let zone = 10; zone <= 20; zone++) {
    const found = projectionFromEpsg(32600 + zone);
    if (!found.ok) continue;
    const [lon, lat] = found.toLonLat(x, y);
    latitude = lat;
    zones.push(`EPSG:${32600 + zone} at longitude ${lon.toFixed(2)}`);
  }
  return ` They fit UTM meters, latitude ${latitude.toFixed(2)}; they would lie by zone: ${zones.join(', ')}.`;
}

function grouped(value: number): string {
  return Math.round(value)
    .toString()
    .replace(/\B(?=(\d{3})+$)/g, '\u202f');
}
