/**
 * Editing the zones of one field by hand: draw, reshape, split, merge, cut, grow and shrink, widen, delete. Zones of a set never
 * overlap and stay on the field's ground: the zone in hand gives way to the others and to the ground's edge, and what it lost is
 * told with its area. A zone that crosses itself is refused with the place; mending is the person's to ask for (`mendPolygon`).
 *
 * Everything in metres of the field's frame, on the 0.1 mm grid of the overlays (shared/geometry/clip.ts).
 */
import { buffer, closeByWidth, dropSlivers, intersect, subtract, union } from '../geometry/clip.ts';
import type { Frame } from '../geometry/local-frame.ts';
import { checkPolygon, polygonAreaM2, polygonPerimeterM } from '../geometry/polygon.ts';
import type { FlatMultiPolygon, MultiPolygon } from '../geometry/types.ts';
import { done, type Outcome, type Problem, problem, refused } from '../model/problem.ts';
import { type Display, formatQuantity } from '../units/format.ts';
import { listed } from '../units/words.ts';
import { cutByLine } from './cut-line.ts';
import { freeLetter, zoneId } from './letters.ts';
import { fitWidth, narrowM2 } from './machine-width.ts';

export interface EditedZone {
  readonly id: string;
  readonly letter: string;
  readonly area: FlatMultiPolygon;
  readonly species?: string;
  /** Its corners as the document has them, while it was not changed; null: made here. */
  readonly degrees: MultiPolygon | null;
}

export interface ZoneGround {
  readonly field: string;
  readonly name: string;
  readonly frame: Frame;
  /** The field less what is excluded from it. */
  readonly ground: FlatMultiPolygon;
  /** What the machine can treat: told where a zone is under it, never forced. */
  readonly minWidthM: number;
  readonly minAreaM2: number;
  readonly display: Display;
}

export interface ZonesEdit {
  readonly zones: readonly EditedZone[];
  /** As a person reads it beside undo: "Split zone B of Home". */
  readonly label: string;
  /** Zone that is new → the one that it came out of: what was planned there goes on for it. */
  readonly from: Readonly<Record<string, string>>;
}

type Zones = readonly EditedZone[];

export function drawZone(zones: Zones, ground: ZoneGround, drawn: FlatMultiPolygon): Outcome<ZonesEdit> {
  const letter = freeLetter(zones);
  const zone: EditedZone = { id: zoneId(ground.field, letter), letter, area: drawn, degrees: null };
  return settled([...zones, zone], ground, [zone.id], `Draw zone ${letter} of ${ground.name}`);
}

export function reshapeZone(zones: Zones, ground: ZoneGround, id: string, drawn: FlatMultiPolygon): Outcome<ZonesEdit> {
  const zone = zoneOf(zones, id);
  return settled(withArea(zones, id, drawn), ground, [id], `Reshape zone ${zone.letter} of ${ground.name}`);
}

/** By a line across it: the largest piece keeps the letter, each other piece becomes a zone of its own. */
export function splitZone(zones: Zones, ground: ZoneGround, id: string, line: Float64Array): Outcome<ZonesEdit> {
  const zone = zoneOf(zones, id);
  const pieces = cutByLine(zone.area, line);
  if (pieces.length < 2) {
    return refused(
      problem('error', 'line-cuts-nothing', `The line does not cut zone ${zone.letter} in two.`, {
        where: { id },
        hint: 'Draw it from one side of the zone to the other, a little beyond both edges.',
      }),
    );
  }
  const [largest, ...others] = [...pieces].sort((a, b) => polygonAreaM2(b) - polygonAreaM2(a));
  let all = withArea(zones, id, largest!);
  const from: Record<string, string> = {};
  for (const area of others) {
    const letter = freeLetter(all);
    const piece = { ...zone, id: zoneId(ground.field, letter), letter, area, degrees: null };
    from[piece.id] = id;
    all = [...all, piece];
  }
  const changed = [id, ...Object.keys(from)];
  return settled(all, ground, changed, `Split zone ${zone.letter} of ${ground.name}`, from);
}

/** Several zones become one, which keeps the letter of the largest. */
export function mergeZones(zones: Zones, ground: ZoneGround, ids: readonly string[]): Outcome<ZonesEdit> {
  if (ids.length < 2) throw new RangeError(`mergeZones: expected two zones or more, got ${ids.length}`);
  const merged = ids.map((id) => zoneOf(zones, id)).sort((a, b) => polygonAreaM2(b.area) - polygonAreaM2(a.area));
  const [largest] = merged as [EditedZone, ...EditedZone[]];
  const together = closeByWidth(union(merged.map((one) => one.area)), SEAM_M);
  const rest = zones.filter((one) => one.id === largest.id || !ids.includes(one.id));
  const letters = merged.map((one) => one.letter).sort();
  const label = `Merge zones ${listed(letters)} of ${ground.name}`;
  const edit = settled(withArea(rest, largest.id, together), ground, [largest.id], label);
  if (!edit.ok || together.length <= Math.max(...merged.map((one) => one.area.length))) return edit;
  const parts = `Zone ${largest.letter} now has ${together.length} parts that do not touch.`;
  return done(edit.value, [...edit.problems, problem('note', 'zone-in-parts', parts, { where: { id: largest.id } })]);
}

