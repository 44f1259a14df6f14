/** Draws what stands on ways: a tick each minute, and the machine. */
import { type GlProgram, glProgram } from './gl-program.ts';
import type { Inks } from './inks.ts';
import { FLOATS_A_TICK, machineAt, type PathPoints } from './path-points.ts';
import { TICK_FRAGMENT, TICK_VERTEX } from './path-shaders.ts';
import { rgb, type Sight } from './path-sight.ts';
import type { WayLook } from './way-look.ts';

interface Ink {
  readonly color: string;
  readonly alpha: number;
}

export class PathMarks {
  private readonly program: GlProgram;
  private readonly ticks = new Map<PathPoints, WebGLBuffer>();

  constructor(
    private readonly gl: WebGL2RenderingContext,
    private readonly inks: Inks,
  ) {
    this.program = glProgram(gl, TICK_VERTEX, TICK_FRAGMENT);
  }

  paintTicks(points: PathPoints, sight: Sight, sizePx: readonly [number, number], alpha: number): void {
    const { inks } = this;
    const known = this.ticks.get(points) ?? this.filled(points.ticks, this.gl.STATIC_DRAW);
    this.ticks.set(points, known);
    this.paint(known, points.ticks.length, sight, sizePx, { color: inks.ink, alpha });
  }

  /** A bar as wide as the header, and a body behind it. */
  paintMachine(points: PathPoints, atS: number, sight: Sight, look: WayLook['machine']): void {
    const machine = machineAt(points, atS);
    if (!machine) return;
    const { gl, inks } = this;
    const [x, y, acrossX, acrossY] = machine;
    const { bodyPx, barPx } = look;
    const back = (bodyPx / 2 / sight.pxPerM) * points.mercatorPerM;
    const parts = [
      { at: [x + acrossY * back, y + acrossX * back], size: [bodyPx * 0.5, bodyPx] },
      { at: [x, y], size: [barPx, look.thickPx] },
    ] as const;
    for (const [color, edgePx] of [
      [inks.halo, look.edgePx],
      [inks.ink, 0],
    ] as const) {
      for (const { at, size } of parts) {
        const buffer = this.filled(Float32Array.of(...at, acrossX, acrossY, 0), gl.STREAM_DRAW);
        this.paint(buffer, FLOATS_A_TICK, sight, [size[0] + 2 * edgePx, size[1] + 2 * edgePx], { color, alpha: 1 });
        gl.deleteBuffer(buffer);
      }
    }
  }

  forget(but: ReadonlySet<PathPoints>): void {
    for (const [points, buffer] of this.ticks) {
      if (but.has(points)) continue;
      this.gl.deleteBuffer(buffer);
      this.ticks.delete(points);
    }
  }

  remove(): void {
    this.forget(new Set());
    this.gl.deleteProgram(this.program.program);
  }

  private paint(
    buffer: WebGLBuffer,
    floats: number,
    sight: Sight,
    sizePx: readonly [number, number],
    { color, alpha }: Ink,
  ): void {
    const { gl } = this;
    const { program, attribute, uniform } = this.program;
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
    for (const [name, size, offset] of names) {
      const at = attribute(name);
      gl.enableVertexAttribArray(at);
      gl.vertexAttribPointer(at, size, gl.FLOAT, false, FLOATS_A_TICK * 4, offset);
      gl.vertexAttribDivisor(at, 1);
    }
    gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, floats / FLOATS_A_TICK);
    for (const [name] of names) {
      gl.vertexAttribDivisor(attribute(name), 0);
      gl.disableVertexAttribArray(attribute(name));
    }
  }

  private filled(data: Float32Array, usage: number): WebGLBuffer {
    const { gl } = this;
    const buffer = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.bufferData(gl.ARRAY_BUFFER, data, usage);
    return buffer;
  }
}
