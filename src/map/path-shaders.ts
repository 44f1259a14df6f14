/** Shaders of the machine's way: every segment is a thin box of four corners, as wide as is asked for. */

/** Box about the segment from one point to the next; nothing where they do not belong together, or lie outside of the time shown. */
export const SEGMENT_VERTEX = `#version 300 es
in vec2 a_from; in float a_fromS; in float a_fromPass; in float a_fromStretch;
in vec2 a_to; in float a_toS; in float a_toPass; in float a_toStretch;
uniform mat4 u_matrix; uniform vec2 u_halfPx; uniform float u_widthPx;
uniform vec2 u_time; uniform float u_freshS;
out float v_across; out float v_sinceS; out float v_cut;
void main() {
  bool cut = a_fromPass >= 0.0 && a_fromPass == a_toPass;
  bool hidden = a_fromStretch != a_toStretch || a_fromS > u_time.y || a_toS < u_time.x || (u_freshS > 0.0 && !cut);
  float end = float(gl_VertexID / 2); float side = float(gl_VertexID % 2) * 2.0 - 1.0;
  vec4 from = u_matrix * vec4(a_from, 0.0, 1.0); vec4 to = u_matrix * vec4(a_to, 0.0, 1.0);
  vec2 along = to.xy / to.w * u_halfPx - from.xy / from.w * u_halfPx;
  float lengthPx = length(along);
  vec2 across = lengthPx > 0.001 ? vec2(-along.y, along.x) / lengthPx : vec2(0.0, 1.0);
  float reachPx = u_widthPx / 2.0 + 0.5;
  vec4 at = end < 0.5 ? from : to;
  at.xy += side * across * reachPx / u_halfPx * at.w;
  gl_Position = hidden ? vec4(2.0, 2.0, 2.0, 1.0) : at;
  v_across = side * reachPx; v_sinceS = mix(a_fromS, a_toS, end); v_cut = cut ? 1.0 : 0.0;
}`;

/** Fainter where nothing is cut; broken where the way is assumed. Fresh deposit: u_freshS above 0, it fades with its age. */
export const SEGMENT_FRAGMENT = `#version 300 es
precision highp float;
in float v_across; in float v_sinceS; in float v_cut;
uniform vec4 u_color; uniform float u_widthPx; uniform float u_dashS; uniform float u_freshS; uniform vec2 u_time;
out vec4 color;
void main() {
  if (u_dashS > 0.0 && fract(v_sinceS / u_dashS) > 0.6) discard;
  float alpha = u_color.a * clamp(u_widthPx / 2.0 + 0.5 - abs(v_across), 0.0, 1.0) * mix(0.3, 1.0, v_cut);
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
