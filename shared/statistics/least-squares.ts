/** Small linear least squares by Householder reflections: the normal equations would lose half the digits. */

/**
 * min ‖A x − b‖² by QR; A and b are overwritten (A's upper triangle then holds R).
 * @param a column-major, rows × columns, rows ≥ columns
 * @param b length rows
 * @returns length columns; a column without length beside the ones before it gets 0
 * @source Golub & Van Loan, Matrix Computations, §5.3 (memory); tests/reference/curve-fitting
 * @cost O(rows · columns²)
 */
export function solveLeastSquares(a: Float64Array, rows: number, columns: number, b: Float64Array): Float64Array {
  if (rows < columns) throw new Error(`solveLeastSquares: ${rows} rows for ${columns} columns`);
  const isIdle = new Uint8Array(columns);
  for (let k = 0; k < columns; k++) {
    const base = k * rows;
    let norm = 0;
    for (let i = k; i < rows; i++) norm += a[base + i]! * a[base + i]!;
    norm = Math.sqrt(norm);
    if (norm === 0) {
      isIdle[k] = 1;
      continue;
    }
    const head = a[base + k]!;
    const alpha = head > 0 ? -norm : norm;
    const v0 = head - alpha;
    // v = (v0, a[k+1…]); H = I − 2vvᵀ/‖v‖², and ‖v‖² = −2·alpha·v0.
    const half = -alpha * v0;
    const reflect = (of: Float64Array, at: number) => {
      let sum = v0 * of[at + k]!;
      for (let i = k + 1; i < rows; i++) sum += a[base + i]! * of[at + i]!;
      const factor = sum / half;
      of[at + k]! -= factor * v0;
      for (let i = k + 1; i < rows; i++) of[at + i]! -= factor * a[base + i]!;
    };
    for (let j = k + 1; j < columns; j++) reflect(a, j * rows);
    reflect(b, 0);
    a[base + k] = alpha;
  }
  const x = new Float64Array(columns);
  for (let k = columns - 1; k >= 0; k--) {
    if (isIdle[k]) continue;
    let sum = b[k]!;
    for (let j = k + 1; j < columns; j++) sum -= a[j * rows + k]! * x[j]!;
    x[k] = sum / a[k * rows + k]!;
  }
  return x;
}

/**
 * Diagonal of (RᵀR)⁻¹ from the triangle that `solveLeastSquares` left in `a`.
 * @returns length columns; Infinity where the triangle is singular
 */
export function inverseDiagonalOfTriangle(a: Float64Array, rows: number, columns: number): Float64Array {
  const out = new Float64Array(columns);
  const row = new Float64Array(columns);
  for (let i = 0; i < columns; i++) {
    // Row i of R⁻¹, from the diagonal rightward.
    row.fill(0);
    for (let j = i; j < columns; j++) {
      let sum = i === j ? 1 : 0;
      for (let k = i; k < j; k++) sum -= row[k]! * a[j * rows + k]!;
      row[j] = sum / a[j * rows + j]!;
      out[i]! += row[j]! * row[j]!;
    }
    if (!Number.isFinite(out[i]!)) out[i] = Infinity;
  }
  return out;
}
