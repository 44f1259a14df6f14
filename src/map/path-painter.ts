/** Draws the ways of the combine, all fields together: the custom layer of the map. */
import type { CustomLayerInterface, CustomRenderMethodInput, Map as LibraryMap } from 'maplibre-gl';
import { type GlProgram, glProgram } from './gl-program.ts';
import type { Inks } from './inks.ts';
import { FLOATS_A_POINT, FLOATS_A_TICK, type PathPoints, POINTS_WHILE_MOVING, strideFor } from './path-points.ts';
import { SEGMENT_FRAGMENT, SEGMENT_VERTEX, TICK_FRAGMENT, TICK_VERTEX } from './path-shaders.ts';
import { channelsOf } from './ramp.ts';

/** What is drawn of one field. */
export interface DrawnPath {
  readonly points: PathPoints;
  /** Up to here, seconds since its first point; null: the whole way. */
  readonly untilS: number | null;
  /** Behind others: fainter. */
  readonly behind: boolean;
}

/** The fresh deposit has dried after so long. */
const DRIES_IN_S = 180;
const LINE_PX = 1.2;
/** Full ink where passes lie this far apart on screen; fainter the closer they are, so that the shade beneath shows. */
const CLEAR_PX = 14;
/** Ticks are drawn where a minute's way is at least this long on screen, at a combine's usual 2 m/s. */
const TICK_FROM_PX_A_MINUTE = 40;
const USUAL_SPEED_MS = 2;
const DASH_S = 12;
const FOREVER: readonly [number, number] = [-1, 1e9];

interface Uploaded {
  readonly points: WebGLBuffer;
  readonly ticks: WebGLBuffer;
}

interface Screen {
  readonly matrix: ArrayLike<number>;
  readonly halfPx: readonly [number, number];
  readonly ratio: number;
}

export class PathPainter implements CustomLayerInterface {
  readonly id = 'passes';
  readonly type = 'custom' as const;
  private map: LibraryMap | null = null;
  private gl: WebGL2RenderingContext | null = null;
  private segments: GlProgram | null = null;
  private ticks: GlProgram | null = null;
  private array: WebGLVertexArrayObject | null = null;
  private readonly uploaded = new Map<PathPoints, Uploaded>();
  private drawn: readonly DrawnPath[] = [];

  constructor(private readonly inks: Inks) {}

  show(drawn: readonly DrawnPath[]): void {
    this.drawn = drawn;
    this.forget(new Set(drawn.map((one) => one.points)));
    this.map?.triggerRepaint();
  }

  onAdd(map: LibraryMap, context: WebGLRenderingContext | WebGL2RenderingContext): void {
    const gl = context as WebGL2RenderingContext;
    this.map = map;
    this.gl = gl;
    this.segments = glProgram(gl, SEGMENT_VERTEX, SEGMENT_FRAGMENT);
    this.ticks = glProgram(gl, TICK_VERTEX, TICK_FRAGMENT);
    this.array = gl.createVertexArray();
    map.on('moveend', this.drawAll);
  }

  onRemove(map: LibraryMap): void {
    map.off('moveend', this.drawAll);
    this.forget(new Set());
    this.gl?.deleteProgram(this.segments?.program ?? null);
    this.gl?.deleteProgram(this.ticks?.program ?? null);
    this.gl?.deleteVertexArray(this.array);
    this.map = this.gl = null;
  }

