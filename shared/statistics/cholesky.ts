/**
 * Cholesky factor of a symmetric positive definite matrix, in place, row-major, lower triangle; the diagonal holds the
 * RECIPROCAL of the factor's diagonal, so that solving multiplies instead of dividing.
 */

/**
 * Factorises the leading n × n block of `a` (row length `stride`), reading the lower triangle only.
 * @returns false where the matrix is not positive definite; `a` is then spoiled
 * @cost n³/6
 */
export function factorise(a: Float64Array, n: number, stride: number): boolean {
  let i = 0;
  for (; i + 3 < n; i += 4) {
    const row = i * stride;
    for (let j = 0; j < i; j += 4) blockOfFour(a, row, j * stride, stride, j);
    if (!twoRows(a, i, i, stride) || !twoRows(a, i + 2, i, stride)) return false;
  }
  if (i + 1 < n) {
    if (!twoRows(a, i, 0, stride)) return false;
    i += 2;
  }
  return i === n || lastRow(a, n, stride);
}

/**
 * Four rows by four columns from column j on: sixteen sums side by side, each number read once for four of them. Terms
 * are taken in the order of k, so that blocks of any size give the same bits.
 */
function blockOfFour(a: Float64Array, row0: number, other0: number, stride: number, j: number): void {
  const [row1, row2, row3] = [row0 + stride, row0 + 2 * stride, row0 + 3 * stride];
  const [other1, other2, other3] = [other0 + stride, other0 + 2 * stride, other0 + 3 * stride];
  let a00 = a[row0 + j]!;
  let a01 = a[row0 + j + 1]!;
  let a02 = a[row0 + j + 2]!;
  let a03 = a[row0 + j + 3]!;
  let a10 = a[row1 + j]!;
  let a11 = a[row1 + j + 1]!;
  let a12 = a[row1 + j + 2]!;
  let a13 = a[row1 + j + 3]!;
  let a20 = a[row2 + j]!;
  let a21 = a[row2 + j + 1]!;
  let a22 = a[row2 + j + 2]!;
  let a23 = a[row2 + j + 3]!;
  let a30 = a[row3 + j]!;
  let a31 = a[row3 + j + 1]!;
  let a32 = a[row3 + j + 2]!;
  let a33 = a[row3 + j + 3]!;
  for (let k = 0; k < j; k++) {
    const y0 = a[other0 + k]!;
    const y1 = a[other1 + k]!;
    const y2 = a[other2 + k]!;
    const y3 = a[other3 + k]!;
    const x0 = a[row0 + k]!;
    a00 -= x0 * y0;
    a01 -= x0 * y1;
    a02 -= x0 * y2;
    a03 -= x0 * y3;
    const x1 = a[row1 + k]!;
    a10 -= x1 * y0;
    a11 -= x1 * y1;
    a12 -= x1 * y2;
    a13 -= x1 * y3;
    const x2 = a[row2 + k]!;
    a20 -= x2 * y0;
    a21 -= x2 * y1;
    a22 -= x2 * y2;
    a23 -= x2 * y3;
    const x3 = a[row3 + k]!;
    a30 -= x3 * y0;
    a31 -= x3 * y1;
    a32 -= x3 * y2;
    a33 -= x3 * y3;
  }
  const p0 = a[other0 + j]!;
  const l10 = a[other1 + j]!;
  const p1 = a[other1 + j + 1]!;
  const l20 = a[other2 + j]!;
  const l21 = a[other2 + j + 1]!;
  const p2 = a[other2 + j + 2]!;
  const l30 = a[other3 + j]!;
  const l31 = a[other3 + j + 1]!;
  const l32 = a[other3 + j + 2]!;
  const p3 = a[other3 + j + 3]!;
  a[row0 + j] = a00 *= p0;
  a[row1 + j] = a10 *= p0;
  a[row2 + j] = a20 *= p0;
  a[row3 + j] = a30 *= p0;
  a[row0 + j + 1] = a01 = (a01 - a00 * l10) * p1;
  a[row1 + j + 1] = a11 = (a11 - a10 * l10) * p1;
  a[row2 + j + 1] = a21 = (a21 - a20 * l10) * p1;
  a[row3 + j + 1] = a31 = (a31 - a30 * l10) * p1;
  a[row0 + j + 2] = a02 = (a02 - a00 * l20 - a01 * l21) * p2;
  a[row1 + j + 2] = a12 = (a12 - a10 * l20 - a11 * l21) * p2;
  a[row2 + j + 2] = a22 = (a22 - a20 * l20 - a21 * l21) * p2;
  a[row3 + j + 2] = a32 = (a32 - a30 * l20 - a31 * l21) * p2;
  a[row0 + j + 3] = (a03 - a00 * l30 - a01 * l31 - a02 * l32) * p3;
  a[row1 + j + 3] = (a13 - a10 * l30 - a11 * l31 - a12 * l32) * p3;
  a[row2 + j + 3] = (a23 - a20 * l30 - a21 * l31 - a22 * l32) * p3;
  a[row3 + j + 3] = (a33 - a30 * l30 - a31 * l31 - a32 * l32) * p3;
}

