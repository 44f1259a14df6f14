/** Which record of a log lies under the pointer. */
import KDBush from 'kdbush';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import type { LonLat } from '../../shared/geometry/types.ts';
import type { ShownPath } from '../state/answers.ts';

const indexes = new WeakMap<ShownPath, KDBush>();

/** Index of the nearest point of the path within a distance; −1 where none is. The index of a path is made at the first asking. */
export function pickPoint(path: ShownPath, at: LonLat, withinM: number): number {
  const [x, y] = createFrame(path.origin).toLocal(...at);
  let [nearest, leastM] = [-1, Infinity];
  for (const found of indexOf(path).within(x, y, withinM)) {
    const distanceM = Math.hypot(path.xM[found]! - x, path.yM[found]! - y);
    if (distanceM < leastM) [nearest, leastM] = [found, distanceM];
  }
  return nearest;
}

function indexOf(path: ShownPath): KDBush {
  const known = indexes.get(path);
  if (known) return known;
  const index = new KDBush(path.xM.length, 64, Float32Array);
  for (let i = 0; i < path.xM.length; i++) index.add(path.xM[i]!, path.yM[i]!);
  index.finish();
  indexes.set(path, index);
  return index;
}
