/** Draws the ways of the combine, all fields together: the custom layer of the map. */
import type { CustomLayerInterface, CustomRenderMethodInput, Map as LibraryMap } from 'maplibre-gl';
import { type GlProgram, glProgram } from './gl-program.ts';
import type { Inks } from './inks.ts';
import {
  FLOATS_A_POINT,
  FLOATS_A_TICK,
  machineAt,
  type PathPoints,
  POINTS_WHILE_MOVING,
  strideFor,
  thinned,
} from './path-points.ts';
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

/** Least size of the machine's picture on screen: its cutter bar, and its body behind it. */
const [BAR_PX, BODY_PX] = [14, 12];
const BODY_M = 7;

interface Uploaded {
  /** By stride: the points, or every so many-th of them. */
  readonly points: Map<number, WebGLBuffer>;
  readonly ticks: WebGLBuffer;
}

interface Screen {
  readonly matrix: ArrayLike<number>;
  readonly halfPx: readonly [number, number];
  /** Device pixels a CSS pixel. */
  readonly ratio: number;
  readonly stride: number;
}

interface Sight extends Screen {
  /** For coordinates less the origin of the path. */
  readonly moved: Float32Array;
  readonly pxPerM: number;
  /** Seconds between which the way is drawn. */
  readonly time: readonly [from: number, until: number];
}