  render(_: WebGLRenderingContext | WebGL2RenderingContext, { defaultProjectionData }: CustomRenderMethodInput): void {
    const { gl, map } = this;
    if (!gl || !map || this.drawn.length === 0) return;
    const halfPx = [gl.drawingBufferWidth / 2, gl.drawingBufferHeight / 2] as const;
    const canvas = map.getCanvas();
    const screen = {
      matrix: defaultProjectionData.mainMatrix as ArrayLike<number>,
      halfPx,
      ratio: gl.drawingBufferWidth / Math.max(1, canvas.clientWidth),
    };
    const seen = this.drawn.filter((one) => isSeen(one.points, screen.matrix));
    const all = seen.reduce((sum, one) => sum + one.points.count, 0);
    const stride = strideFor(all, map.isMoving() ? POINTS_WHILE_MOVING : Infinity);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.STENCIL_TEST);
    gl.disable(gl.CULL_FACE);
    gl.bindVertexArray(this.array);
    for (const one of seen) this.paint(gl, one, screen, stride);
    gl.bindVertexArray(null);
  }

  private readonly drawAll = () => this.map?.triggerRepaint();

  private paint(gl: WebGL2RenderingContext, one: DrawnPath, screen: Screen, stride: number): void {
    const { points, untilS, behind } = one;
    const { inks } = this;
    const matrix = movedTo(screen.matrix, points.origin);
    const pxPerM = pxPerUnit(matrix, screen.halfPx) * points.mercatorPerM;
    const barPx = points.path.headerWidthM * pxPerM;
    const time = untilS === null ? FOREVER : ([-1, untilS] as const);
    const buffers = this.upload(gl, points);
    if (untilS !== null) {
      const fresh = { color: inks.fresh, alpha: 0.9, widthPx: Math.max(2, barPx), freshS: DRIES_IN_S, cutOnly: true };
      this.paintSegments(gl, one, { matrix, screen, time: [untilS - DRIES_IN_S, untilS], stride, buffers }, fresh);
    }
    const clear = Math.min(1, Math.max(0.14, barPx / (CLEAR_PX * screen.ratio)));
    const alpha = 0.8 * clear * (behind ? 0.35 : 1);
    const line = { color: inks.ink, alpha, widthPx: LINE_PX * inks.bold * screen.ratio, freshS: 0, cutOnly: false };
    this.paintSegments(gl, one, { matrix, screen, time, stride, buffers }, line);
    const minutePx = (60 * USUAL_SPEED_MS * pxPerM) / screen.ratio;
    if (!points.path.assumed && minutePx >= TICK_FROM_PX_A_MINUTE && stride === 1) {
      this.paintTicks(gl, one, { matrix, screen, time, buffers }, alpha);
    }
  }

  private paintSegments(
    gl: WebGL2RenderingContext,
    { points }: DrawnPath,
    at: { matrix: Float32Array; screen: Screen; time: readonly [number, number]; stride: number; buffers: Uploaded },
    look: { color: string; alpha: number; widthPx: number; freshS: number; cutOnly: boolean },
  ): void {
    const { program, attribute, uniform } = this.segments!;
    gl.useProgram(program);
    gl.uniformMatrix4fv(uniform('u_matrix'), false, at.matrix);
    gl.uniform2f(uniform('u_halfPx'), ...at.screen.halfPx);
    gl.uniform1f(uniform('u_widthPx'), look.widthPx);
    gl.uniform2f(uniform('u_time'), ...at.time);
    gl.uniform1f(uniform('u_cutOnly'), look.cutOnly ? 1 : 0);
    gl.uniform1f(uniform('u_freshS'), look.freshS);
    gl.uniform1f(uniform('u_dashS'), points.path.assumed ? DASH_S : 0);
    gl.uniform4f(uniform('u_color'), ...rgb(look.color), look.alpha);
    gl.bindBuffer(gl.ARRAY_BUFFER, at.buffers.points);
    const step = FLOATS_A_POINT * 4 * at.stride;
    const names = [
      ['a_from', 2, 0],
      ['a_fromS', 1, 8],
      ['a_fromPass', 1, 12],
      ['a_fromStretch', 1, 16],
      ['a_to', 2, step],
      ['a_toS', 1, step + 8],
      ['a_toPass', 1, step + 12],
      ['a_toStretch', 1, step + 16],
    ] as const;
    for (const [name, size, offset] of names) perInstance(gl, attribute(name), size, step, offset);
    const count = Math.floor((points.count - 1) / at.stride);
    if (count > 0) gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, count);
    for (const [name] of names) release(gl, attribute(name));
  }

  private paintTicks(
    gl: WebGL2RenderingContext,
    { points }: DrawnPath,
    at: { matrix: Float32Array; screen: Screen; time: readonly [number, number]; buffers: Uploaded },
    alpha: number,
  ): void {
    const { program, attribute, uniform } = this.ticks!;
    gl.useProgram(program);
    gl.uniformMatrix4fv(uniform('u_matrix'), false, at.matrix);
    gl.uniform2f(uniform('u_halfPx'), ...at.screen.halfPx);
    gl.uniform2f(uniform('u_time'), ...at.time);
    gl.uniform2f(uniform('u_sizePx'), 8 * at.screen.ratio, 1.6 * this.inks.bold * at.screen.ratio);
    gl.uniform4f(uniform('u_color'), ...rgb(this.inks.ink), alpha);
    gl.bindBuffer(gl.ARRAY_BUFFER, at.buffers.ticks);
    const names = [
      ['a_at', 2, 0],
      ['a_across', 2, 8],
      ['a_sinceS', 1, 16],
    ] as const;
    for (const [name, size, offset] of names) perInstance(gl, attribute(name), size, FLOATS_A_TICK * 4, offset);
    gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, points.ticks.length / FLOATS_A_TICK);
    for (const [name] of names) release(gl, attribute(name));
  }

  private upload(gl: WebGL2RenderingContext, points: PathPoints): Uploaded {
    const known = this.uploaded.get(points);
    if (known) return known;
    const filled = (data: Float32Array) => {
      const buffer = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
      return buffer;
    };
    const made = { points: filled(points.points), ticks: filled(points.ticks) };
    this.uploaded.set(points, made);
    return made;
  }

  private forget(but: ReadonlySet<PathPoints>): void {
    for (const [points, buffers] of this.uploaded) {
      if (but.has(points)) continue;
      this.gl?.deleteBuffer(buffers.points);
      this.gl?.deleteBuffer(buffers.ticks);
      this.uploaded.delete(points);
    }
  }
}

