/**
 * The k nearest places of many targets that follow each other closely, as cells of a row do. The places that any target of a
 * run can have among its nearest are looked up once: with r the distance of a target from the run's middle, its nearest lie
 * within d_k(middle) + 2r of the middle. A target then chooses among those few.
 */
import type { PointIndex } from '../geometry/point-index.ts';

/** Targets looked up together; a longer run has more candidates a target. */
const RUN = 8;
/** Rounding of the distances to the middle must lose no candidate. */
const SLACK = 1 + 1e-9;

export type NeighbourSets = (
  targetX: Float64Array,
  targetY: Float64Array,
  target: number,
  to: number,
  out: Int32Array,
) => number;

/**
 * Gives a function that writes the ids of the k nearest places of a target, ascending, and returns how many there are. Equal
 * distances go by id. Asked for targets one after the other up to `to`, it is fast; the sets never depend on what was asked.
 * @param index over the places @param xM their columns @param k 1 or more
 */
export function neighbourSets(index: PointIndex, xM: Float64Array, yM: Float64Array, k: number): NeighbourSets {
  const nearest = new Int32Array(k);
  let candidates = new Int32Array(4 * k);
  let chosen = new Int32Array(4 * k);
  let squares = new Float64Array(4 * k);
  let found = 0;
  let [runX, runY]: (Float64Array | null)[] = [null, null];
  let [runFrom, runTo] = [0, 0];
  /** Where the middle of the run and the last answered target lie, and how far their k-th nearest: either bounds the next. */
  let [middleX, middleY, middleReach] = [0, 0, 0];
  let [lastX, lastY, lastReach] = [0, 0, Infinity];

  function begin(targetX: Float64Array, targetY: Float64Array, from: number, to: number): void {
    [runX, runY, runFrom, runTo] = [targetX, targetY, from, Math.min(to, from + RUN)];
    const middle = (runFrom + runTo) >> 1;
    const [x, y] = [targetX[middle]!, targetY[middle]!];
    const count = index.nearest(x, y, k, nearest);
    const last = count === 0 ? 0 : nearest[count - 1]!;
    const reach = count === 0 ? 0 : Math.hypot(xM[last]! - x, yM[last]! - y);
    let apart = 0;
    for (let t = runFrom; t < runTo; t++) apart = Math.max(apart, Math.hypot(targetX[t]! - x, targetY[t]! - y));
    // Targets far from each other share few places: each is then looked up alone.
    if (apart > reach) {
      runTo = from + 1;
      if (middle !== from) {
        begin(targetX, targetY, from, runTo);
        return;
      }
      apart = 0;
    }
    found = 0;
    index.within(x, y, (reach + 2 * apart) * SLACK, (id) => {
      if (found === candidates.length) {
        const more = new Int32Array(2 * found);
        more.set(candidates);
        candidates = more;
        chosen = new Int32Array(2 * found);
        squares = new Float64Array(2 * found);
      }
      candidates[found++] = id;
    });
    candidates.subarray(0, found).sort();
    [middleX, middleY, middleReach] = [x, y, reach];
  }

  return (targetX, targetY, target, to, out) => {
    if (target < runFrom || target >= runTo || targetX !== runX || targetY !== runY)
      begin(targetX, targetY, target, to);
    const [x, y] = [targetX[target]!, targetY[target]!];
    // The k-th nearest is at most as far as that of another target and the step from there.
    const bound =
      Math.min(middleReach + apartM(x - middleX, y - middleY), lastReach + apartM(x - lastX, y - lastY)) * SLACK;
    const largest = bound * bound;
    const [from, into, far] = [candidates, chosen, squares];
    let count = 0;
    for (let c = 0; c < found; c++) {
      const id = from[c]!;
      const dx = xM[id]! - x;
      const dy = yM[id]! - y;
      const square = dx * dx + dy * dy;
      if (square > largest) continue;
      into[count] = id;
      far[count++] = square;
    }
    while (count > k) count = withoutFarthest(into, far, count);
    let farthest = 0;
    for (let c = 0; c < count; c++) {
      out[c] = into[c]!;
      if (far[c]! > farthest) farthest = far[c]!;
    }
    [lastX, lastY, lastReach] = [x, y, Math.sqrt(farthest)];
    return count;
  };
}

/** Of places equally far the last by id goes. */
function withoutFarthest(ids: Int32Array, squares: Float64Array, count: number): number {
  let at = 0;
  let most = squares[0]!;
  for (let c = 1; c < count; c++) {
    const square = squares[c]!;
    if (square >= most) {
      most = square;
      at = c;
    }
  }
  for (let c = at + 1; c < count; c++) {
    ids[c - 1] = ids[c]!;
    squares[c - 1] = squares[c]!;
  }
  return count - 1;
}

function apartM(dx: number, dy: number): number {
  return Math.sqrt(dx * dx + dy * dy);
}