export function cutHole(zones: Zones, ground: ZoneGround, id: string, hole: FlatMultiPolygon): Outcome<ZonesEdit> {
  const zone = zoneOf(zones, id);
  const crossing = crossingOf(hole, ground, id);
  if (crossing) return refused(crossing);
  const taken = intersect(zone.area, hole);
  if (isNone(taken)) {
    return refused(
      problem('error', 'hole-outside-zone', `The hole lies outside of zone ${zone.letter}: nothing is cut.`, {
        where: { id },
        hint: `Draw it inside zone ${zone.letter}.`,
      }),
    );
  }
  const left = dropSlivers(subtract(zone.area, hole)).polygon;
  const edit = settled(withArea(zones, id, left), ground, [id], `Cut a hole in zone ${zone.letter} of ${ground.name}`);
  if (!edit.ok || left.length <= zone.area.length) return edit;
  const parts = `The cut leaves zone ${zone.letter} in ${left.length} parts; they stay one zone.`;
  return done(edit.value, [...edit.problems, problem('note', 'zone-in-parts', parts, { where: { id } })]);
}

/** @param distanceM on every side; below 0 shrinks; round corners, of chords */
export function growZone(zones: Zones, ground: ZoneGround, id: string, distanceM: number): Outcome<ZonesEdit> {
  const zone = zoneOf(zones, id);
  const by = formatQuantity(Math.abs(distanceM), 'length', ground.display);
  if (!Number.isFinite(distanceM) || distanceM === 0) {
    return refused(problem('error', 'no-distance', 'Type how far the edge is to move.', { where: { id } }));
  }
  const area = buffer(zone.area, distanceM, { join: 'round' });
  if (isNone(area)) {
    return refused(
      problem(
        'error',
        'zone-vanishes',
        `Nothing of zone ${zone.letter} would be left: it is narrower than twice ${by}.`,
        {
          where: { id },
          hint: 'Shrink it by less, or delete it.',
        },
      ),
    );
  }
  const label = `${distanceM > 0 ? 'Grow' : 'Shrink'} zone ${zone.letter} of ${ground.name} by ${by}`;
  return settled(withArea(zones, id, area), ground, [id], label);
}

/** As wide as the machine, by the least growth: its gaps filled, its narrow parts widened. */
export function widenZone(zones: Zones, ground: ZoneGround, id: string): Outcome<ZonesEdit> {
  const zone = zoneOf(zones, id);
  const free = subtract(ground.ground, union(zones.filter((one) => one.id !== id).map((one) => one.area)));
  const { area, noRoomM2 } = fitWidth(zone.area, free, ground.minWidthM, 0);
  const edit = settled(
    withArea(zones, id, area),
    ground,
    [id],
    `Widen zone ${zone.letter} of ${ground.name} to the machine`,
  );
  if (!edit.ok || noRoomM2 < 1) return edit;
  const text = `${acres(noRoomM2, ground)} of zone ${zone.letter} stay narrow: the field or its neighbors leave no more room.`;
  const told = edit.problems.filter((one) => one.code !== 'zone-narrow');
  return done(edit.value, [...told, problem('note', 'zone-no-room', text, { where: { id } })]);
}

export function deleteZone(zones: Zones, ground: ZoneGround, id: string): Outcome<ZonesEdit> {
  const { letter } = zoneOf(zones, id);
  return done({
    zones: zones.filter((one) => one.id !== id),
    label: `Delete zone ${letter} of ${ground.name}`,
    from: {},
  });
}

/** Rounding leaves a hair between zones that share an edge; merged, it is closed. */
const SEAM_M = 0.002;

/**
 * The changed zones held to the ground and to the others, in the order given: each gives way to those that were not changed and
 * to the changed ones before it.
 */
