/** The combine's way over a field: two laps round every edge, then passes to and fro, turns with the header up between them. */
import { acos, atan2, cos, PI, sin } from './elementary.ts';
import { alongRoads } from './ground.ts';
import type { Draws } from './draws.ts';
import type { Part, SampleField } from './layout.ts';
import { boxOf, crossings, direction, isInside, movedLeft, type Corner, type Ring } from './outline.ts';
import { turnBetween, type Pose } from './turn.ts';

export const HEADER_M = 9.144;
const TURN_RADIUS_M = 6.5;
const LAPS = 2;

export type Kind = 'lap' | 'pass' | 'turn';

/** A way in pieces, each driven with the header in one state. */
export interface Piece {
  readonly points: readonly Corner[];
  readonly kind: Kind;
  readonly headerDown: boolean;
}

export function driveOver(field: SampleField, draws: Draws): Piece[] {
  const way: Piece[] = [];
  for (const part of field.parts) {
    const cutting = [...laps(part), ...passes(part, field.passesDeg, draws)];
    for (const next of cutting) {
      const last = way.at(-1);
      if (last) {
        const forgotten = last.kind === 'pass' && next.kind === 'pass' && draws.share() < 0.06;
        way.push({ points: between(last, next, part), kind: 'turn', headerDown: forgotten });
      }
      way.push(next);
    }
  }
  return way;
}

function poseAt(points: readonly Corner[], end: 'first' | 'last'): Pose {
  const [a, b] = end === 'first' ? [points[0]!, points[1]!] : [points.at(-2)!, points.at(-1)!];
  const [x, y] = end === 'first' ? a : b;
  return { x, y, angle: atan2(b[1] - a[1], b[0] - a[0]) };
}

/** A turn, or the way round a pond that lies between two pieces of one pass. */
function between(last: Piece, next: Piece, part: Part): Corner[] {
  const from = poseAt(last.points, 'last');
  const to = poseAt(next.points, 'first');
  for (let i = 1; i < part.rings.length; i++) {
    if (part.crossable[i]) continue;
    const hole = part.rings[i]!;
    const blocked = Array.from({ length: 39 }, (_, k) => (k + 1) / 40).some((t) =>
      isInside([hole], from.x + t * (to.x - from.x), from.y + t * (to.y - from.y)),
    );
    if (blocked) return rounded(roundHole(movedLeft(hole, 1.5 * HEADER_M), [from.x, from.y], [to.x, to.y]), false)[0]!;
  }
  return turnBetween(from, to, TURN_RADIUS_M);
}

function roundHole(ring: Ring, from: Corner, to: Corner): Corner[] {
  const nearest = (to: Corner) => {
    let best = 0;
    let least = Infinity;
    ring.forEach(([x, y], i) => {
      const square = (x - to[0]) * (x - to[0]) + (y - to[1]) * (y - to[1]);
      if (square < least) [best, least] = [i, square];
    });
    return best;
  };
  const n = ring.length;
  const start = nearest(from);
  const ahead = (nearest(to) - start + n) % n;
  const step = ahead <= n - ahead ? 1 : n - 1;
  const stops: Corner[] = [from];
  for (let k = 0; k <= Math.min(ahead, n - ahead); k++) stops.push(ring[(start + k * step) % n]!);
  stops.push(to);
  return stops;
}

