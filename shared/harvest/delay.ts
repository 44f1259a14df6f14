/**
 * The grain-flow delay of a log: flow measured at t belongs to the ground cut at t − δ. Found by agreement of neighbours:
 * adjacent opposite passes see the error twice, so their yields agree best where the flow is put back by the right δ.
 * @source methods-season §1.2; default and range after B01 (8 to 14 s over three combines); tests/reference/harvest-path (delay)
 */
import { type Feet, FEWEST_FEET, neighbourFeet, type PassPlaces } from './pass-feet.ts';

/** Where nothing can be decided. @source methods-season §1.2 */
export const DEFAULT_DELAY_S = 12;
/** @source methods-season §1.2 */
const USUAL_RANGE_S = { low: 8, high: 20 } as const;
const LONGEST_S = 25;
/** @source methods-season §1.2, *assumed* */
const LEAST_AGREEMENT = 0.3;
const LEAST_LEAD = 0.15;

export interface DelayLog extends PassPlaces {
  readonly timeS: Float64Array;
  readonly speedMS: ArrayLike<number>;
  readonly flowKgS: ArrayLike<number>;
  /** 1 where a gap lies before the point: flow is not known across it. */
  readonly breakBefore: Uint8Array;
}

export interface Delay {
  readonly valueS: number;
  /** 90 %; of the usual delay the range that it has over machines; null where a person gave it, or few pairs tell it. */
  readonly rangeS: { readonly low: number; readonly high: number } | null;
  readonly decided: boolean;
  /** Largest agreement; null where there was nothing to compare. */
  readonly correlation: number | null;
  readonly why: string;
  /** Agreement at each candidate. */
  readonly agreement: readonly number[];
  readonly candidatesS: readonly number[];
  readonly pairs: number;
}

/**
 * Flow at a time, linear between records from the whole time series, so that grain that arrives after header-up is kept;
 * NaN past a gap or the end of the log.
 * @param out one element a point: flow at timeS + delayS
 * @cost O(n)
 */
export function shiftFlow(
  { timeS, flowKgS, breakBefore }: Pick<DelayLog, 'timeS' | 'flowKgS' | 'breakBefore'>,
  delayS: number,
  out: Float64Array,
): Float64Array {
  const count = timeS.length;
  let j = 0;
  let stretchEnd = 0;
  for (let k = 0; k < count; k++) {
    if (k >= stretchEnd) {
      stretchEnd = k + 1;
      while (stretchEnd < count && breakBefore[stretchEnd] === 0) stretchEnd++;
      j = k;
    }
    const t = timeS[k]! + delayS;
    while (j + 1 < stretchEnd && timeS[j + 1]! <= t) j++;
    if (timeS[j] === t) out[k] = flowKgS[j]!;
    else if (j + 1 < stretchEnd) {
      const share = (t - timeS[j]!) / (timeS[j + 1]! - timeS[j]!);
      out[k] = flowKgS[j]! + share * (flowKgS[j + 1]! - flowKgS[j]!);
    } else out[k] = NaN;
  }
  return out;
}

/**
 * The delay by agreement of neighbours. Candidates step by the record interval (at half steps interpolation averages the
 * noise away and the peak locks on to half records); the best is refined by the parabola through three. Decided only
 * where the best agreement is at least 0.3 and leads the median candidate by 0.15; else the default is kept, and said.
 * @param intervalS the log's median step, s
 * @cost O(points of ≤ 40 pairs × candidates)
 */
export function estimateDelay(log: DelayLog, intervalS: number): Delay {
  const pairs = neighbourFeet(log);
  const candidatesS: number[] = [];
  for (let i = 0; i * intervalS <= LONGEST_S + 1e-9; i++) candidatesS.push(i * intervalS);
  const keep = (why: string, agreement: number[] = [], correlation: number | null = null): Delay => ({
    valueS: DEFAULT_DELAY_S,
    rangeS: USUAL_RANGE_S,
    decided: false,
    correlation,
    why: `${why}: the usual ${DEFAULT_DELAY_S} s is kept (${USUAL_RANGE_S.low} to ${USUAL_RANGE_S.high} s over machines)`,
    agreement,
    candidatesS,
    pairs: pairs.length,
  });
  if (pairs.length === 0) return keep('no two neighboring passes run in opposite directions');

  const shifted = new Float64Array(log.timeS.length);
  const sums = candidatesS.map((delayS) => sumsAt(log, pairs, shiftFlow(log, delayS, shifted)));
  const totals = sums.map((each) => each.reduce((sum, one) => added(sum, one, 1), NO_SUMS));
  const agreement = totals.map(agreementOf);
  const best = bestOf(agreement);
  if (best < 0) return keep('the flow of neighboring passes cannot be compared', agreement);
  const correlation = agreement[best]!;
  const ranked = agreement.filter((rho) => rho === rho).sort((p, q) => p - q);
  const middle = ranked.length / 2;
  const median = (ranked[Math.ceil(middle) - 1]! + ranked[Math.floor(middle)]!) / 2;
  if (correlation < LEAST_AGREEMENT || correlation - median < LEAST_LEAD) {
    return keep(
      `neighboring passes agree best with ${correlation.toFixed(2)} at ${candidatesS[best]!.toFixed(0)} s (other delays ${median.toFixed(2)}), too little to tell`,
      agreement,
      correlation,
    );
  }
  const valueS = refined(agreement, candidatesS, best);
  const errorS = jackknifeErrorS(sums, totals, candidatesS);
  const rangeS = errorS === null ? null : rangeAbout(valueS, errorS);
  const range = rangeS ? `, 90% range ${rangeS.low.toFixed(1)} to ${rangeS.high.toFixed(1)} s` : '';
  return {
    valueS,
    rangeS,
    decided: true,
    correlation,
    why: `${pairs.length} pairs of neighboring passes agree best (${correlation.toFixed(2)}) with the flow put back by ${valueS.toFixed(1)} s${range}`,
    agreement,
    candidatesS,
    pairs: pairs.length,
  };
}

