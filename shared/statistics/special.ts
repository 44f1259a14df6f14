/**
 * Special functions of statistics: gamma and beta with their incomplete forms, the normal distribution, and quantiles.
 * Plain double precision; the reference cases hold each to R 4.2.2 (tests/reference/statistics).
 */

const HALF_LOG_TWO_PI = 0.918938533204672741780329736406;
/** Below this the Stirling series is not accurate enough: step up by the recurrence first. */
const STIRLING_FROM = 15;

/**
 * log Γ(x) by Stirling's series after stepping x up by the recurrence.
 * @param x above 0
 * @source Abramowitz & Stegun 6.1.41 (memory); tests/reference/statistics
 */
export function lgamma(x: number): number {
  if (!(x > 0)) throw new RangeError(`lgamma: expected a number above 0, got ${x}`);
  if (x === 1 || x === 2) return 0;
  let product = 1;
  let y = x;
  while (y < STIRLING_FROM) product *= y++;
  const r = 1 / (y * y);
  const series =
    (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - (r * 691) / 360360 + (r * r) / 156))))) /
    y;
  return (y - 0.5) * Math.log(y) - y + HALF_LOG_TWO_PI + series - Math.log(product);
}

/**
 * ψ(x), the derivative of log Γ, by its asymptotic series after the recurrence.
 * @param x above 0
 * @source Abramowitz & Stegun 6.3.18 (memory); tests/reference/statistics
 */
export function digamma(x: number): number {
  if (!(x > 0)) throw new RangeError(`digamma: expected a number above 0, got ${x}`);
  let shift = 0;
  let y = x;
  while (y < STIRLING_FROM) shift -= 1 / y++;
  const r = 1 / (y * y);
  const series = r * (1 / 12 - r * (1 / 120 - r * (1 / 252 - r * (1 / 240 - r * (1 / 132 - (r * 691) / 32760)))));
  return shift + Math.log(y) - 0.5 / y - series;
}

/** Φ(z): the share of a standard normal below z, to full relative accuracy in both tails. @source W. J. Cody 1969, Math. Comp. 23:631–637 (rational approximations; memory) */
export function normalCdf(z: number): number {
  const y = Math.abs(z);
  if (y <= 0.67448975) {
    const q = y > 1e-16 ? z * z : 0;
    const top =
      (((0.065682337918207449113 * q + 2.2352520354606839287) * q + 161.02823106855587881) * q +
        1067.6894854603709582) *
        q +
      18154.981253343561249;
    const below =
      (((q + 47.20258190468824187) * q + 976.09855173777669322) * q + 10260.932208618978205) * q +
      45507.789335026729956;
    return 0.5 + (z * top) / below;
  }
  let tail: number;
  if (y <= 5.656854249492380195) {
    const top =
      (((((((1.0765576773720192317e-8 * y + 0.39894151208813466764) * y + 8.8831497943883759412) * y +
        93.506656132177855979) *
        y +
        597.27027639480026226) *
        y +
        2494.5375852903726711) *
        y +
        6848.1904505362823326) *
        y +
        11602.651437647350124) *
        y +
      9842.7148383839780218;
    const below =
      (((((((y + 22.266688044328115691) * y + 235.38790178262499861) * y + 1519.377599407554805) * y +
        6485.558298266760755) *
        y +
        18615.571640885098091) *
        y +
        34900.952721145977266) *
        y +
        38912.003286093271411) *
        y +
      19685.429676859990727;
    tail = top / below;
  } else if (y < 40) {
    const r = 1 / (y * y);
    const top =
      ((((0.02307344176494017303 * r + 0.21589853405795699) * r + 0.1274011611602473639) * r + 0.022235277870649807) *
        r +
        0.001421619193227893466) *
        r +
      2.9112874951168792e-5;
    const below =
      ((((r + 1.28426009614491121) * r + 0.468238212480865118) * r + 0.0659881378689285515) * r +
        0.00378239633202758244) *
        r +
      7.29751555083966205e-5;
    tail = (0.398942280401432677939946 - (r * top) / below) / y;
  } else return z > 0 ? 1 : 0;
  // exp(−y²/2) in two factors, so that the rounding of y² does not eat the tail's digits
  const coarse = Math.trunc(y * 16) / 16;
  tail *= Math.exp(-coarse * coarse * 0.5) * Math.exp(-(y - coarse) * (y + coarse) * 0.5);
  return z > 0 ? 1 - tail : tail;
}

