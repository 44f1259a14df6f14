/**
 * Zones that a machine can treat, proposed from what is known of the weed: where the chance of it reaches the threshold,
 * where a person drew it, and where nobody looked.
 *
 * Nothing known is left out in silence: zones grow by the buffer, narrow parts are widened, small ones joined or dropped, and
 * each of these is told with its area. Unknown ground counts as infested for protection, as a zone of its own kind.
 * @source methods-spatial §11; methods-season §10 (the buffer is the caller's)
 */
import { buffer, dropSlivers, intersect, openByWidth, subtract, union } from '../geometry/clip.ts';
import { contourAtLevel } from '../geometry/contour.ts';
import { maskInside } from '../geometry/grid.ts';
import { polygonAreaM2 } from '../geometry/polygon.ts';
import { simplifyKeepingArea } from '../geometry/simplify.ts';
import type { FlatMultiPolygon, Grid } from '../geometry/types.ts';
import { fitArea, type Part } from './least-area.ts';
import { fitWidth } from './machine-width.ts';
import { type Phrase, phrase } from './phrase.ts';

export type ZoneReason = 'above the threshold' | 'drawn patch' | 'not looked at';

export interface ZonesInput {
  /** Ground that may be treated: exclusions already taken out. */
  readonly field: FlatMultiPolygon;
  /** Probability that the density exceeds its threshold, at cell centres; NaN is unknown. */
  readonly probability: Grid | null;
  /** p*: treat where the probability reaches it; 0–1. */
  readonly level: number;
  readonly unknownIsInfested: boolean;
  /** 1 for each cell of the probability's grid that was looked at; null: every cell with a value. */
  readonly known: Uint8Array | null;
  readonly patches: readonly FlatMultiPolygon[];
  readonly bufferM: number;
  readonly minWidthM: number;
  readonly minAreaM2: number;
  readonly simplifyToleranceM: number;
}

export interface ProposedZones {
  /** Connected, disjoint, in the field; by reason, then by size. */
  readonly zones: { readonly area: FlatMultiPolygon; readonly areaM2: number; readonly why: ZoneReason }[];
  readonly told: Phrase[];
}

/** Narrow crumbs of infested ground on a zone's edge under this are left out, told; m². Unknown ground: a machine's square. */
const INFESTED_TOOTH_M2 = 1;

const ORDER: readonly ZoneReason[] = ['above the threshold', 'drawn patch', 'not looked at'];

export function proposeZones(input: ZonesInput): ProposedZones {
  const { field, probability, level, bufferM, minWidthM, minAreaM2 } = input;
  for (const [name, value] of Object.entries({ bufferM, minWidthM, minAreaM2, tolerance: input.simplifyToleranceM })) {
    if (!(value >= 0)) throw new RangeError(`proposeZones: expected ${name} at or above 0, got ${value}`);
  }
  if (!(level > 0 && level <= 1)) throw new RangeError(`proposeZones: expected a level above 0 up to 1, got ${level}`);
  if (input.known !== null && probability === null) {
    throw new RangeError('proposeZones: cells that were looked at need the grid of the probability');
  }
  const told: Phrase[] = [];

  // What is known to be infested, grown by the buffer.
  const reached = probability === null ? null : reachTheEdge(field, probability, input.known);
  const above = reached === null ? [] : aboveTheThreshold(reached, input, told);
  const drawn = intersect(union(input.patches), field);
  const sources = union([above, drawn]);
  const infested = bufferM > 0 ? intersect(buffer(sources, bufferM, { outside: true }), field) : sources;
  if (bufferM > 0 && sources.length > 0) {
    const byM2 = polygonAreaM2(infested) - polygonAreaM2(sources);
    told.push(phrase`Grown by ${{ lengthM: bufferM }} on every side for errors of position: ${{ areaM2: byM2 }} more.`);
  }
  const wide = fitWidth(dropSlivers(infested).polygon, field, minWidthM, INFESTED_TOOTH_M2);
  tellWidth(wide, minWidthM, told);

  // The ground that nobody looked at, where the infested ground leaves it; widened together with it, as they may adjoin.
  let inZone = wide.area;
  let unknown: FlatMultiPolygon = [];
  if (input.unknownIsInfested) {
    const seen = reached === null ? [] : reached.looked;
    const missing = dropSlivers(subtract(subtract(field, seen), inZone)).polygon;
    // Crumbs at the field's edge, less than a cell, are the raster's rounding and not ground that was passed by.
    const crumbM2 = reached === null ? 0 : reached.grid.cellM ** 2;
    const notLooked = missing.filter((polygon) => polygonAreaM2([polygon]) >= crumbM2);
    const crumbsM2 = polygonAreaM2(missing) - polygonAreaM2(notLooked);
    if (crumbsM2 > 1)
      told.push(phrase`${{ areaM2: crumbsM2 }} in crumbs under one cell count as looked at, like the cells beside.`);
    if (notLooked.length > 0) {
      const both = fitWidth(union([inZone, notLooked]), field, minWidthM, minWidthM ** 2);
      const rest = subtract(both.area, inZone);
      unknown = minWidthM > 0 ? openByWidth(rest, minWidthM) : rest;
      inZone = subtract(both.area, unknown);
      const takenM2 = polygonAreaM2(inZone) - polygonAreaM2(wide.area);
      told.push(
        phrase`${{ areaM2: polygonAreaM2(notLooked) }} were not looked at and count as infested for protection.`,
      );
      tellWidth({ ...both, filledM2: 0 }, minWidthM, told);
      if (takenM2 > 1) {
        told.push(phrase`${{ areaM2: takenM2 }} not looked at, too narrow beside a zone, were joined to that zone.`);
      }
    }
  }

  const parts: Part<ZoneReason>[] = [
    ...dropSlivers(inZone).polygon.map((polygon): Part<ZoneReason> => {
      const holdsAbove = polygonAreaM2(intersect([polygon], above)) > 0.01;
      const holdsDrawn = !holdsAbove && polygonAreaM2(intersect([polygon], drawn)) > 0.01;
      const why = holdsAbove ? 'above the threshold' : holdsDrawn ? 'drawn patch' : 'not looked at';
      return { area: [polygon], why };
    }),
    ...dropSlivers(unknown).polygon.map((polygon): Part<ZoneReason> => ({ area: [polygon], why: 'not looked at' })),
  ];
  const sized = fitArea(parts, field, minAreaM2, minWidthM);
  for (const { areaM2, corridorM2, at } of sized.merged) {
    const by = corridorM2 > 1 ? phrase` by a corridor of ${{ areaM2: corridorM2 }}` : '';
    told.push(phrase`A part of ${{ areaM2 }} ${place(at)}, under the least area, was joined to its neighbor${by}.`);
  }
  for (const { areaM2, why, at } of sized.dropped) {
    const least = { areaM2: minAreaM2 };
    told.push(phrase`A part of ${{ areaM2 }} (${why}) ${place(at)} was dropped: under ${least}, no zone near.`);
  }
  const zones = sized.parts
    .flatMap(({ area, why }) => area.map((polygon) => ({ area: [polygon], areaM2: polygonAreaM2([polygon]), why })))
    .sort((a, b) => ORDER.indexOf(a.why) - ORDER.indexOf(b.why) || b.areaM2 - a.areaM2);
  return { zones, told };
}