/** Rows i and i + 1 from column `from` to the diagonal, both even, in blocks of two columns. */
function twoRows(a: Float64Array, i: number, from: number, stride: number): boolean {
  const row = i * stride;
  const below = row + stride;
  for (let j = from; j < i; j += 2) {
    const other = j * stride;
    const beside = other + stride;
    let a00 = a[row + j]!;
    let a01 = a[row + j + 1]!;
    let a10 = a[below + j]!;
    let a11 = a[below + j + 1]!;
    for (let k = 0; k < j; k++) {
      const x0 = a[row + k]!;
      const x1 = a[below + k]!;
      const y0 = a[other + k]!;
      const y1 = a[beside + k]!;
      a00 -= x0 * y0;
      a01 -= x0 * y1;
      a10 -= x1 * y0;
      a11 -= x1 * y1;
    }
    const pivot = a[other + j]!;
    const between = a[beside + j]!;
    const next = a[beside + j + 1]!;
    a[row + j] = a00 *= pivot;
    a[below + j] = a10 *= pivot;
    a[row + j + 1] = (a01 - a00 * between) * next;
    a[below + j + 1] = (a11 - a10 * between) * next;
  }
  let upper = a[row + i]!;
  let corner = a[below + i]!;
  let lower = a[below + i + 1]!;
  for (let k = 0; k < i; k++) {
    const x = a[row + k]!;
    const y = a[below + k]!;
    upper -= x * x;
    corner -= x * y;
    lower -= y * y;
  }
  if (!(upper > 0)) return false;
  const pivot = (a[row + i] = 1 / Math.sqrt(upper));
  a[below + i] = corner *= pivot;
  lower -= corner * corner;
  if (!(lower > 0)) return false;
  a[below + i + 1] = 1 / Math.sqrt(lower);
  return true;
}

/** The row that is left of an odd number. */
function lastRow(a: Float64Array, n: number, stride: number): boolean {
  const row = (n - 1) * stride;
  let pivot = a[row + n - 1]!;
  for (let j = 0; j < n - 1; j++) {
    const other = j * stride;
    let sum = a[row + j]!;
    for (let k = 0; k < j; k++) sum -= a[row + k]! * a[other + k]!;
    sum *= a[other + j]!;
    a[row + j] = sum;
    pivot -= sum * sum;
  }
  if (!(pivot > 0)) return false;
  a[row + n - 1] = 1 / Math.sqrt(pivot);
  return true;
}

/** x ← L⁻¹x. @cost n²/2 */
export function forwardSolve(factor: Float64Array, n: number, stride: number, x: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const row = i * stride;
    // four sums side by side: one alone would wait for itself
    let a = x[i]!;
    let b = 0;
    let c = 0;
    let d = 0;
    let k = 0;
    for (const whole = i - 3; k < whole; k += 4) {
      a -= factor[row + k]! * x[k]!;
      b -= factor[row + k + 1]! * x[k + 1]!;
      c -= factor[row + k + 2]! * x[k + 2]!;
      d -= factor[row + k + 3]! * x[k + 3]!;
    }
    for (; k < i; k++) a -= factor[row + k]! * x[k]!;
    x[i] = (a + b + (c + d)) * factor[row + i]!;
  }
}

