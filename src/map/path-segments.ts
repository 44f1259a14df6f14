/** Draws the segments of ways, from textures that hold their points. */
import { type GlProgram, glProgram } from './gl-program.ts';
import { type PathPoints, segmentsWithin, TEXELS_A_ROW, WORDS_A_POINT } from './path-points.ts';
import { SEGMENT_FRAGMENT, SEGMENT_VERTEX } from './path-shaders.ts';
import { rgb, type Sight } from './path-sight.ts';
import { DASH_S } from './way-look.ts';

export interface Look {
  readonly color: string;
  readonly alpha: number;
  readonly widthPx: number;
  /** Above 0: fades with its age, gone after so long. */
  readonly freshS?: number;
}

const [VERTICES_A_BOX, VERTICES_A_LINE] = [6, 2];
/** A thinned way no wider than this, device pixels, is drawn as lines a pixel wide: it costs a third, and shows only while moving. */
const THIN_PX = 2;

export class PathSegments {
  private readonly program: GlProgram;
  private readonly textures = new Map<PathPoints, WebGLTexture>();

  constructor(private readonly gl: WebGL2RenderingContext) {
    this.program = glProgram(gl, SEGMENT_VERTEX, SEGMENT_FRAGMENT);
  }

  paint(points: PathPoints, sight: Sight, look: Look): void {
    const { gl } = this;
    const { program, uniform } = this.program;
    const [first, end] = segmentsWithin(points, sight.time, sight.stride);
    if (end <= first) return;
    gl.useProgram(program);
    gl.uniformMatrix4fv(uniform('u_matrix'), false, sight.moved);
    gl.uniform2f(uniform('u_halfPx'), ...sight.halfPx);
    gl.uniform1f(uniform('u_widthPx'), look.widthPx);
    gl.uniform2f(uniform('u_time'), ...sight.time);
    gl.uniform1f(uniform('u_freshS'), look.freshS ?? 0);
    gl.uniform1f(uniform('u_dashS'), points.path.assumed ? DASH_S : 0);
    gl.uniform4f(uniform('u_color'), ...rgb(look.color), look.alpha);
    gl.uniform1i(uniform('u_count'), points.count);
    gl.uniform1i(uniform('u_stride'), sight.stride);
    gl.uniform1i(uniform('u_points'), 0);
    const isThin = sight.stride > 1 && look.widthPx <= THIN_PX;
    const vertices = isThin ? VERTICES_A_LINE : VERTICES_A_BOX;
    gl.uniform1i(uniform('u_vertices'), vertices);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.textureOf(points));
    gl.drawArrays(isThin ? gl.LINES : gl.TRIANGLES, first * vertices, (end - first) * vertices);
    gl.bindTexture(gl.TEXTURE_2D, null);
  }

  forget(but: ReadonlySet<PathPoints>): void {
    for (const [points, texture] of this.textures) {
      if (but.has(points)) continue;
      this.gl.deleteTexture(texture);
      this.textures.delete(points);
    }
  }

  remove(): void {
    this.forget(new Set());
    this.gl.deleteProgram(this.program.program);
  }

  private textureOf(points: PathPoints): WebGLTexture {
    const known = this.textures.get(points) ?? this.uploaded(points);
    this.textures.set(points, known);
    return known;
  }

  private uploaded({ points }: PathPoints): WebGLTexture {
    const { gl } = this;
    const texture = gl.createTexture();
    const rows = points.length / WORDS_A_POINT / TEXELS_A_ROW;
    gl.bindTexture(gl.TEXTURE_2D, texture);
    for (const side of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER])
      gl.texParameteri(gl.TEXTURE_2D, side, gl.NEAREST);
    // As the map library left them, they would turn the rows about.
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
    gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA32UI, TEXELS_A_ROW, rows);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, TEXELS_A_ROW, rows, gl.RGBA_INTEGER, gl.UNSIGNED_INT, points);
    return texture;
  }
}