function rangeAbout(valueS: number, errorS: number): Delay['rangeS'] {
  return { low: Math.max(0, valueS - RANGE_Z * errorS), high: valueS + RANGE_Z * errorS };
}

/** As a person gives it, in place of what the log says. */
export function givenDelay(valueS: number, found: Delay): Delay {
  const beside = found.decided ? `; the log itself says ${found.valueS.toFixed(1)} s` : '';
  return { ...found, valueS, rangeS: null, decided: true, why: `given by a person${beside}` };
}

/** Of the feet of one pair, or of several: deviations of both sides from the means over all. */
interface Sums {
  readonly n: number;
  readonly a: number;
  readonly b: number;
  readonly aa: number;
  readonly bb: number;
  readonly ab: number;
}

const NO_SUMS: Sums = { n: 0, a: 0, b: 0, aa: 0, bb: 0, ab: 0 };

/** Of each pair, one after the other. */
function sumsAt({ speedMS, widthM }: DelayLog, pairs: readonly Feet[], flow: Float64Array): Sums[] {
  const yieldAt = (k: number) => (flow[k]! / (speedMS[k]! * widthM[k]!)) * 1e4;
  // Two sweeps: means first, since yields are large against their spread.
  let [n, sumA, sumB] = [0, 0, 0];
  const left: number[] = [];
  const right: number[] = [];
  const ends = pairs.map(({ a, b, share }) => {
    for (let i = 0; i < a.length; i++) {
      const from = yieldAt(b[i]!);
      const va = yieldAt(a[i]!);
      const vb = share[i] === 0 ? from : from + share[i]! * (yieldAt(b[i]! + 1) - from);
      if (!Number.isFinite(va) || !Number.isFinite(vb)) continue;
      left.push(va);
      right.push(vb);
      sumA += va;
      sumB += vb;
      n++;
    }
    return n;
  });
  return ends.map((end, pair) => {
    const from = ends[pair - 1] ?? 0;
    let [a, b, aa, bb, ab] = [0, 0, 0, 0, 0];
    for (let i = from; i < end; i++) {
      const da = left[i]! - sumA / n;
      const db = right[i]! - sumB / n;
      a += da;
      b += db;
      aa += da * da;
      bb += db * db;
      ab += da * db;
    }
    return { n: end - from, a, b, aa, bb, ab };
  });
}

/** Pearson correlation of the yields of several pairs, all feet pooled; NaN of few feet. */
function agreementOf({ n, a, b, aa, bb, ab }: Sums): number {
  if (n < FEWEST_FEET) return NaN;
  const [va, vb] = [aa - (a * a) / n, bb - (b * b) / n];
  return va > 0 && vb > 0 ? (ab - (a * b) / n) / Math.sqrt(va * vb) : NaN;
}

function added(one: Sums, other: Sums, sign: 1 | -1): Sums {
  return {
    n: one.n + sign * other.n,
    a: one.a + sign * other.a,
    b: one.b + sign * other.b,
    aa: one.aa + sign * other.aa,
    bb: one.bb + sign * other.bb,
    ab: one.ab + sign * other.ab,
  };
}

/** The candidate of the best agreement; −1 where none has any. */
function bestOf(agreement: readonly number[]): number {
  let best = -1;
  agreement.forEach((rho, i) => {
    if (rho === rho && (best < 0 || rho > agreement[best]!)) best = i;
  });
  return best;
}

/** Between the candidates, by the parabola through the best and its neighbors. */
function refined(agreement: readonly number[], candidatesS: readonly number[], best: number): number {
  const valueS = candidatesS[best]!;
  if (best === 0 || best === agreement.length - 1) return valueS;
  const [p, q, r] = [agreement[best - 1]!, agreement[best]!, agreement[best + 1]!];
  const bend = p - 2 * q + r;
  return bend < 0 ? valueS + ((0.5 * (p - r)) / bend) * (candidatesS[best + 1]! - valueS) : valueS;
}

/** Of the 90 % range, standard errors to each side. */
const RANGE_Z = 1.645;

/**
 * Standard error of the delay: one pair after the other left out (delete-one jackknife), and the step of the candidates, within which
 * nothing is told (a uniform error).
 * @returns null below 3 pairs @source the jackknife is a handbook method (Efron and Tibshirani 1993, from memory); its use here is ours
 */
function jackknifeErrorS(
  sums: readonly (readonly Sums[])[],
  totals: readonly Sums[],
  candidatesS: readonly number[],
): number | null {
  const pairs = sums[0]!.length;
  if (pairs < 3) return null;
  const without = Array.from({ length: pairs }, (_, pair) => {
    const agreement = totals.map((total, i) => agreementOf(added(total, sums[i]![pair]!, -1)));
    const best = bestOf(agreement);
    return best < 0 ? NaN : refined(agreement, candidatesS, best);
  }).filter((delayS) => delayS === delayS);
  const mean = without.reduce((sum, one) => sum + one, 0) / without.length;
  const squares = without.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  const stepS = candidatesS[1]! - candidatesS[0]!;
  return Math.sqrt(((without.length - 1) / without.length) * squares + stepS ** 2 / 12);
}