function perInstance(gl: WebGL2RenderingContext, at: number, size: number, stride: number, offset: number): void {
  if (at < 0) return;
  gl.enableVertexAttribArray(at);
  gl.vertexAttribPointer(at, size, gl.FLOAT, false, stride, offset);
  gl.vertexAttribDivisor(at, 1);
}

function release(gl: WebGL2RenderingContext, at: number): void {
  if (at < 0) return;
  gl.vertexAttribDivisor(at, 0);
  gl.disableVertexAttribArray(at);
}

function rgb(color: string): [number, number, number] {
  const [red, green, blue] = channelsOf(color);
  return [red / 255, green / 255, blue / 255];
}

/** The matrix for coordinates less an origin; in doubles until here. */
function movedTo(m: ArrayLike<number>, [x, y]: readonly [number, number]): Float32Array {
  const moved = Float64Array.from(m);
  for (let row = 0; row < 4; row++) moved[12 + row] = m[row]! * x + m[4 + row]! * y + m[12 + row]!;
  return Float32Array.from(moved);
}

/** Device pixels of one Mercator unit, seen from straight above. */
function pxPerUnit(m: ArrayLike<number>, halfPx: readonly [number, number]): number {
  return (Math.hypot(m[0]!, m[1]!) / m[15]!) * halfPx[0];
}

function isSeen({ box: [west, north, east, south] }: PathPoints, m: ArrayLike<number>): boolean {
  const at = (x: number, y: number) => {
    const w = m[3]! * x + m[7]! * y + m[15]!;
    return [(m[0]! * x + m[4]! * y + m[12]!) / w, (m[1]! * x + m[5]! * y + m[13]!) / w] as const;
  };
  const [x0, y0] = at(west, north);
  const [x1, y1] = at(east, south);
  const meets = (a: number, b: number) => Math.min(a, b) <= 1 && Math.max(a, b) >= -1;
  return meets(x0, x1) && meets(y0, y1);
}
