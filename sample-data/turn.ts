/**
 * The shortest way from one pose to another for a machine that steers no tighter than a circle.
 * @source Dubins 1957; the six words in the form of Shkel and Lumelsky 2001 (memory). Every word is tried and only one that
 * ends at the wanted pose counts.
 */
import { acos, atan2, cos, PI, sin } from './elementary.ts';
import type { Corner } from './outline.ts';

const STEP_M = 0.6;

export interface Pose {
  readonly x: number;
  readonly y: number;
  /** Direction of travel, counter-clockwise from east, radians. */
  readonly angle: number;
}

type Word = readonly [steer: readonly [number, number, number], lengths: readonly [number, number, number]];

const whole = (angle: number): number => angle - 2 * PI * Math.floor(angle / (2 * PI));

function words(a: number, b: number, d: number): Word[] {
  const [sa, sb, ca, cb] = [sin(a), sin(b), cos(a), cos(b)];
  const cab = cos(a - b);
  const found: Word[] = [];
  const straight = (square: number, make: (p: number) => Word) => {
    if (square >= 0) found.push(make(Math.sqrt(square)));
  };
  straight(2 + d * d - 2 * cab + 2 * d * (sa - sb), (p) => {
    const at = atan2(cb - ca, d + sa - sb);
    return [
      [1, 0, 1],
      [whole(at - a), p, whole(b - at)],
    ];
  });
  straight(2 + d * d - 2 * cab + 2 * d * (sb - sa), (p) => {
    const at = atan2(ca - cb, d - sa + sb);
    return [
      [-1, 0, -1],
      [whole(a - at), p, whole(at - b)],
    ];
  });
  straight(d * d - 2 + 2 * cab + 2 * d * (sa + sb), (p) => {
    const at = atan2(-ca - cb, d + sa + sb) - atan2(-2, p);
    return [
      [1, 0, -1],
      [whole(at - a), p, whole(at - b)],
    ];
  });
  straight(d * d - 2 + 2 * cab - 2 * d * (sa + sb), (p) => {
    const at = atan2(ca + cb, d - sa - sb) - atan2(2, p);
    return [
      [-1, 0, 1],
      [whole(a - at), p, whole(b - at)],
    ];
  });
  const right = (6 - d * d + 2 * cab + 2 * d * (sa - sb)) / 8;
  if (right >= -1 && right <= 1) {
    const p = whole(2 * PI - acos(right));
    const t = whole(a - atan2(ca - cb, d - sa + sb) + p / 2);
    found.push([
      [-1, 1, -1],
      [t, p, whole(a - b - t + p)],
    ]);
  }
  const left = (6 - d * d + 2 * cab + 2 * d * (sb - sa)) / 8;
  if (left >= -1 && left <= 1) {
    const p = whole(2 * PI - acos(left));
    const t = whole(-a - atan2(ca - cb, d + sa - sb) + p / 2);
    found.push([
      [1, -1, 1],
      [t, p, whole(b - a - t + p)],
    ]);
  }
  return found;
}

function along(from: Pose, steer: number, length: number, radiusM: number): Pose {
  if (steer === 0) {
    return { x: from.x + length * cos(from.angle), y: from.y + length * sin(from.angle), angle: from.angle };
  }
  const angle = from.angle + (steer * length) / radiusM;
  return {
    x: from.x + steer * radiusM * (sin(angle) - sin(from.angle)),
    y: from.y - steer * radiusM * (cos(angle) - cos(from.angle)),
    angle,
  };
}

/** Points of the way, every 0.6 m, both ends in. */
export function turnBetween(from: Pose, to: Pose, radiusM: number): Corner[] {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const bearing = atan2(dy, dx);
  const distance = Math.sqrt(dx * dx + dy * dy) / radiusM;
  let best: Word | null = null;
  let least = Infinity;
  for (const word of words(whole(from.angle - bearing), whole(to.angle - bearing), distance)) {
    const [t, p, q] = word[1];
    let end = from;
    word[0].forEach((steer, i) => (end = along(end, steer, word[1][i]! * radiusM, radiusM)));
    const miss = Math.abs(end.x - to.x) + Math.abs(end.y - to.y);
    if (miss < 1e-6 && t + p + q < least) [best, least] = [word, t + p + q];
  }
  if (best === null) throw new Error('turnBetween: no way found');
  const points: Corner[] = [[from.x, from.y]];
  let pose = from;
  best[0].forEach((steer, i) => {
    const length = best[1][i]! * radiusM;
    const steps = steer === 0 ? 1 : Math.ceil(length / STEP_M);
    for (let step = 1; step <= steps; step++) {
      const next = along(pose, steer, (length * step) / steps, radiusM);
      points.push([next.x, next.y]);
    }
    pose = along(pose, steer, length, radiusM);
  });
  return points;
}
