/** One chain of the latent count model: its state, and the draws of a sweep. */
import { backwardSolve, factorise, forwardSolve } from '../cholesky.ts';
import type { RandomStream } from '../random.ts';
import { countTerm, fieldTerm } from './count-likelihood.ts';
import type { PlaceGeometry } from './place-geometry.ts';
import { placeGeometry, rowTimes, timesFactor } from './place-geometry.ts';
import type { ModelPlaces } from './places.ts';
import { drawPolyaGamma } from './polya-gamma.ts';
import * as priors from './priors.ts';

/** What B = I + sΩ^½RΩ^½ gives for one range and s: its factor, and μ's conditional mean Q/P and precision P. */
export interface Marginal {
  readonly factor: Float64Array;
  /** log p(y | ω, s, R) up to a constant in s and R; μ and the field integrated out. */
  logDensity: number;
  muWeight: number;
  muPrecision: number;
}

const SILL_STEP = 0.5;
const FAR_JUMP = 0.15;
const CHEAP_MOVES = 6;
const COUNT_PLUS = 0.3;
const MU_PRECISION = 1 / (priors.MU_SD * priors.MU_SD);

/**
 * The state of one chain; each method is one of the draws of methods-spatial §7 step 5. The field at place i is
 * η_i = μ + √s·u_i.
 */
export class LatentSweep {
  readonly u: Float64Array;
  readonly omega: Float64Array;
  /** The Gaussian data that stand for the counts, given ω. */
  readonly y: Float64Array;
  readonly logEffort: Float64Array;
  readonly muCenter: number;
  mu: number;
  logSill: number = priors.LOG_SILL.mean;
  logK: number = priors.LOG_K.mean;
  /** A `correlationIndex`. */
  rangeIndex: number = priors.START_RANGE;

  private readonly n: number;
  private readonly rootOmega: Float64Array;
  private readonly scaled: Float64Array;
  private readonly ones: Float64Array;
  private readonly free: Float64Array;
  private current: Marginal;
  private proposal: Marginal;

  /**
   * @param geometry of a correlation; a chain lends one that keeps what it worked out
   * @param correlations how many there are: ranges, or ranges × ratios
   */
  constructor(
    readonly places: ModelPlaces,
    readonly geometry: (rangeIndex: number) => PlaceGeometry = (i) => placeGeometry(places, priors.RANGES_M[i]!),
    private readonly correlations = priors.RANGES_M.length,
  ) {
    const { count, effortM2 } = places;
    const n = (this.n = count.length);
    this.muCenter = this.mu = priors.priorMu(count, effortM2);
    this.logEffort = effortM2.map(Math.log);
    const rootSill = Math.exp(this.logSill / 2);
    this.u = Float64Array.from(
      { length: n },
      (_, i) => (Math.log((count[i]! + COUNT_PLUS) / (effortM2[i]! + COUNT_PLUS)) - this.mu) / rootSill,
    );
    const numbers = (): Float64Array => new Float64Array(n);
    [this.omega, this.y, this.rootOmega, this.scaled, this.ones, this.free] = [
      numbers(),
      numbers(),
      numbers(),
      numbers(),
      numbers(),
      numbers(),
    ];
    const marginal = (): Marginal => ({ factor: new Float64Array(n * n), logDensity: 0, muWeight: 0, muPrecision: 1 });
    [this.current, this.proposal] = [marginal(), marginal()];
  }

  sweep(random: RandomStream): void {
    this.drawOmega(random);
    this.moveCovariance(random);
    this.mu = this.drawMu(random);
    this.drawField(random);
    this.cheapMoves(random);
  }

  /** (a) ω_i ~ PG(c_i + κ_i, ψ_i), κ_i = kφ_i, ψ_i = η_i + log(e_i/κ_i). */
  drawOmega(random: RandomStream): void {
    const { count, kFactor } = this.places;
    const k = Math.exp(this.logK);
    const rootSill = Math.exp(this.logSill / 2);
    for (let i = 0; i < this.n; i++) {
      const kappa = k * kFactor[i]!;
      const psi = this.mu + rootSill * this.u[i]! + this.logEffort[i]! - Math.log(kappa);
      this.omega[i] = drawPolyaGamma(random, count[i]! + kappa, psi);
    }
    this.takeOmega();
  }

  /** The Gaussian data of ω: y_i = (c_i − κ_i)/(2ω_i) − log(e_i/κ_i). */
  takeOmega(): void {
    const { count, kFactor } = this.places;
    const k = Math.exp(this.logK);
    for (let i = 0; i < this.n; i++) {
      const kappa = k * kFactor[i]!;
      this.rootOmega[i] = Math.sqrt(this.omega[i]!);
      this.y[i] = (count[i]! - kappa) / (2 * this.omega[i]!) - this.logEffort[i]! + Math.log(kappa);
    }
  }