interface Look {
  readonly color: string;
  readonly alpha: number;
  readonly widthPx: number;
  /** Above 0: fades with its age, gone after so long. */
  readonly freshS?: number;
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
    const seen = this.drawn.filter((one) => isSeen(one.points, defaultProjectionData.mainMatrix as ArrayLike<number>));
    const points = seen.reduce((sum, one) => sum + one.points.count, 0);
    const screen: Screen = {
      matrix: defaultProjectionData.mainMatrix as ArrayLike<number>,
      halfPx: [gl.drawingBufferWidth / 2, gl.drawingBufferHeight / 2],
      ratio: gl.drawingBufferWidth / Math.max(1, map.getCanvas().clientWidth),
      stride: strideFor(points, map.isMoving() ? POINTS_WHILE_MOVING : Infinity),
    };
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.STENCIL_TEST);
    gl.disable(gl.CULL_FACE);
    gl.bindVertexArray(this.array);
    for (const one of seen) this.paint(gl, one, screen);
    gl.bindVertexArray(null);
  }

  private readonly drawAll = () => this.map?.triggerRepaint();

  private paint(gl: WebGL2RenderingContext, { points, untilS, behind }: DrawnPath, screen: Screen): void {
    const { inks } = this;
    const moved = movedTo(screen.matrix, points.origin);
    const pxPerM = pxPerUnit(moved, screen.halfPx) * points.mercatorPerM;
    const sight: Sight = { ...screen, moved, pxPerM, time: untilS === null ? FOREVER : [-1, untilS] };
    const barPx = points.path.headerWidthM * pxPerM;
    const clear = Math.min(1, Math.max(0.14, barPx / (CLEAR_PX * screen.ratio)));
    const alpha = 0.8 * clear * (behind ? 0.35 : 1);
    const linePx = LINE_PX * inks.bold * screen.ratio;
    if (untilS !== null) {
      const fresh = { color: inks.fresh, alpha: 0.9, widthPx: Math.max(2, barPx), freshS: DRIES_IN_S };
      this.paintSegments(gl, points, { ...sight, time: [untilS - DRIES_IN_S, untilS] }, fresh);
    }
    // On a dark shade ink is not seen without some paper beside it.
    if (clear === 1 && screen.stride === 1) {
      this.paintSegments(gl, points, sight, { color: inks.halo, alpha: 0.4 * alpha, widthPx: 3 * linePx });
    }
    this.paintSegments(gl, points, sight, { color: inks.ink, alpha, widthPx: linePx });
    const minutePx = (60 * USUAL_SPEED_MS * pxPerM) / screen.ratio;
    if (!points.path.assumed && minutePx >= TICK_FROM_PX_A_MINUTE && screen.stride === 1) {
      const size = [8 * screen.ratio, 1.6 * inks.bold * screen.ratio] as const;
      this.paintTicks(gl, this.upload(gl, points).ticks, points.ticks.length, sight, size, { color: inks.ink, alpha });
    }
    if (untilS !== null) this.paintMachine(gl, points, untilS, sight);
  }

  /** A bar as wide as the header, and a body behind it. */
  private paintMachine(gl: WebGL2RenderingContext, points: PathPoints, atS: number, sight: Sight): void {
    const machine = machineAt(points, atS);
    if (!machine) return;
    const { inks } = this;
    const { ratio, pxPerM } = sight;
    const [x, y, acrossX, acrossY] = machine;
    const bodyPx = Math.max(BODY_PX * ratio, BODY_M * pxPerM);
    const barPx = Math.max(BAR_PX * ratio, points.path.headerWidthM * pxPerM);
    const back = (bodyPx / 2 / pxPerM) * points.mercatorPerM;
    const parts = [
      { at: [x + acrossY * back, y + acrossX * back], size: [bodyPx * 0.5, bodyPx] },
      { at: [x, y], size: [barPx, 4 * ratio] },
    ] as const;
    const buffer = gl.createBuffer();
    for (const [color, edgePx] of [
      [inks.halo, 3 * ratio],
      [inks.ink, 0],
    ] as const) {
      for (const { at, size } of parts) {
        gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
        gl.bufferData(gl.ARRAY_BUFFER, Float32Array.of(...at, acrossX, acrossY, 0), gl.STREAM_DRAW);
        const sizePx = [size[0] + 2 * edgePx, size[1] + 2 * edgePx] as const;
        this.paintTicks(gl, buffer, FLOATS_A_TICK, sight, sizePx, { color, alpha: 1 });
      }
    }
    gl.deleteBuffer(buffer);
  }

  private paintSegments(gl: WebGL2RenderingContext, points: PathPoints, sight: Sight, look: Look): void {
    const { program, attribute, uniform } = this.segments!;
    gl.useProgram(program);
    gl.uniformMatrix4fv(uniform('u_matrix'), false, sight.moved);
    gl.uniform2f(uniform('u_halfPx'), ...sight.halfPx);
    gl.uniform1f(uniform('u_widthPx'), look.widthPx);
    gl.uniform2f(uniform('u_time'), ...sight.time);
    gl.uniform1f(uniform('u_freshS'), look.freshS ?? 0);
    gl.uniform1f(uniform('u_dashS'), points.path.assumed ? DASH_S : 0);
    gl.uniform4f(uniform('u_color'), ...rgb(look.color), look.alpha);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.pointsOf(gl, points, sight.stride));
    const step = FLOATS_A_POINT * 4;
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
    const count = Math.ceil((points.count - 1) / sight.stride);
    if (count > 0) gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, count);
    for (const [name] of names) release(gl, attribute(name));
  }

  private paintTicks(
    gl: WebGL2RenderingContext,
    buffer: WebGLBuffer,
    floats: number,
    sight: Sight,
    sizePx: readonly [number, number],
    { color, alpha }: Pick<Look, 'color' | 'alpha'>,
  ): void {
    const { program, attribute, uniform } = this.ticks!;
    gl.useProgram(program);
    gl.uniformMatrix4fv(uniform('u_matrix'), false, sight.moved);
    gl.uniform2f(uniform('u_halfPx'), ...sight.halfPx);
    gl.uniform2f(uniform('u_time'), ...sight.time);
    gl.uniform2f(uniform('u_sizePx'), ...sizePx);
    gl.uniform4f(uniform('u_color'), ...rgb(color), alpha);
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    const names = [
      ['a_at', 2, 0],
      ['a_across', 2, 8],
      ['a_sinceS', 1, 16],
    ] as const;
    for (const [name, size, offset] of names) perInstance(gl, attribute(name), size, FLOATS_A_TICK * 4, offset);
    gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, floats / FLOATS_A_TICK);
    for (const [name] of names) release(gl, attribute(name));
  }

  private pointsOf(gl: WebGL2RenderingContext, points: PathPoints, stride: number): WebGLBuffer {
    const { points: byStride } = this.upload(gl, points);
    const known = byStride.get(stride) ?? filled(gl, thinned(points, stride));
    byStride.set(stride, known);
    return known;
  }

  private upload(gl: WebGL2RenderingContext, points: PathPoints): Uploaded {
    const known = this.uploaded.get(points) ?? { points: new Map(), ticks: filled(gl, points.ticks) };
    this.uploaded.set(points, known);
    return known;
  }

  private forget(but: ReadonlySet<PathPoints>): void {
    for (const [points, buffers] of this.uploaded) {
      if (but.has(points)) continue;
      for (const one of buffers.points.values()) this.gl?.deleteBuffer(one);
      this.gl?.deleteBuffer(buffers.ticks);
      this.uploaded.delete(points);
    }
  }
}

function filled(gl: WebGL2RenderingContext, data: Float32Array): WebGLBuffer {
  const buffer = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
  return buffer;
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
