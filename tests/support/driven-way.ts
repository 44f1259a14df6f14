import type { LonLat } from '../../shared/geometry/types.ts';
import type { ShownPath } from '../../src/state/answers.ts';

export const origin: LonLat = [-87.2, 40.12];

/** North along x = 0, a turn, south along x = 9; 2 m/s, a record a second. */
export function drivenWay(secondsAPass = 100): ShownPath {
  const count = 2 * secondsAPass;
  const at = (i: number) => (i < secondsAPass ? { x: 0, y: 2 * i, h: 0 } : { x: 9, y: 2 * (count - 1 - i), h: 180 });
  const index = Array.from({ length: count }, (_, i) => i);
  return {
    origin,
    assumed: false,
    headerWidthM: 9,
    timeS: Float64Array.from(index, (i) => 1_700_000_000 + i),
    xM: Float32Array.from(index, (i) => at(i).x),
    yM: Float32Array.from(index, (i) => at(i).y),
    headingDeg: Float32Array.from(index, (i) => at(i).h),
    cutting: Uint8Array.from(index, (i) => (i === secondsAPass - 1 || i === count - 1 ? 0 : 1)),
    running: Uint8Array.from(index, (i) => (i === 49 ? 0 : 1)),
    pass: Int32Array.from(index, (i) => (i < secondsAPass ? 0 : 1)),
    swathM: new Float32Array(count).fill(9),
    yieldKgHa: new Float32Array(count).fill(NaN),
    coverageFraction: null,
    flags: new Uint16Array(0),
    mappedFraction: null,
    delay: null,
  };
}