function settled(
  zones: Zones,
  ground: ZoneGround,
  changed: readonly string[],
  label: string,
  from: Readonly<Record<string, string>> = {},
): Outcome<ZonesEdit> {
  const problems: Problem[] = [];
  let now = zones;
  const fixed = zones.filter((one) => !changed.includes(one.id));
  for (const id of changed) {
    const zone = zoneOf(now, id);
    const crossing = crossingOf(zone.area, ground, id);
    if (crossing) return refused(crossing);
    const within = intersect(zone.area, ground.ground);
    const outsideM2 = polygonAreaM2(zone.area) - polygonAreaM2(within);
    if (outsideM2 > told(zone.area)) problems.push(cutOff(zone, ground, outsideM2));
    let left = within;
    for (const other of fixed) {
      const shared = polygonAreaM2(intersect(left, other.area));
      if (shared > told(zone.area)) problems.push(overlaps(zone, other, ground, shared));
      // Below that it is the hair of a shared edge, and still no ground twice.
      if (shared > 0) left = subtract(left, other.area);
    }
    left = dropSlivers(left).polygon;
    if (isNone(left)) return refused(...problems, nothingLeft(zone, ground));
    now = withArea(now, id, left);
    fixed.push(zoneOf(now, id));
    problems.push(...machineProblems(zoneOf(now, id), ground));
  }
  return done({ zones: now, label, from }, problems);
}

/** What a machine cannot do with a zone as it is: too narrow, too small. */
export function machineProblems(zone: EditedZone, ground: ZoneGround): Problem[] {
  const problems: Problem[] = [];
  const { minWidthM, minAreaM2, display } = ground;
  const narrow = narrowM2(zone.area, minWidthM);
  if (narrow > 0) {
    const width = formatQuantity(minWidthM, 'length', display, 0);
    const text = `Zone ${zone.letter} is narrower than the machine (${width}) on ${acres(narrow, ground)}.`;
    const hint = 'Widen it to the machine, or leave it: the machine then treats more than the zone there.';
    problems.push(problem('warning', 'zone-narrow', text, { where: { id: zone.id }, hint }));
  }
  const areaM2 = polygonAreaM2(zone.area);
  if (areaM2 < minAreaM2) {
    const text = `Zone ${zone.letter} is ${acres(areaM2, ground)}, under the least that is worth a stop (${acres(minAreaM2, ground)}).`;
    const hint = 'Grow it, or merge it with a neighbor.';
    problems.push(problem('warning', 'zone-small', text, { where: { id: zone.id }, hint }));
  }
  return problems;
}

function crossingOf(area: FlatMultiPolygon, { frame }: ZoneGround, id: string): Problem | null {
  const fault = checkPolygon(area).find((one) => one.kind !== 'duplicate-corners');
  if (!fault) return null;
  const at = frame.toLonLat(fault.at[0], fault.at[1]);
  const place = `at ${at[1].toFixed(5)}, ${at[0].toFixed(5)}`;
  if (fault.kind === 'no-area') {
    return problem('error', 'zone-no-area', `What was drawn has no area (${place}).`, { where: { id, at } });
  }
  const what = fault.kind === 'self-crossing' ? 'crosses itself' : 'has parts or holes that overlap';
  return problem('error', 'zone-crosses-itself', `The outline ${what} ${place}.`, {
    where: { id, at },
    hint: 'Move a corner, or let it be mended by what it winds about.',
  });
}

function cutOff(zone: EditedZone, ground: ZoneGround, areaM2: number): Problem {
  const text = `${acres(areaM2, ground)} of zone ${zone.letter} lay beyond the edge of ${ground.name} or in an exclusion and were cut off.`;
  return problem('note', 'zone-cut-to-field', text, { where: { id: zone.id } });
}

function overlaps(zone: EditedZone, other: EditedZone, ground: ZoneGround, areaM2: number): Problem {
  const text = `${acres(areaM2, ground)} of zone ${zone.letter} belong to zone ${other.letter} already and were cut off: zones never overlap.`;
  const hint = `Merge both, or reshape zone ${other.letter} first.`;
  return problem('note', 'zone-cut-to-neighbor', text, { where: { id: zone.id }, hint });
}

function nothingLeft(zone: EditedZone, { name }: ZoneGround): Problem {
  return problem(
    'error',
    'zone-empty',
    `Nothing of zone ${zone.letter} is left on ground of ${name} that no zone holds.`,
    {
      where: { id: zone.id },
      hint: `Draw it inside ${name}, beside the other zones.`,
    },
  );
}

/** Beyond what rounding can make, and beyond what a person could have meant: 2 mm along the outline. */
function told(area: FlatMultiPolygon): number {
  return 0.002 * polygonPerimeterM(area) + 0.01;
}

function isNone(area: FlatMultiPolygon): boolean {
  return polygonAreaM2(area) < 0.01;
}

function acres(areaM2: number, { display }: ZoneGround): string {
  return formatQuantity(areaM2, 'area', display);
}

function zoneOf(zones: Zones, id: string): EditedZone {
  const zone = zones.find((one) => one.id === id);
  if (!zone) throw new Error(`zoneOf: no zone ${id}`);
  return zone;
}

function withArea(zones: Zones, id: string, area: FlatMultiPolygon): EditedZone[] {
  return zones.map((one) => (one.id === id ? { ...one, area, degrees: null } : one));
}