/** Φ⁻¹(p) for 0 < p < 1. @source M. J. Wichura 1988, algorithm AS 241 (PPND16), Applied Statistics 37:477–484 (memory) */
export function normalQuantile(p: number): number {
  if (p === 0) return -Infinity;
  if (p === 1) return Infinity;
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile: expected a share between 0 and 1, got ${p}`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    const top =
      ((((((r * 2509.0809287301226727 + 33430.575583588128105) * r + 67265.770927008700853) * r +
        45921.953931549871457) *
        r +
        13731.693765509461125) *
        r +
        1971.5909503065514427) *
        r +
        133.14166789178437745) *
        r +
      3.387132872796366608;
    const below =
      ((((((r * 5226.495278852854561 + 28729.085735721942674) * r + 39307.89580009271061) * r + 21213.794301586595867) *
        r +
        5394.1960214247511077) *
        r +
        687.1870074920579083) *
        r +
        42.313330701600911252) *
        r +
      1;
    return (q * top) / below;
  }
  let r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  let z: number;
  if (r <= 5) {
    r -= 1.6;
    const top =
      ((((((r * 7.7454501427834140764e-4 + 0.0227238449892691845833) * r + 0.24178072517745061177) * r +
        1.27045825245236838258) *
        r +
        3.64784832476320460504) *
        r +
        5.7694972214606914055) *
        r +
        4.6303378461565452959) *
        r +
      1.42343711074968357734;
    const below =
      ((((((r * 1.05075007164441684324e-9 + 5.475938084995344946e-4) * r + 0.0151986665636164571966) * r +
        0.14810397642748007459) *
        r +
        0.68976733498510000455) *
        r +
        1.6763848301838038494) *
        r +
        2.05319162663775882187) *
        r +
      1;
    z = top / below;
  } else {
    r -= 5;
    const top =
      ((((((r * 2.01033439929228813265e-7 + 2.71155556874348757815e-5) * r + 0.0012426609473880784386) * r +
        0.026532189526576123093) *
        r +
        0.29656057182850489123) *
        r +
        1.7848265399172913358) *
        r +
        5.4637849111641143699) *
        r +
      6.6579046435011037772;
    const below =
      ((((((r * 2.04426310338993978564e-15 + 1.4215117583164458887e-7) * r + 1.8463183175100546818e-5) * r +
        7.868691311456132591e-4) *
        r +
        0.0148753612908506148525) *
        r +
        0.13692988092273580531) *
        r +
        0.59983220655588793769) *
        r +
      1;
    z = top / below;
  }
  return q < 0 ? -z : z;
}

const TINY = 1e-300;

/** Regularised incomplete gamma function: lower P(a, x) and upper Q(a, x) = 1 − P, each accurate in its own tail. @param a above 0 @param x not below 0 */
export function incompleteGamma(a: number, x: number): { lower: number; upper: number } {
  if (!(a > 0) || !(x >= 0))
    throw new RangeError(`incompleteGamma: expected a above 0 and x not below 0, got ${a}, ${x}`);
  if (x === 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  const front = Math.exp(a * Math.log(x) - x - lgamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let i = 1; i < 100_000 && term > sum * 1e-17; i++) sum += term *= x / (a + i);
    const lower = Math.min(1, sum * front);
    return { lower, upper: 1 - lower };
  }
  // Lentz's continued fraction
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 100_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / (an * d + b || TINY);
    c = b + an / c || TINY;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  const upper = Math.min(1, front * h);
  return { lower: 1 - upper, upper };
}

/** Regularised incomplete beta function I_x(a, b): the share of a beta distribution below x. @param x 0–1 @cost O(√max(a, b)) */
export function betaCdf(x: number, a: number, b: number): number {
  if (!(a > 0 && b > 0)) throw new RangeError(`betaCdf: expected shapes above 0, got ${a}, ${b}`);
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  return betaShare(x, 1 - x, a, b);
}

/** I_x(a, b) with 1 − x given apart, so that a tiny complement keeps its digits. */
export function betaShare(x: number, complement: number, a: number, b: number): number {
  const front = Math.exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * Math.log(x) + b * Math.log(complement));
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(x, a, b)) / a
    : 1 - (front * betaFraction(complement, b, a)) / b;
}

/** Lentz's continued fraction of the incomplete beta function. */
function betaFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || TINY);
  let h = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || TINY);
    c = 1 + even / c || TINY;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || TINY);
    c = 1 + odd / c || TINY;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return h;
}

/** Quantile of a beta distribution. @param p 0–1 */
export function betaQuantile(p: number, a: number, b: number): number {
  if (p <= 0) return 0;
  if (p >= 1) return 1;
  return solveRising((x) => betaCdf(x, a, b) - p, 0, 1);
}

/** Quantile of a gamma distribution with scale 1. @param p 0–1 @param shape above 0 */
export function gammaQuantile(p: number, shape: number): number {
  if (p <= 0) return 0;
  if (p >= 1) return Infinity;
  const share = (x: number): number => {
    const { lower, upper } = incompleteGamma(shape, x);
    return p < 0.5 ? lower - p : 1 - p - upper;
  };
  let high = shape + 1;
  while (share(high) < 0) high *= 2;
  return solveRising(share, 0, high);
}

/** Quantile of the chi-square distribution with `df` degrees of freedom. */
export function chiSquareQuantile(p: number, df: number): number {
  return 2 * gammaQuantile(p, df / 2);
}

/** Quantile of the F distribution. */
export function fQuantile(p: number, df1: number, df2: number): number {
  const x = betaQuantile(1 - p, df2 / 2, df1 / 2); // the share left of F's reciprocal: exact where F is large
  return (df2 * (1 - x)) / (df1 * x);
}

/** Quantile of Student's t distribution. */
export function studentTQuantile(p: number, df: number): number {
  if (p === 0.5) return 0;
  const x = betaQuantile(2 * Math.min(p, 1 - p), df / 2, 0.5);
  const t = Math.sqrt((df * (1 - x)) / x);
  return p < 0.5 ? -t : t;
}

/** The root of a rising function between two ends, to the last bits, by the Illinois form of false position within bisection. */
function solveRising(f: (x: number) => number, from: number, to: number): number {
  let low = from;
  let high = to;
  let fLow = f(low);
  let fHigh = f(high);
  let side = 0;
  for (let i = 0; i < 400; i++) {
    const straight = (low * fHigh - high * fLow) / (fHigh - fLow);
    // every third step halves (in ratio, where the root may be many orders below the upper end)
    const middle = low > 0 ? Math.sqrt(low * high) : high * 1e-3;
    const x = i % 3 !== 2 && straight > low && straight < high ? straight : middle;
    const fx = f(x);
    if (fx === 0) return x;
    if (fx < 0) {
      low = x;
      fLow = fx;
      if (side === -1) fHigh /= 2;
      side = -1;
    } else {
      high = x;
      fHigh = fx;
      if (side === 1) fLow /= 2;
      side = 1;
    }
    if (high - low <= 2.3e-16 * high || high < 1e-300) break;
  }
  return Math.abs(f(low)) < Math.abs(f(high)) ? low : high;
}
