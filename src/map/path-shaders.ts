/** Shaders of the machine's way: every segment is a thin box of four corners, as wide as is asked for. */
import { TEXELS_A_ROW } from './path-points.ts';
import { DASH_SHARE, UNCUT_SHARE } from './way-look.ts';

/**
 * Box about the segment from one point to the next (or the so many-th), six vertices each; nothing where they do not belong together,
 * or lie outside of the time shown. Points are read from a texture: drawn by instances, where there is no graphics card each segment
 * costs as much as a draw of its own. u_vertices 2 instead of 6: drawn as the card's own lines, a pixel wide.
 */
export const SEGMENT_VERTEX = `#version 300 es
precision highp usampler2D;
uniform usampler2D u_points; uniform int u_count; uniform int u_stride; uniform int u_vertices;
uniform mat4 u_matrix; uniform vec2 u_halfPx; uniform float u_widthPx;
uniform vec2 u_time; uniform float u_freshS;
out float v_across; out float v_sinceS; out float v_cut;
uvec4 point(int at) { return texelFetch(u_points, ivec2(at % ${TEXELS_A_ROW}, at / ${TEXELS_A_ROW}), 0); }
void main() {
  int first = gl_VertexID / u_vertices * u_stride; int vertex = gl_VertexID % u_vertices;
  bool thin = u_vertices == 2;
  int corner = thin ? 2 * vertex : vertex < 3 ? vertex : vertex == 3 ? 2 : vertex == 4 ? 1 : 3;
  uvec4 a = point(first); uvec4 b = point(min(first + u_stride, u_count - 1));
  float fromS = uintBitsToFloat(a.z); float toS = uintBitsToFloat(b.z);
  uint fromPass = a.w & 0xffffu; uint toPass = b.w & 0xffffu;
  bool cut = fromPass > 0u && fromPass == toPass;
  bool hidden = a.w >> 16 != b.w >> 16 || fromS > u_time.y || toS < u_time.x || (u_freshS > 0.0 && !cut);
  float end = float(corner / 2); float side = thin ? 0.0 : float(corner % 2) * 2.0 - 1.0;
  vec4 from = u_matrix * vec4(uintBitsToFloat(a.xy), 0.0, 1.0); vec4 to = u_matrix * vec4(uintBitsToFloat(b.xy), 0.0, 1.0);
  vec2 along = to.xy / to.w * u_halfPx - from.xy / from.w * u_halfPx;
  float lengthPx = length(along);
  vec2 across = lengthPx > 0.001 ? vec2(-along.y, along.x) / lengthPx : vec2(0.0, 1.0);
  float reachPx = u_widthPx / 2.0 + 0.5;
  vec4 at = end < 0.5 ? from : to;
  at.xy += side * across * reachPx / u_halfPx * at.w;
  gl_Position = hidden ? vec4(2.0, 2.0, 2.0, 1.0) : at;
  v_across = side * reachPx; v_sinceS = mix(fromS, toS, end); v_cut = cut ? 1.0 : 0.0;
}`;

/** Fainter where nothing is cut; broken where the way is assumed. Fresh deposit: u_freshS above 0, it fades with its age. */
export const SEGMENT_FRAGMENT = `#version 300 es
precision highp float;
in float v_across; in float v_sinceS; in float v_cut;
uniform vec4 u_color; uniform float u_widthPx; uniform float u_dashS; uniform float u_freshS; uniform vec2 u_time;
out vec4 color;
void main() {
  if (u_dashS > 0.0 && fract(v_sinceS / u_dashS) > ${DASH_SHARE}) discard;
  float alpha = u_color.a * clamp(u_widthPx / 2.0 + 0.5 - abs(v_across), 0.0, 1.0) * mix(${UNCUT_SHARE}, 1.0, v_cut);
  if (u_freshS > 0.0) alpha *= pow(clamp(1.0 - (u_time.y - v_sinceS) / u_freshS, 0.0, 1.0), 1.5);
  if (v_sinceS > u_time.y) alpha = 0.0;
  color = vec4(u_color.rgb * alpha, alpha);
}`;

/** A short bar across the way. */
export const TICK_VERTEX = `#version 300 es
in vec2 a_at; in vec2 a_across; in float a_sinceS;
uniform mat4 u_matrix; uniform vec2 u_halfPx; uniform vec2 u_sizePx; uniform vec2 u_time;
void main() {
  float end = float(gl_VertexID / 2) * 2.0 - 1.0; float side = float(gl_VertexID % 2) * 2.0 - 1.0;
  vec4 at = u_matrix * vec4(a_at, 0.0, 1.0);
  vec2 across = vec2(a_across.x, -a_across.y); vec2 along = vec2(-across.y, across.x);
  vec2 px = across * end * u_sizePx.x / 2.0 + along * side * u_sizePx.y / 2.0;
  at.xy += px / u_halfPx * at.w;
  gl_Position = a_sinceS > u_time.y ? vec4(2.0, 2.0, 2.0, 1.0) : at;
}`;

export const TICK_FRAGMENT = `#version 300 es
precision mediump float;
uniform vec4 u_color; out vec4 color;
void main() { color = vec4(u_color.rgb * u_color.a, u_color.a); }`;
