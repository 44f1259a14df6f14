/**
 * A long record on a narrow picture: of all points that fall on one pixel column, the one with the largest value is drawn, so that no
 * peak is lost.
 */
export interface ColumnPoint {
  readonly x: number;
  /** Index into the record. */
  readonly point: number;
}

/** @param xOf column position of a point, px, never falling; NaN is left out */
export function largestByColumn(
  count: number,
  xOf: (point: number) => number,
  valueOf: (point: number) => number,
): ColumnPoint[] {
  const out: { x: number; point: number }[] = [];
  let column = NaN;
  let largest = -Infinity;
  for (let point = 0; point < count; point++) {
    const x = xOf(point);
    if (Number.isNaN(x)) continue;
    const here = Math.floor(x);
    const value = valueOf(point);
    if (here !== column) {
      column = here;
      largest = value;
      out.push({ x: here, point });
    } else if (value > largest) {
      largest = value;
      out[out.length - 1] = { x: here, point };
    }
  }
  return out;
}
