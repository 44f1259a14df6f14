/** Counts at places: what the latent count model looks at. */

/** Arrays of one length; metres of a local frame. */
export interface CountedPlaces {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** Plants counted; not below 0. */
  readonly count: Float64Array;
  /** Ground looked at, m², above 0. */
  readonly effortM2: Float64Array;
}

/** Places as the model takes them: in one order whatever order they came in, many of them grouped. */
export interface ModelPlaces extends CountedPlaces {
  /** φ: the k of a group is φ times the k of one place. */
  readonly kFactor: Float64Array;
}

/** Above this many places they are grouped; a sweep costs their cube. */
export const MOST_PLACES = 250;
const FIRST_SIDE_M = 20;
const GROWTH = 1.05;

/**
 * Puts places into one order and, above 250, groups them by square cells, whose side grows from 20 m until few enough are left.
 * @throws on no place, arrays of unequal length, a count below 0, an effort not above 0, a place without numbers
 * @source methods-spatial §7 step 2
 */
export function modelPlaces(places: CountedPlaces): ModelPlaces {
  refuse(places);
  const sorted = inOrder(places);
  const n = sorted.count.length;
  let groups = Array.from({ length: n }, (_, i) => [i]);
  for (let sideM = FIRST_SIDE_M; groups.length > MOST_PLACES; sideM *= GROWTH) groups = bySquares(sorted, sideM);
  return pooled(sorted, groups);
}

/**
 * Each group as one place: counts and efforts added, the effort's mean place, φ = (Σe)²/Σe².
 * @source tests/reference/infested-area (exact: grouping)
 */
export function pooled(
  { xM, yM, count, effortM2 }: CountedPlaces,
  groups: readonly (readonly number[])[],
): ModelPlaces {
  const n = groups.length;
  const [x, y, plants, effort, kFactor] = Array.from({ length: 5 }, () => new Float64Array(n)) as Five;
  groups.forEach((group, g) => {
    let squares = 0;
    for (const i of group) {
      const e = effortM2[i]!;
      plants[g]! += count[i]!;
      effort[g]! += e;
      squares += e * e;
      x[g]! += e * xM[i]!;
      y[g]! += e * yM[i]!;
    }
    x[g]! /= effort[g]!;
    y[g]! /= effort[g]!;
    kFactor[g] = group.length === 1 ? 1 : effort[g]! ** 2 / squares;
  });
  return { xM: x, yM: y, count: plants, effortM2: effort, kFactor };
}

type Five = [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];

/** Groups in the order of their first places. Squares are counted from the least x and y, so that a moved frame changes nothing. */
function bySquares({ xM, yM }: CountedPlaces, sideM: number): number[][] {
  const x0 = xM.reduce((least, x) => Math.min(least, x), Infinity);
  const y0 = yM.reduce((least, y) => Math.min(least, y), Infinity);
  const squares = new Map<string, number[]>();
  for (let i = 0; i < xM.length; i++) {
    const name = `${Math.floor((xM[i]! - x0) / sideM)} ${Math.floor((yM[i]! - y0) / sideM)}`;
    const square = squares.get(name);
    if (square) square.push(i);
    else squares.set(name, [i]);
  }
  return [...squares.values()];
}

function inOrder({ xM, yM, count, effortM2 }: CountedPlaces): CountedPlaces {
  const order = Array.from(count.keys()).sort(
    (a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]! || effortM2[a]! - effortM2[b]! || count[a]! - count[b]!,
  );
  const take = (values: Float64Array): Float64Array => Float64Array.from(order, (i) => values[i]!);
  return { xM: take(xM), yM: take(yM), count: take(count), effortM2: take(effortM2) };
}

function refuse({ xM, yM, count, effortM2 }: CountedPlaces): void {
  const n = count.length;
  if (n < 1 || xM.length !== n || yM.length !== n || effortM2.length !== n) {
    throw new RangeError(
      `modelPlaces: expected at least one place and arrays of one length, got ${n} counts, ${xM.length} and ${yM.length} coordinates, ${effortM2.length} efforts`,
    );
  }
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(xM[i]! + yM[i]!)) throw new RangeError(`modelPlaces: place ${i} lies nowhere`);
    if (!(count[i]! >= 0 && count[i]! < Infinity))
      throw new RangeError(`modelPlaces: place ${i}: expected a count not below 0, got ${count[i]}`);
    if (!(effortM2[i]! > 0 && effortM2[i]! < Infinity))
      throw new RangeError(`modelPlaces: place ${i}: expected an effort above 0 m², got ${effortM2[i]}`);
  }
}
