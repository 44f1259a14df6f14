/**
 * The area where a surface reaches a level, by marching squares on cell centres.
 *
 * Linear on the edges between centres; a saddle is joined if the mean of its four corners reaches the level; a value equal
 * to the level counts as inside. Unknown cells (NaN) and the ground outside the grid have no value: the area ends at the
 * border of the last known cell, half a cell before the unknown one's centre. So the areas of all bands and of the unknown cells add up to the
 * grid's.
 * @source methods-spatial §11; tests/reference/contour-zone
 */
import { nestRings } from './nesting.ts';
import { ringAreaM2 } from './ring.ts';
import type { FlatMultiPolygon, FlatRing, Grid } from './types.ts';

/**
 * All happens on a lattice of half cells: even steps are cell centres (one unknown row about the grid), odd ones lie
 * halfway. A square of four known centres is marched whole; where some are unknown, only the quarters that belong to
 * known centres are, with halfway values: the mean of two known ends, a known end's own beside an unknown one.
 */
class Lattice {
  readonly columns: number;
  readonly rows: number;
  /** Added to values equal to the level, so that borders never run through a centre and rings stay simple. */
  private readonly hair: number;
  private readonly next = new Map<number, number>();
  private readonly places = new Map<number, readonly [number, number]>();

  constructor(
    private readonly grid: Grid,
    private readonly level: number,
  ) {
    this.columns = grid.columns + 2;
    this.rows = grid.rows + 2;
    this.hair = Math.max(1e-12, 1e-9 * Math.abs(level));
  }

  /** Value at a cell centre of the padded grid. */
  centre(column: number, row: number): number {
    const { columns, rows, values } = this.grid;
    if (column < 1 || row < 1 || column > columns || row > rows) return NaN;
    const value = values[(row - 1) * columns + column - 1]!;
    return value === this.level ? this.level + this.hair : value;
  }

  private x(i: number): number {
    return this.grid.x0M + (i / 2 - 0.5) * this.grid.cellM;
  }

  private y(j: number): number {
    return this.grid.y0M + (j / 2 - 0.5) * this.grid.cellM;
  }

  private nodeKey(i: number, j: number, owner: number): number {
    return ((j * 2 * this.columns + i) * 3 + 0) * 5 + owner;
  }

  /** Where the level is passed between two neighbours of the lattice; the key is the half edge's, from either side. */
  private crossing(p: Node, q: Node): number {
    const along = p.j === q.j ? 1 : 2;
    const i = Math.min(p.i, q.i);
    const j = Math.min(p.j, q.j);
    const key = ((j * 2 * this.columns + i) * 3 + along) * 5;
    if (!this.places.has(key)) {
      const share = (this.level - p.value) / (q.value - p.value);
      this.places.set(key, [
        this.x(p.i) + share * (this.x(q.i) - this.x(p.i)),
        this.y(p.j) + share * (this.y(q.j) - this.y(p.j)),
      ]);
    }
    return key;
  }

  /** Where the level is passed on the whole edge between two known centres, filed under the half it falls in. */
  private edgeCrossing(p: Node, q: Node): number {
    if (Math.abs(p.i - q.i) + Math.abs(p.j - q.j) === 1) return this.crossing(p, q);
    const middle: Node = { i: (p.i + q.i) / 2, j: (p.j + q.j) / 2, value: (p.value + q.value) / 2, owner: 0 };
    const inside = middle.value >= this.level;
    return inside === p.value >= this.level ? this.crossing(middle, q) : this.crossing(p, middle);
  }

  private node(p: Node): number {
    const key = this.nodeKey(p.i, p.j, p.owner);
    if (!this.places.has(key)) this.places.set(key, [this.x(p.i), this.y(p.j)]);
    return key;
  }

  private link(from: number, to: number): void {
    if (this.next.has(from)) throw new Error('contour: two borders leave one place'); // would be our own mistake
    this.next.set(from, to);
  }

  /** The border inside one square with corners in counter-clockwise order; the inside lies to its left. */
  march(corner: readonly [Node, Node, Node, Node]): void {
    const inside = corner.map((p) => p.value >= this.level);
    const count = inside.filter(Boolean).length;
    if (count === 0 || count === 4) return;
    const cross = (k: number) => this.edgeCrossing(corner[k]!, corner[(k + 1) % 4]!);
    if (count === 2 && inside[0] === inside[2]) {
      const first = inside[0] ? 0 : 1;
      const mean = (corner[0].value + corner[1].value + corner[2].value + corner[3].value) / 4;
      const joined = mean >= this.level;
      for (const k of [first, first + 2]) this.link(cross(k % 4), cross((k + (joined ? 1 : 3)) % 4));
      return;
    }
    for (let k = 0; k < 4; k++) {
      if (!inside[k] || inside[(k + 1) % 4]) continue;
      let enters = (k + 1) % 4;
      while (inside[(enters + 1) % 4] !== true) enters = (enters + 1) % 4;
      this.link(cross(k), cross(enters));
    }
  }

  /** The inside part of a side beyond which nothing is known. */
  close(p: Node, q: Node): void {
    const from = p.value >= this.level;
    const to = q.value >= this.level;
    if (from && to) this.link(this.node(p), this.node(q));
    else if (from) this.link(this.node(p), this.crossing(p, q));
    else if (to) this.link(this.crossing(p, q), this.node(q));
  }

