/** Where the label of a shape stands, and how much room it has there; in any flat unit, on polygons of rings (outer first, then holes). */

export type Point = readonly [x: number, y: number];
type Rings = readonly (readonly Point[])[];

export interface LabelPlace {
  readonly label: Point;
  /** Width and height of what can stand there with the label in its middle: twice the way to the nearer border. */
  readonly room: readonly [width: number, height: number];
}

/** In the largest part of the shape. */
export function labelPlace(polygons: readonly Rings[]): LabelPlace {
  const largest = polygons.reduce((a, b) => (spread(b) > spread(a) ? b : a));
  const label = insidePoint(largest);
  const turned = largest.map((ring) => ring.map(([x, y]): Point => [y, x]));
  return { label, room: [roomAt(largest, label), roomAt(turned, [label[1], label[0]])] };
}

export function extent(values: readonly number[]): [least: number, most: number] {
  return values.reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)], [Infinity, -Infinity]);
}

/** Whether a point lies in the rings, by even and odd crossings. */
export function isInside(rings: Rings, [x, y]: Point): boolean {
  return crossings(rings, y).filter((at) => at > x).length % 2 === 1;
}

function spread(polygon: Rings): number {
  const [x0, x1] = extent(polygon[0]!.map(([x]) => x));
  const [y0, y1] = extent(polygon[0]!.map(([, y]) => y));
  return (x1 - x0) * (y1 - y0);
}

const TRIES = 21;
/** A label is wide: ground to the left and right counts, the upper and lower border less. */
const FLATTEN = 2.2;

/** The point of a lattice with the most room round it. */
function insidePoint(rings: Rings): Point {
  const [x0, x1] = extent(rings[0]!.map(([x]) => x));
  const [y0, y1] = extent(rings[0]!.map(([, y]) => y));
  let best: Point = [(x0 + x1) / 2, (y0 + y1) / 2];
  let most = -Infinity;
  for (let i = 0; i < TRIES; i++) {
    for (let j = 0; j < TRIES; j++) {
      const point: Point = [x0 + ((i + 0.5) / TRIES) * (x1 - x0), y0 + ((j + 0.5) / TRIES) * (y1 - y0)];
      if (!isInside(rings, point)) continue;
      // The border's distance, and a little of the middle's pull, so that a rectangle is labelled in its middle.
      const pull = 0.02 * Math.hypot(point[0] - (x0 + x1) / 2, point[1] - (y0 + y1) / 2);
      const room = borderDistance(rings, point) - pull;
      if (room > most) [best, most] = [point, room];
    }
  }
  return best;
}

function borderDistance(rings: Rings, [x, y]: Point): number {
  let least = Infinity;
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      const [ax, ay] = [ring[i - 1]![0], ring[i - 1]![1] * FLATTEN];
      const [bx, by] = [ring[i]![0], ring[i]![1] * FLATTEN];
      const length = (bx - ax) ** 2 + (by - ay) ** 2;
      const t =
        length === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y * FLATTEN - ay) * (by - ay)) / length));
      least = Math.min(least, Math.hypot(x - ax - t * (bx - ax), y * FLATTEN - ay - t * (by - ay)));
    }
  }
  return least;
}

function roomAt(rings: Rings, [x, y]: Point): number {
  const at = crossings(rings, y);
  const right = Math.min(...at.filter((one) => one > x));
  const left = Math.max(...at.filter((one) => one <= x));
  return Number.isFinite(right - left) ? 2 * Math.min(right - x, x - left) : 0;
}

function crossings(rings: Rings, y: number): number[] {
  const at: number[] = [];
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      const [[ax, ay], [bx, by]] = [ring[i - 1]!, ring[i]!];
      if (ay > y !== by > y) at.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
    }
  }
  return at;
}