  /** (b) A step of s and R on the density of y with the field and μ integrated out. */
  moveCovariance(random: RandomStream): void {
    this.marginal(this.rangeIndex, this.logSill, this.current);
    const far = random.uniform() < FAR_JUMP;
    const jump = far ? (random.uniform() < 0.5 ? -2 : 2) : random.integer(3) - 1;
    const range = priors.rangeOf(this.rangeIndex) + jump;
    const logSill = this.logSill + SILL_STEP * random.normal();
    const ratios = this.correlations / priors.RANGES_M.length;
    const ratio = priors.ratioOf(this.rangeIndex) + (ratios > 1 ? random.integer(3) - 1 : 0);
    if (range < 0 || range >= priors.RANGES_M.length || ratio < 0 || ratio >= ratios) return;
    const rangeIndex = priors.correlationIndex(range, ratio);
    this.marginal(rangeIndex, logSill, this.proposal);
    const gain =
      this.proposal.logDensity +
      priors.logPriorCorrelation(rangeIndex) +
      priors.logPriorSill(logSill) -
      (this.current.logDensity + priors.logPriorCorrelation(this.rangeIndex) + priors.logPriorSill(this.logSill));
    if (Math.log(random.uniform()) >= gain) return;
    [this.current, this.proposal] = [this.proposal, this.current];
    this.rangeIndex = rangeIndex;
    this.logSill = logSill;
  }

  /** ℓ of step (b), without the priors of s and R. @cost n³/6 */
  marginal(rangeIndex: number, logSill: number, into: Marginal = this.current): Marginal {
    const { n, rootOmega, scaled, ones, y } = this;
    const { correlation } = this.geometry(rangeIndex);
    const sill = Math.exp(logSill);
    const { factor } = into;
    for (let i = 0; i < n; i++) {
      const row = i * n;
      const scale = sill * rootOmega[i]!;
      for (let j = 0; j <= i; j++) factor[row + j] = scale * rootOmega[j]! * correlation[row + j]!;
      factor[row + i]! += 1;
      scaled[i] = rootOmega[i]! * y[i]!;
      ones[i] = rootOmega[i]!;
    }
    if (!factorise(factor, n, n)) throw new Error(`LatentSweep: no factor at s = ${sill}, range ${rangeIndex}`);
    forwardSolve(factor, n, n, scaled);
    forwardSolve(factor, n, n, ones);
    let [logFactor, pp, op, oo] = [0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      logFactor -= Math.log(factor[i * n + i]!);
      pp += scaled[i]! * scaled[i]!;
      op += scaled[i]! * ones[i]!;
      oo += ones[i]! * ones[i]!;
    }
    const center = this.muCenter;
    const precision = (into.muPrecision = oo + MU_PRECISION);
    const weight = (into.muWeight = op + center * MU_PRECISION);
    into.logDensity =
      -logFactor -
      0.5 * (pp + center * center * MU_PRECISION - (weight * weight) / precision) -
      0.5 * Math.log(precision);
    return into;
  }

  /** (c) μ given ω, s and R: N(Q/P, 1/P). */
  drawMu(random: RandomStream): number {
    return this.current.muWeight / this.current.muPrecision + random.normal() / Math.sqrt(this.current.muPrecision);
  }

  /** (c) The field given the rest: a free draw, moved by what the data say of it. `marginal` must have run for s and R. @cost 2.5 n² */
  drawField(random: RandomStream): void {
    const { n, free, rootOmega, scaled, ones, u } = this;
    const { factor, correlation } = this.geometry(this.rangeIndex);
    const rootSill = Math.exp(this.logSill / 2);
    for (let i = 0; i < n; i++) ones[i] = random.normal();
    timesFactor(factor, n, ones, free);
    for (let i = 0; i < n; i++)
      scaled[i] = rootOmega[i]! * (this.y[i]! - this.mu - rootSill * free[i]!) - random.normal();
    forwardSolve(this.current.factor, n, n, scaled);
    backwardSolve(this.current.factor, n, n, scaled);
    for (let i = 0; i < n; i++) scaled[i]! *= rootOmega[i]!;
    for (let i = 0; i < n; i++) u[i] = free[i]! + rootSill * rowTimes(correlation, i, n, scaled);
  }

  /** (d) Steps of k, s and μ with u held, on the counts themselves. */
  cheapMoves(random: RandomStream): void {
    const { places, logEffort, u, muCenter } = this;
    let ofCounts = countTerm(places, Math.exp(this.logK));
    const target = (mu: number, logSill: number, logK: number, counts: number): number =>
      counts +
      fieldTerm(places, logEffort, u, mu, Math.exp(logSill / 2), logK) +
      priors.logPriorMu(mu, muCenter) +
      priors.logPriorSill(logSill) +
      priors.logPriorK(logK);
    let now = target(this.mu, this.logSill, this.logK, ofCounts);
    for (let move = 0; move < CHEAP_MOVES; move++) {
      const step = move % 2 === 0 ? 0.6 : 0.25;
      const kind = move % 3;
      const logK = kind < 2 ? this.logK + step * random.normal() : this.logK;
      const logSill = kind === 0 ? this.logSill : this.logSill + (kind === 1 ? step : step / 2) * random.normal();
      const mu = kind === 0 ? this.mu : this.mu + step * random.normal();
      const counts = kind < 2 ? countTerm(places, Math.exp(logK)) : ofCounts;
      const then = target(mu, logSill, logK, counts);
      if (Math.log(random.uniform()) >= then - now) continue;
      [now, ofCounts] = [then, counts];
      [this.mu, this.logSill, this.logK] = [mu, logSill, logK];
    }
  }
}