  /** The borders joined to rings, outer ones counter-clockwise, holes clockwise. */
  rings(): FlatRing[] {
    const rings: FlatRing[] = [];
    for (const start of this.next.keys()) {
      if (!this.next.has(start)) continue;
      const ring: number[] = [];
      let at = start;
      for (let to = this.next.get(at); to !== undefined; to = this.next.get(at)) {
        this.next.delete(at);
        const [x, y] = this.places.get(at)!;
        const last = ring.length;
        if (last === 0 || x !== ring[last - 2] || y !== ring[last - 1]) ring.push(x, y);
        at = to;
      }
      if (ring.length > 2 && ring[0] === ring.at(-2) && ring[1] === ring.at(-1)) ring.length -= 2;
      const flat = withoutStraightCorners(ring);
      if (flat.length >= 6 && ringAreaM2(flat) !== 0) rings.push(flat);
    }
    return rings;
  }
}

interface Node {
  readonly i: number;
  readonly j: number;
  readonly value: number;
  /** Tells two borders apart that touch in one place. */
  readonly owner: number;
}

/** Whether no border runs through the square: all of it is inside, or outside, or unknown. */
function isPlain(lattice: Lattice, column: number, row: number, level: number): boolean {
  const a = lattice.centre(column, row);
  const b = lattice.centre(column + 1, row);
  const c = lattice.centre(column + 1, row + 1);
  const d = lattice.centre(column, row + 1);
  if (a >= level) return b >= level && c >= level && d >= level;
  if (a < level) return b < level && c < level && d < level;
  return Number.isNaN(b) && Number.isNaN(c) && Number.isNaN(d);
}

function marchSquare(lattice: Lattice, column: number, row: number): void {
  const i = 2 * column;
  const j = 2 * row;
  const corners: readonly [number, number, number][] = [
    [i, j, lattice.centre(column, row)],
    [i + 2, j, lattice.centre(column + 1, row)],
    [i + 2, j + 2, lattice.centre(column + 1, row + 1)],
    [i, j + 2, lattice.centre(column, row + 1)],
  ];
  const known = corners.map(([, , value]) => !Number.isNaN(value));
  const count = known.filter(Boolean).length;
  if (count === 0) return;
  const nodes = corners.map(([ni, nj, value]): Node => ({ i: ni, j: nj, value, owner: 0 }));
  if (count === 4) {
    lattice.march([nodes[0]!, nodes[1]!, nodes[2]!, nodes[3]!]);
    return;
  }
  const opposite = count === 2 && known[0] === known[2];
  const meanKnown = nodes.reduce((sum, p, k) => sum + (known[k] ? p.value : 0), 0) / count;
  for (let k = 0; k < 4; k++) {
    if (!known[k]) continue;
    const corner = nodes[k]!;
    const after = (k + 1) % 4;
    const before = (k + 3) % 4;
    const halfway = (other: number): Node => ({
      i: (corner.i + nodes[other]!.i) / 2,
      j: (corner.j + nodes[other]!.j) / 2,
      value: known[other] ? (corner.value + nodes[other]!.value) / 2 : corner.value,
      owner: 0,
    });
    const middle: Node = {
      i: i + 1,
      j: j + 1,
      value: opposite ? corner.value : meanKnown,
      owner: opposite ? k + 1 : 0,
    };
    const toAfter = halfway(after);
    const toBefore = halfway(before);
    lattice.march([corner, toAfter, middle, toBefore]);
    if (!known[after]) lattice.close(toAfter, middle);
    if (!known[before]) lattice.close(middle, toBefore);
  }
}

/** Without the corners that carry nothing: on a straight stretch, or at the tip of a spike of no width. */
function withoutStraightCorners(ring: number[]): FlatRing {
  const kept: number[] = [];
  const carriesNothing = (a: number, b: number, c: number) => {
    const ux = kept[b]! - kept[a]!;
    const uy = kept[b + 1]! - kept[a + 1]!;
    const vx = kept[c]! - kept[b]!;
    const vy = kept[c + 1]! - kept[b + 1]!;
    return ux * vy - uy * vx === 0;
  };
  for (let i = 0; i < ring.length; i += 2) {
    kept.push(ring[i]!, ring[i + 1]!);
    while (kept.length >= 6 && carriesNothing(kept.length - 6, kept.length - 4, kept.length - 2)) {
      kept.splice(kept.length - 4, 2);
    }
  }
  // The same across the seam.
  for (let trimmed = true; trimmed && kept.length >= 6;) {
    trimmed = false;
    if (carriesNothing(kept.length - 4, kept.length - 2, 0)) {
      kept.length -= 2;
      trimmed = true;
    } else if (carriesNothing(kept.length - 2, 0, 2)) {
      kept.splice(0, 2);
      trimmed = true;
    }
  }
  return Float64Array.from(kept);
}

/**
 * The area where the surface is at or above a level.
 * @param grid values at cell centres; NaN is unknown
 * @returns metres of the grid's frame; holes in the smallest outer ring about them
 * @cost O(cells)
 */
export function contourAtLevel(grid: Grid, level: number): FlatMultiPolygon {
  if (!Number.isFinite(level)) throw new RangeError(`contourAtLevel: expected a level, got ${level}`);
  if (grid.values.length !== grid.columns * grid.rows) {
    throw new RangeError(`contourAtLevel: expected ${grid.columns * grid.rows} values, got ${grid.values.length}`);
  }
  const lattice = new Lattice(grid, level);
  for (let row = 0; row + 1 < lattice.rows; row++) {
    for (let column = 0; column + 1 < lattice.columns; column++) {
      if (!isPlain(lattice, column, row, level)) marchSquare(lattice, column, row);
    }
  }
  return nestRings(lattice.rings());
}