/**
 * X ← L⁻¹X for four right-hand sides side by side: element i of side c stands at 4i + c. Each side gets the same
 * numbers whatever the others are.
 * @cost 2n², reading the factor once
 */
export function forwardSolveFour(factor: Float64Array, n: number, stride: number, x: Float64Array): void {
  let i = 0;
  // Two rows at once: eight sums side by side, each number read once for both.
  for (; i + 1 < n; i += 2) {
    const row = i * stride;
    const below = row + stride;
    const at = 4 * i;
    let a = x[at]!;
    let b = x[at + 1]!;
    let c = x[at + 2]!;
    let d = x[at + 3]!;
    let e = x[at + 4]!;
    let f = x[at + 5]!;
    let g = x[at + 6]!;
    let h = x[at + 7]!;
    for (let k = 0, j = 0; k < i; k++, j += 4) {
      const upper = factor[row + k]!;
      const lower = factor[below + k]!;
      const x0 = x[j]!;
      const x1 = x[j + 1]!;
      const x2 = x[j + 2]!;
      const x3 = x[j + 3]!;
      a -= upper * x0;
      b -= upper * x1;
      c -= upper * x2;
      d -= upper * x3;
      e -= lower * x0;
      f -= lower * x1;
      g -= lower * x2;
      h -= lower * x3;
    }
    const pivot = factor[row + i]!;
    const beside = factor[below + i]!;
    const pivotBelow = factor[below + i + 1]!;
    x[at] = a *= pivot;
    x[at + 1] = b *= pivot;
    x[at + 2] = c *= pivot;
    x[at + 3] = d *= pivot;
    x[at + 4] = (e - beside * a) * pivotBelow;
    x[at + 5] = (f - beside * b) * pivotBelow;
    x[at + 6] = (g - beside * c) * pivotBelow;
    x[at + 7] = (h - beside * d) * pivotBelow;
  }
  for (; i < n; i++) {
    const row = i * stride;
    const at = 4 * i;
    let a = x[at]!;
    let b = x[at + 1]!;
    let c = x[at + 2]!;
    let d = x[at + 3]!;
    for (let k = 0, j = 0; k < i; k++, j += 4) {
      const f = factor[row + k]!;
      a -= f * x[j]!;
      b -= f * x[j + 1]!;
      c -= f * x[j + 2]!;
      d -= f * x[j + 3]!;
    }
    const pivot = factor[row + i]!;
    x[at] = a * pivot;
    x[at + 1] = b * pivot;
    x[at + 2] = c * pivot;
    x[at + 3] = d * pivot;
  }
}

/** x ← L⁻ᵀx. @cost n²/2 */
export function backwardSolve(factor: Float64Array, n: number, stride: number, x: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    const value = (x[i]! *= factor[i * stride + i]!);
    const row = i * stride;
    for (let k = 0; k < i; k++) x[k]! -= factor[row + k]! * value;
  }
}

/**
 * Diagonal of the inverse of the factorised matrix. Works on a copy of the triangle.
 * @returns n values @cost n³/6
 */
export function inverseDiagonal(factor: Float64Array, n: number): Float64Array {
  // rows of L⁻¹: row i = (e_i − Σ_k<i L_ik · row k) / L_ii; the inverse's diagonal sums the squares of its columns
  const inverse = new Float64Array(n * n);
  const diagonal = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const row = i * n;
    for (let k = 0; k < i; k++) {
      const weight = factor[row + k]!;
      const other = k * n;
      for (let j = 0; j <= k; j++) inverse[row + j]! -= weight * inverse[other + j]!;
    }
    const pivot = factor[row + i]!;
    for (let j = 0; j < i; j++) {
      const value = (inverse[row + j]! *= pivot);
      diagonal[j]! += value * value;
    }
    inverse[row + i] = pivot;
    diagonal[i]! += pivot * pivot;
  }
  return diagonal;
}
