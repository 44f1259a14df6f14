/** Draws the ways of the combine, all fields together: the custom layer of the map. */
import type { CustomLayerInterface, CustomRenderMethodInput, Map as LibraryMap } from 'maplibre-gl';
import type { Inks } from './inks.ts';
import { PathMarks } from './path-marks.ts';
import { type PathPoints, POINTS_WHILE_MOVING, strideFor } from './path-points.ts';
import { PathSegments } from './path-segments.ts';
import { isSeen, type Screen, sightOf } from './path-sight.ts';
import { DRIES_IN_S, FRESH_ALPHA, wayLook } from './way-look.ts';

/** What is drawn of one field. */
export interface DrawnPath {
  readonly points: PathPoints;
  /** Up to here, seconds since its first point; null: the whole way. */
  readonly untilS: number | null;
  /** Behind others: fainter. */
  readonly behind: boolean;
}

/** On one map, from when the layer is put there until it is taken away. */
interface Brushes {
  readonly map: LibraryMap;
  readonly gl: WebGL2RenderingContext;
  readonly segments: PathSegments;
  readonly marks: PathMarks;
  readonly array: WebGLVertexArrayObject;
}

export class PathPainter implements CustomLayerInterface {
  readonly id = 'passes';
  readonly type = 'custom' as const;
  private brushes: Brushes | null = null;
  private drawn: readonly DrawnPath[] = [];

  constructor(private readonly inks: Inks) {}

  show(drawn: readonly DrawnPath[]): void {
    this.drawn = drawn;
    const points = new Set(drawn.map((one) => one.points));
    this.brushes?.segments.forget(points);
    this.brushes?.marks.forget(points);
    this.brushes?.map.triggerRepaint();
  }

  onAdd(map: LibraryMap, context: WebGLRenderingContext | WebGL2RenderingContext): void {
    const gl = context as WebGL2RenderingContext;
    const [segments, marks] = [new PathSegments(gl), new PathMarks(gl, this.inks)];
    this.brushes = { map, gl, segments, marks, array: gl.createVertexArray() };
    map.on('moveend', this.drawAll);
  }

  onRemove(map: LibraryMap): void {
    map.off('moveend', this.drawAll);
    const { brushes } = this;
    this.brushes = null;
    brushes?.segments.remove();
    brushes?.marks.remove();
    brushes?.gl.deleteVertexArray(brushes.array);
  }

  render(_: WebGLRenderingContext | WebGL2RenderingContext, { defaultProjectionData }: CustomRenderMethodInput): void {
    const { brushes } = this;
    if (!brushes || this.drawn.length === 0) return;
    const { gl, map } = brushes;
    const matrix = defaultProjectionData.mainMatrix as ArrayLike<number>;
    const seen = this.drawn.filter((one) => isSeen(one.points, matrix));
    const points = seen.reduce((sum, one) => sum + one.points.count, 0);
    const screen: Screen = {
      matrix,
      halfPx: [gl.drawingBufferWidth / 2, gl.drawingBufferHeight / 2],
      ratio: gl.drawingBufferWidth / Math.max(1, map.getCanvas().clientWidth),
      // Of each field one more may be drawn, since its last point always is.
      stride: map.isMoving() ? strideFor(points, POINTS_WHILE_MOVING - seen.length) : 1,
    };
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.STENCIL_TEST);
    gl.disable(gl.CULL_FACE);
    gl.bindVertexArray(brushes.array);
    for (const one of seen) this.paint(brushes, one, screen);
    gl.bindVertexArray(null);
  }

  private readonly drawAll = () => this.brushes?.map.triggerRepaint();

  private paint({ segments, marks }: Brushes, { points, untilS, behind }: DrawnPath, screen: Screen): void {
    const { inks } = this;
    const sight = sightOf(points, screen, untilS);
    const { pxPerM, ratio, stride } = sight;
    const look = wayLook(points.path, pxPerM, ratio, inks.bold, behind);
    const { alpha, linePx, haloPx, haloAlpha } = look;
    if (untilS !== null) {
      const fresh = { color: inks.fresh, alpha: FRESH_ALPHA, widthPx: look.freshPx, freshS: DRIES_IN_S };
      // A few hundred points at most: never thinned.
      segments.paint(points, { ...sight, stride: 1, time: [untilS - DRIES_IN_S, untilS] }, fresh);
    }
    if (haloPx > 0 && stride === 1) {
      segments.paint(points, sight, { color: inks.halo, alpha: haloAlpha, widthPx: haloPx });
    }
    segments.paint(points, sight, { color: inks.ink, alpha, widthPx: linePx });
    if (look.tickPx && stride === 1) marks.paintTicks(points, sight, look.tickPx, alpha);
    if (untilS !== null) marks.paintMachine(points, untilS, sight, look.machine);
  }
}
