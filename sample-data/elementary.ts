/**
 * Sine, cosine, exponential, logarithm and their kin from + − × ÷ and square root alone, which IEEE 754 rounds the same
 * everywhere. The language leaves the last bit of Math.sin and its kin to the engine; bytes made with these are equal everywhere.
 * Good to a few units in the last place for the arguments met here, which a test holds against the host's own.
 */

export const PI = 3.141592653589793;
const HALF_PI_HIGH = 1.5707963267341256;
const HALF_PI_LOW = 6.077100506506192e-11;
const LN2_HIGH = 0.6931471803691238;
const LN2_LOW = 1.9082149292705877e-10;

function sineSeries(x: number): number {
  const z = x * x;
  let sum = 0;
  for (let k = 8; k >= 1; k--) sum = (-z / (2 * k * (2 * k + 1))) * (1 + sum);
  return x + x * sum;
}

function cosineSeries(x: number): number {
  const z = x * x;
  let sum = 0;
  for (let k = 8; k >= 1; k--) sum = (-z / ((2 * k - 1) * (2 * k))) * (1 + sum);
  return 1 + sum;
}

/** Sine of an angle in radians; |x| below 1e6. */
export function sin(x: number): number {
  const quarters = Math.floor(x / 1.5707963267948966 + 0.5);
  const rest = x - quarters * HALF_PI_HIGH - quarters * HALF_PI_LOW;
  const turn = quarters - 4 * Math.floor(quarters / 4);
  if (turn === 0) return sineSeries(rest);
  if (turn === 1) return cosineSeries(rest);
  return turn === 2 ? -sineSeries(rest) : -cosineSeries(rest);
}

/** Cosine of an angle in radians; |x| below 1e6. */
export function cos(x: number): number {
  const quarters = Math.floor(x / 1.5707963267948966 + 0.5);
  const rest = x - quarters * HALF_PI_HIGH - quarters * HALF_PI_LOW;
  const turn = quarters - 4 * Math.floor(quarters / 4);
  if (turn === 0) return cosineSeries(rest);
  if (turn === 1) return -sineSeries(rest);
  return turn === 2 ? -cosineSeries(rest) : sineSeries(rest);
}

/** e to the power x; |x| below 700. */
export function exp(x: number): number {
  let doublings = Math.floor(x / 0.6931471805599453 + 0.5);
  const rest = x - doublings * LN2_HIGH - doublings * LN2_LOW;
  let sum = 1;
  for (let k = 14; k >= 1; k--) sum = 1 + (rest / k) * sum;
  for (; doublings > 0; doublings--) sum *= 2;
  for (; doublings < 0; doublings++) sum *= 0.5;
  return sum;
}

/** Natural logarithm. @throws On x ≤ 0 or an infinite x, which no caller here has. */
export function log(x: number): number {
  if (!(x > 0) || x === Infinity) throw new Error(`log: needs a positive number, got ${x}`);
  let mantissa = x;
  let doublings = 0;
  for (; mantissa > 1.4142135623730951; doublings++) mantissa *= 0.5;
  for (; mantissa < 0.7071067811865476; doublings--) mantissa *= 2;
  const s = (mantissa - 1) / (mantissa + 1);
  const z = s * s;
  let sum = 0;
  for (let k = 12; k >= 1; k--) sum = z * (1 / (2 * k + 1) + sum);
  return doublings * LN2_HIGH + (2 * s + 2 * s * sum + doublings * LN2_LOW);
}

/** Arc tangent, radians in −π/2…π/2. */
export function atan(x: number): number {
  if (x < 0) return -atan(-x);
  if (x > 1) return 1.5707963267948966 - atan(1 / x);
  const once = x / (1 + Math.sqrt(1 + x * x));
  const twice = once / (1 + Math.sqrt(1 + once * once));
  const z = twice * twice;
  let sum = 0;
  for (let k = 12; k >= 1; k--) sum = -z * (1 / (2 * k + 1) + sum);
  return 4 * (twice + twice * sum);
}

/** Angle of (x, y) from the x axis toward y, radians in −π…π; 0 at the origin. */
export function atan2(y: number, x: number): number {
  if (x > 0) return atan(y / x);
  if (x < 0) return y < 0 ? atan(y / x) - PI : atan(y / x) + PI;
  if (y === 0) return 0;
  return y > 0 ? PI / 2 : -PI / 2;
}

/** Arc cosine of −1…1. */
export function acos(x: number): number {
  return atan2(Math.sqrt((1 - x) * (1 + x)), x);
}

/** Hyperbolic sine; by its series near 0, where the exponentials would cancel. */
export function sinh(x: number): number {
  if (x > 0.5 || x < -0.5) return (exp(x) - exp(-x)) / 2;
  const z = x * x;
  let sum = 0;
  for (let k = 8; k >= 1; k--) sum = (z / (2 * k * (2 * k + 1))) * (1 + sum);
  return x + x * sum;
}

export function cosh(x: number): number {
  return (exp(x) + exp(-x)) / 2;
}

/** Area tangent of −1…1, by its series near 0. */
export function atanh(x: number): number {
  if (x > 0.25 || x < -0.25) return log((1 + x) / (1 - x)) / 2;
  const z = x * x;
  let sum = 0;
  for (let k = 14; k >= 1; k--) sum = z * (1 / (2 * k + 1) + sum);
  return x + x * sum;
}

/** Area sine of −1…1, through the area tangent, which keeps small arguments exact. */
export function asinh(x: number): number {
  return atanh(x / Math.sqrt(1 + x * x));
}