/** Rounds the corners of a line; splits it where a corner is too sharp for a header that is down. */
function rounded(line: readonly Corner[], split: boolean): Corner[][] {
  const pieces: Corner[][] = [[line[0]!]];
  for (let i = 1; i + 1 < line.length; i++) {
    const [before, at, after] = [line[i - 1]!, line[i]!, line[i + 1]!];
    const [ax, ay] = direction(before, at);
    const [bx, by] = direction(at, after);
    const cosine = Math.max(-1, Math.min(1, ax * bx + ay * by));
    if (split && cosine < -0.2) {
      const half = HEADER_M / 2;
      pieces.at(-1)!.push([at[0] + half * ax, at[1] + half * ay]);
      pieces.push([[at[0] - half * bx, at[1] - half * by]]);
      continue;
    }
    const tangent = Math.sqrt((1 - cosine) / (1 + cosine + 1e-9));
    const room = 0.45 * Math.min(distance(before, at), distance(at, after));
    const reach = Math.min(TURN_RADIUS_M * tangent, room);
    if (tangent < 0.02 || reach < 0.3) {
      pieces.at(-1)!.push(at);
      continue;
    }
    const radius = reach / tangent;
    const side = ax * by - ay * bx > 0 ? 1 : -1;
    const angle = acos(cosine);
    const steps = Math.ceil((radius * angle) / 0.6);
    const [sx, sy] = [at[0] - reach * ax, at[1] - reach * ay];
    for (let k = 0; k <= steps; k++) {
      const turned = (angle * k) / steps;
      const [forward, aside] = [radius * sin(turned), radius * (1 - cos(turned)) * side];
      pieces.at(-1)!.push([sx + forward * ax - aside * ay, sy + forward * ay + aside * ax]);
    }
  }
  pieces.at(-1)!.push(line.at(-1)!);
  return pieces;
}

function distance(a: Corner, b: Corner): number {
  return Math.sqrt((b[0] - a[0]) * (b[0] - a[0]) + (b[1] - a[1]) * (b[1] - a[1]));
}

function laps(part: Part): Piece[] {
  const pieces: Piece[] = [];
  part.rings.forEach((ring) => {
    for (let lap = 0; lap < LAPS; lap++) {
      const round = movedLeft(ring, (0.5 + 0.96 * lap) * HEADER_M);
      const start: Corner = [(round[0]![0] + round[1]![0]) / 2, (round[0]![1] + round[1]![1]) / 2];
      const line = [start, ...round.slice(1), round[0]!, start];
      for (const points of rounded(line, true)) pieces.push({ points, kind: 'lap', headerDown: true });
    }
  });
  return pieces;
}

function passes(part: Part, passesDeg: number, draws: Draws): Piece[] {
  const turned = (passesDeg * PI) / 180;
  const [ux, uy] = alongRoads([sin(turned), cos(turned)]);
  const inner = part.rings.map((ring) =>
    movedLeft(ring, (LAPS * 0.96 - 0.02) * HEADER_M).map(([x, y]): Corner => [x * ux + y * uy, y * ux - x * uy]),
  );
  const { minY, maxY } = boxOf(inner);
  const pieces: Piece[] = [];
  let forward = true;
  for (let edge = minY; edge < maxY - 0.3;) {
    const level = Math.min(edge + HEADER_M / 2, Math.max(maxY - HEADER_M / 2, minY + 0.1));
    const row = piecesOfRow(inner, level);
    if (!forward) row.reverse();
    for (const [from, to] of row) {
      const [a, b] = forward ? [from, to] : [to, from];
      pieces.push({
        points: [
          [a * ux - level * uy, a * uy + level * ux],
          [b * ux - level * uy, b * uy + level * ux],
        ],
        kind: 'pass',
        headerDown: true,
      });
    }
    forward = !forward;
    edge = level + HEADER_M / 2 - HEADER_M * draws.between(0.02, 0.08);
    if (level >= maxY - HEADER_M / 2) break;
  }
  return pieces;
}

/** What a header's width needs of a row: ground met by any of five lines across it, so that slanting ends are cut whole. */
function piecesOfRow(rings: readonly Ring[], level: number): [number, number][] {
  const found: [number, number][] = [];
  for (const share of [-0.499, -0.25, 0, 0.25, 0.499]) {
    const met = crossings(rings, level + share * HEADER_M);
    for (let i = 0; i + 1 < met.length; i += 2) found.push([met[i]!, met[i + 1]!]);
  }
  found.sort((a, b) => a[0] - b[0]);
  const merged: [number, number][] = [];
  for (const [from, to] of found) {
    const last = merged.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else merged.push([from, to]);
  }
  return merged.filter(([from, to]) => to - from > 4);
}
