/** Colors as other eyes see them, and how far apart two are. */
import { channelsOf, linearOf } from '../../../src/map/ramp.ts';

/**
 * On linear RGB, severity 1.0.
 * @source Machado, Oliveira, Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency", IEEE Trans.
 * Vis. Comput. Graph. 15(6):1291–1298; the matrices are from memory.
 */
export const SIGHTS: Readonly<Record<string, readonly number[]>> = {
  'common sight': [1, 0, 0, 0, 1, 0, 0, 0, 1],
  protanopia: [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998],
  deuteranopia: [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.01182, 0.04294, 0.968881],
  tritanopia: [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.3039],
  gray: [0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722],
};

type Lab = readonly [lightness: number, a: number, b: number];

/** CIE L*a*b* of a color as seen, D65. */
export function labSeen(color: string, sight: readonly number[]): Lab {
  const rgb = channelsOf(color).map((channel) => linearOf(channel / 255));
  const row = (m: readonly number[], at: number, v: readonly number[]) =>
    m[at]! * v[0]! + m[at + 1]! * v[1]! + m[at + 2]! * v[2]!;
  const seen = [0, 3, 6].map((at) => Math.min(1, Math.max(0, row(sight, at, rgb))));
  const toXyz = [0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505];
  const white = [0.9505, 1, 1.089];
  const [x, y, z] = [0, 3, 6].map((at, index) => curved(row(toXyz, at, seen) / white[index]!)) as [
    number,
    number,
    number,
  ];
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function curved(t: number): number {
  return t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116;
}

/** ΔE*ab of 1976. */
export function apart(one: Lab, other: Lab): number {
  return Math.hypot(one[0] - other[0], one[1] - other[1], one[2] - other[2]);
}
