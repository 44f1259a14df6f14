/** The drawing under way: its corners, its own undo, what is chosen, where the cross stands, and what is amiss. */
import { createFrame, type Frame } from '../../../shared/geometry/local-frame.ts';
import { toLocalPolygon } from '../../../shared/geometry/polygon.ts';
import type { FlatMultiPolygon, LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import type { DrawingWish } from '../../state/drawing.svelte.ts';
import {
  beginSketch,
  canClose,
  closeSketch,
  type CornerRef,
  cornerAt,
  cornersOf,
  edgesOf,
  insertCorner,
  isComplete,
  moveCorner,
  placeCorner,
  removeCorner,
  type Sketch,
  type SketchEdge,
  withArea,
} from './sketch.ts';
import { nearestOn, SnapTargets } from './snapping.ts';
import { mended, placedCrossing, soundnessOf } from './soundness.ts';

export interface Surroundings {
  /** Boundary of the field that the wish is about. */
  readonly field: MultiPolygon | null;
  /** Where the frame of metres stands: the field's own, else the middle of the map. */
  readonly origin: LonLat;
  /** Where the cross stands at first. */
  readonly cross: LonLat;
}

export class Sketching {
  readonly frame: Frame;
  private readonly targets: SnapTargets;
  private readonly field: FlatMultiPolygon | null;
  private now: Sketch;
  private past = $state.raw<readonly Sketch[]>([]);
  private undone = $state.raw<readonly Sketch[]>([]);
  private picked = $state.raw<CornerRef | null>(null);
  private at: LonLat;
  private snapping = $state(true);
  /** The last place that was snapped to, until the next movement. */
  private caught = $state.raw<'corner' | 'edge' | null>(null);

  constructor(
    readonly wish: DrawingWish,
    { field, origin, cross }: Surroundings,
  ) {
    this.frame = createFrame(origin);
    this.field = field && toLocalPolygon(this.frame, field);
    this.targets = new SnapTargets(this.frame, [...(field ? [field] : []), ...(wish.beside ?? [])]);
    this.now = $state.raw(beginSketch(wish));
    this.at = $state.raw(cross);
  }

  readonly sound = $derived.by(() => soundnessOf(this.now, this.frame, this.field));
  /** Of what was placed so far, the closing edge left out. */
  readonly crossesAt = $derived.by(() =>
    this.now.phase === 'placing' && this.now.kind === 'area'
      ? placedCrossing(this.now.rings[0]!.corners, this.frame)
      : this.sound.crossesAt,
  );

  get sketch(): Sketch {
    return this.now;
  }
  get chosen(): CornerRef | null {
    return this.picked;
  }
  /** Where the next corner would go: the pointer, or the cross that the arrow keys move. */
  get cross(): LonLat {
    return this.at;
  }
  get snaps(): boolean {
    return this.snapping;
  }
  get snappedTo(): 'corner' | 'edge' | null {
    return this.caught;
  }
  get canUndo(): boolean {
    return this.past.length > 0;
  }
  get canRedo(): boolean {
    return this.undone.length > 0;
  }
  get isComplete(): boolean {
    return isComplete(this.now);
  }
  /** True where nothing bars it from being done. */
  get canFinish(): boolean {
    return isComplete(this.now) && (this.now.kind !== 'area' || this.sound.area !== null);
  }

  snap(on: boolean): void {
    this.snapping = on;
  }

  /** The cross or the pointer is there now. */
  point(at: LonLat): void {
    this.at = at;
    this.caught = null;
  }

  /** A new corner where nothing is closed yet. @returns whether one was placed */
  place(at: LonLat, reachM: number): boolean {
    if (this.now.phase !== 'placing') return false;
    this.change(placeCorner(this.now, this.snapped(at, reachM)));
    this.picked = null;
    return true;
  }

  /** A corner is taken hold of: all that follows until the next is one step of undo. */
  take(ref: CornerRef): void {
    this.picked = ref;
    this.past = [...this.past, this.now];
    this.undone = [];
  }
  /** The corner that was taken is moved. */
  moveTo(at: LonLat, reachM: number): void {
    if (this.picked) this.now = moveCorner(this.now, this.picked, this.snapped(at, reachM));
  }
  /** The corner stands at typed degrees. */
  put(ref: CornerRef, at: LonLat): void {
    this.change(moveCorner(this.now, ref, at));
    this.picked = ref;
  }
  nudge(eastM: number, northM: number): void {
    const from = this.picked ? cornerAt(this.now, this.picked) : this.at;
    const [x, y] = this.frame.toLocal(from[0], from[1]);
    const to = this.frame.toLonLat(x + eastM, y + northM);
    if (this.picked) this.change(moveCorner(this.now, this.picked, to));
    this.point(to);
  }

  insert(edge: SketchEdge, at: LonLat): void {
    this.change(insertCorner(this.now, edge.from, at));
    this.picked = { ring: edge.from.ring, corner: edge.from.corner + 1 };
  }
  /** A corner in the middle of the edge after the chosen one; with none chosen, on the edge that is nearest to the cross. */
  insertNear(): void {
    const edges = edgesOf(this.now);
    const after = edges.find(({ from }) => from.ring === this.picked?.ring && from.corner === this.picked.corner);
    const edge = after ?? this.nearestEdge(edges);
    if (!edge) return;
    const [ax, ay] = this.frame.toLocal(edge.a[0], edge.a[1]);
    const [bx, by] = this.frame.toLocal(edge.b[0], edge.b[1]);
    this.insert(edge, after ? this.frame.toLonLat((ax + bx) / 2, (ay + by) / 2) : this.at);
  }

  /** @returns false where the area would have too few corners left */
  remove(ref: CornerRef | null = this.picked): boolean {
    const corners = cornersOf(this.now);
    const which = ref ?? (this.now.phase === 'placing' ? corners.at(-1) : undefined);
    const left = which && removeCorner(this.now, which);
    if (!left) return false;
    this.change(left);
    this.picked = null;
    return true;
  }

  choose(ref: CornerRef | null): void {
    this.picked = ref;
    if (ref) this.point(cornerAt(this.now, ref));
  }
  /** The next corner, or the one before. @returns false past the ends: the keyboard may go on from here */
  walk(by: 1 | -1): boolean {
    const corners = cornersOf(this.now);
    const at = corners.findIndex((one) => one.ring === this.picked?.ring && one.corner === this.picked.corner);
    const next = corners[at < 0 ? (by > 0 ? 0 : -1) : at + by];
    this.choose(next ?? null);
    return next !== undefined;
  }

  close(): void {
    if (canClose(this.now)) this.change(closeSketch(this.now));
  }
  /** Keeps everything that a crossing outline winds about; only ever by the person's yes. */
  mend(): void {
    const result = mended(this.now, this.frame);
    if (result) this.change(withArea(this.now, result.area));
    this.picked = null;
  }

  undo(): void {
    const before = this.past.at(-1);
    if (!before) return;
    this.undone = [...this.undone, this.now];
    this.past = this.past.slice(0, -1);
    this.now = before;
    this.picked = null;
  }
  redo(): void {
    const after = this.undone.at(-1);
    if (!after) return;
    this.past = [...this.past, this.now];
    this.undone = this.undone.slice(0, -1);
    this.now = after;
    this.picked = null;
  }

  /** What is handed over; null while something bars it. */
  get result(): LonLat | readonly LonLat[] | MultiPolygon | null {
    if (!this.canFinish) return null;
    const { corners } = this.now.rings[0]!;
    return this.now.kind === 'point' ? corners[0]! : this.now.kind === 'line' ? corners : this.sound.area;
  }

  private snapped(at: LonLat, reachM: number): LonLat {
    const found = this.snapping && reachM > 0 ? this.targets.near(at, reachM) : null;
    this.caught = found?.to ?? null;
    return found?.at ?? at;
  }

  private nearestEdge(edges: readonly SketchEdge[]): SketchEdge | null {
    const [x, y] = this.frame.toLocal(this.at[0], this.at[1]);
    let best: SketchEdge | null = null;
    let bestM = Infinity;
    for (const edge of edges) {
      const a = this.frame.toLocal(edge.a[0], edge.a[1]);
      const b = this.frame.toLocal(edge.b[0], edge.b[1]);
      const [px, py] = nearestOn(...a, ...b, x, y);
      const awayM = Math.hypot(px - x, py - y);
      if (awayM < bestM) [best, bestM] = [edge, awayM];
    }
    return best;
  }

  private change(next: Sketch): void {
    this.past = [...this.past, this.now];
    this.undone = [];
    this.now = next;
  }
}
