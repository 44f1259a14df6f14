/** A WebGL 2 program with its places looked up once. */
export interface GlProgram {
  readonly program: WebGLProgram;
  attribute(name: string): number;
  uniform(name: string): WebGLUniformLocation | null;
}

/** @throws Error with the compiler's own words */
export function glProgram(gl: WebGL2RenderingContext, vertex: string, fragment: string): GlProgram {
  const program = gl.createProgram();
  const shaders = [shader(gl, gl.VERTEX_SHADER, vertex), shader(gl, gl.FRAGMENT_SHADER, fragment)];
  for (const one of shaders) gl.attachShader(program, one);
  gl.linkProgram(program);
  for (const one of shaders) gl.deleteShader(one);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost()) {
    throw new Error(`glProgram: ${gl.getProgramInfoLog(program) ?? 'not linked'}`);
  }
  const uniforms = new Map<string, WebGLUniformLocation | null>();
  return {
    program,
    attribute: (name) => gl.getAttribLocation(program, name),
    uniform(name) {
      if (!uniforms.has(name)) uniforms.set(name, gl.getUniformLocation(program, name));
      return uniforms.get(name) ?? null;
    },
  };
}

function shader(gl: WebGL2RenderingContext, kind: number, source: string): WebGLShader {
  const made = gl.createShader(kind)!;
  gl.shaderSource(made, source);
  gl.compileShader(made);
  if (!gl.getShaderParameter(made, gl.COMPILE_STATUS) && !gl.isContextLost()) {
    throw new Error(`glProgram: ${gl.getShaderInfoLog(made) ?? 'not compiled'}`);
  }
  return made;
}