interface Reached {
  readonly grid: Grid;
  /** Squares of the cells that were looked at. */
  readonly looked: FlatMultiPolygon;
}

/**
 * Cells whose centre lies just outside the field still hold a strip of it: where they have no value of their own they
 * take the mean of their known neighbours inside, so that what is known reaches the field's edge.
 */
function reachTheEdge(field: FlatMultiPolygon, probability: Grid, known: Uint8Array | null): Reached {
  const { columns, rows } = probability;
  if (known !== null && known.length !== columns * rows) {
    throw new RangeError(`proposeZones: expected ${columns * rows} cells, got ${known.length}`);
  }
  const inside = maskInside(probability, field);
  const looked = new Float64Array(columns * rows).fill(NaN);
  for (let cell = 0; cell < looked.length; cell++) {
    if (known === null || known[cell] !== 0) looked[cell] = probability.values[cell]!;
  }
  const values = looked.slice();
  for (let cell = 0; cell < values.length; cell++) {
    if (inside[cell] === 1 || !Number.isNaN(looked[cell]!)) continue;
    const column = cell % columns;
    const row = (cell - column) / columns;
    let sum = 0;
    let count = 0;
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
      for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c++) {
        const other = r * columns + c;
        if (inside[other] === 0 || Number.isNaN(looked[other]!)) continue;
        sum += looked[other]!;
        count++;
      }
    }
    if (count > 0) values[cell] = sum / count;
  }
  const grid = { ...probability, values };
  const mask = { ...probability, values: values.map((p) => (Number.isNaN(p) ? NaN : 1)) };
  return { grid, looked: contourAtLevel(mask, 0.5) };
}

function aboveTheThreshold(reached: Reached, input: ZonesInput, told: Phrase[]): FlatMultiPolygon {
  const raw = contourAtLevel(reached.grid, input.level);
  if (raw.length === 0 || input.simplifyToleranceM === 0) return intersect(raw, input.field);
  const { polygon, areaBeforeM2, areaAfterM2, toleranceUsedM } = simplifyKeepingArea(raw, input.simplifyToleranceM);
  if (toleranceUsedM > 0) {
    const changeM2 = Math.abs(areaAfterM2 - areaBeforeM2);
    told.push(
      phrase`Edges smoothed to ${{ lengthM: toleranceUsedM }}: ${cornersOf(raw)} corners became ${cornersOf(polygon)}, the area changed by ${{ areaM2: changeM2 }}.`,
    );
  }
  return intersect(polygon, input.field);
}

function cornersOf(area: FlatMultiPolygon): number {
  return area.flat().reduce((sum, ring) => sum + ring.length / 2, 0);
}

function tellWidth(wide: ReturnType<typeof fitWidth>, widthM: number, told: Phrase[]): void {
  const width = { lengthM: widthM };
  if (wide.filledM2 > 1) told.push(phrase`Gaps narrower than ${width} were filled: ${{ areaM2: wide.filledM2 }} more.`);
  if (wide.widenedParts > 0) {
    const parts = wide.widenedParts === 1 ? '1 part' : `${wide.widenedParts} parts`;
    told.push(
      phrase`${parts} narrower than ${width} (${{ areaM2: wide.narrowM2 }}) were widened to it: ${{ areaM2: wide.widenedByM2 }} more.`,
    );
  }
  if (wide.leftOutM2 > 1) {
    told.push(phrase`Teeth of the edge narrower than ${width} were left out: ${{ areaM2: wide.leftOutM2 }}.`);
  }
  if (wide.noRoomM2 > 1) {
    told.push(phrase`${{ areaM2: wide.noRoomM2 }} stay narrower than ${width}: the field leaves no more room there.`);
  }
}

function place([x, y]: readonly [number, number]): Phrase {
  const away = (valueM: number) => ({ lengthM: Math.abs(Math.round(valueM)) });
  return phrase`${away(x)} ${x < 0 ? 'west' : 'east'} and ${away(y)} ${y < 0 ? 'south' : 'north'} of the field's center`;
}
