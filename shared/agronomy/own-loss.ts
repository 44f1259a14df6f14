/**
 * A field's own loss curve, judged: what its pairs of weed density and yield can tell of I and A, and whether the curve may stand in
 * for the literature's.
 * @source methods-spatial §14 (thresholds ours, *assumed*); tests/reference/curve-fitting
 */
import { moranTest, nearestNeighbourhood } from '../statistics/moran.ts';
import { quantile } from '../statistics/quantile.ts';
import {
  fitLoss,
  type FittedLoss,
  intervalOfLoss,
  intervalsOfCurve,
  type LossCurve,
  lossPercentAt,
  type OpenInterval,
  type Pairs,
  straightLine,
} from './own-loss-curve.ts';

/** The literature's curve with the weed's time of emergence, and the ends of its range. */
export interface LiteratureLoss {
  readonly low: Pick<LossCurve, 'I' | 'A'>;
  readonly central: Pick<LossCurve, 'I' | 'A'>;
  readonly high: Pick<LossCurve, 'I' | 'A'>;
}

export interface PlacedPairs extends Pairs {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
}

export interface Condition {
  readonly id: 'pairs' | 'above half loss' | 'slope held' | 'narrower' | 'bends';
  /** 'A kept': met in the other way that is allowed, with A of the literature. */
  readonly met: 'yes' | 'no' | 'A kept';
  readonly why: string;
}

export interface OwnLossFit {
  readonly curve: LossCurve;
  /** 'literature': the records do not show where the loss ends. */
  readonly ceilingFrom: 'records' | 'literature';
  /** Profile intervals that hold the value four times in five; A's of a fit with A free. Per cent. */
  readonly interval80: { readonly I: OpenInterval; readonly A: OpenInterval };
  /** Of the places where weeds stood. */
  readonly medianDensityPerM2: number;
  /** Foretold at that density, shares. */
  readonly lossFraction: number;
  readonly loss80: OpenInterval;
  /** Its central curve, and the share that its range foretells at that density. */
  readonly literature: {
    readonly curve: Pick<LossCurve, 'I' | 'A'>;
    readonly lossFraction: { readonly low: number; readonly central: number; readonly high: number };
  };
  readonly residualSumOfSquares: number;
  readonly aic: number;
  readonly line: { readonly intercept: number; readonly slope: number; readonly aic: number };
  readonly conditions: readonly Condition[];
  /** All conditions are met: the curve stands in for the literature's. */
  readonly used: boolean;
  /** Curves at the quartiles of the foretold loss, for the mild and the harsh case; null where one is open. */
  readonly quartiles: { readonly mild: LossCurve; readonly harsh: LossCurve } | null;
  /** What the records show, in a sentence. */
  readonly saying: string;
  /** What was found that makes the curve less sure than it looks. */
  readonly doubts: readonly string[];
}

/** Fewer pairs, or fewer places with weeds, are no picture. *Assumed*: three parameters and as many again. */
export const FEWEST_PAIRS = 6;
export const FEWEST_WITH_WEEDS = 3;
const FEWEST_DENSITIES = 3;
const PAIRS_FOR_USE = 20;
const ABOVE_HALF_FOR_USE = 6;
const AIC_AHEAD = 2;
const SHUFFLES = 199;

/** Why no curve can be fitted to these pairs; null where one can. */
export function whyNoCurve({ densityPerM2, yieldKgHa }: Pairs): string | null {
  const n = densityPerM2.length;
  if (n < FEWEST_PAIRS)
    return `${n === 0 ? 'no place' : `only ${n} ${n === 1 ? 'place' : 'places'}`} with both counts and a yield nearby; a curve needs ${FEWEST_PAIRS} at least`;
  const standing = densityPerM2.filter((one) => one > 0);
  if (standing.length === 0) return 'no weed stood at any of the places with a yield nearby: there was no loss to see';
  if (standing.length < FEWEST_WITH_WEEDS)
    return `weeds stood at ${standing.length} of the ${n} places with a yield nearby; a curve needs ${FEWEST_WITH_WEEDS} at least`;
  if (new Set(densityPerM2).size < FEWEST_DENSITIES)
    return 'weeds stood alike at all the places: a curve needs places with few and with many';
  if (yieldKgHa.every((one) => one === yieldKgHa[0]))
    return 'the yield is the same at every place: nothing can be told from it';
  return null;
}

/**
 * @param pairs as `whyNoCurve` lets them pass
 * @cost some 100 small fits: a few ms for 100 pairs
 */
export function judgeOwnLoss(pairs: PlacedPairs, literature: LiteratureLoss): OwnLossFit {
  const { densityPerM2, yieldKgHa } = pairs;
  const n = densityPerM2.length;
  const medianDensityPerM2 = quantile(
    densityPerM2.filter((one) => one > 0),
    0.5,
  );
  const free = fitLoss(pairs, literature.central, false);
  const half = free.curve.I > 0 ? free.curve.A / free.curve.I : Infinity;
  const aboveHalf = densityPerM2.filter((one) => one > half).length;
  const ofFree = intervalsOfCurve(pairs, free, null, 0.8);
  const keepsA = aboveHalf < ABOVE_HALF_FOR_USE;
  const keptA = keepsA ? literature.central.A : null;
  const fit = keepsA ? fitLoss(pairs, literature.central, true) : free;
  const I = keepsA ? intervalsOfCurve(pairs, fit, keptA, 0.8).I : ofFree.I;
  const of80 = intervalOfLoss(pairs, fit, keptA, medianDensityPerM2, 0.8);
  const of50 = intervalOfLoss(pairs, fit, keptA, medianDensityPerM2, 0.5);
  const straight = straightLine(densityPerM2, yieldKgHa);
  const aic = aicOf(fit.residualSumOfSquares, n, fit.parameters);
  const lineAic = aicOf(straight.residualSumOfSquares, n, 2);
  const at = (curve: Pick<LossCurve, 'I' | 'A'>) => lossPercentAt(curve, medianDensityPerM2) / 100;
  const range = { low: at(literature.low), central: at(literature.central), high: at(literature.high) };
  const loss80 = { low: share(of80.low), high: share(of80.high) };
  const conditions = [
    enoughPairs(n),
    enoughAboveHalf(aboveHalf, n),
    slopeHeld(I),
    narrower(loss80, range),
    bends(lineAic - aic),
  ];
  const lossFraction = at(fit.curve);
  return {
    curve: fit.curve,
    ceilingFrom: keepsA ? 'literature' : 'records',
    interval80: { I, A: ofFree.A },
    medianDensityPerM2,
    lossFraction,
    loss80,
    literature: { curve: literature.central, lossFraction: range },
    residualSumOfSquares: fit.residualSumOfSquares,
    aic,
    line: { intercept: straight.intercept, slope: straight.slope, aic: lineAic },
    conditions,
    used: conditions.every((one) => one.met !== 'no') && of50.atHigh !== null,
    quartiles: of50.atHigh === null ? null : { mild: of50.atLow ?? { ...fit.curve, I: 0 }, harsh: of50.atHigh },
    saying: sayingOf(fit.curve, loss80, I, keepsA ? 'literature' : ofFree.A.high === null ? 'open' : 'held'),
    doubts: doubtsOf(pairs, fit),
  };
}

/** As R tells it, with the variance counted as a parameter; the smaller the better. */
export function aicOf(residualSumOfSquares: number, n: number, parameters: number): number {
  return n * Math.log((2 * Math.PI * residualSumOfSquares) / n) + n + 2 * (parameters + 1);
}

function share(percent: number | null): number | null {
  return percent === null ? null : percent / 100;
}

function enoughPairs(n: number): Condition {
  const enough = n >= PAIRS_FOR_USE;
  return {
    id: 'pairs',
    met: enough ? 'yes' : 'no',
    why: `${n} places have counts and a yield nearby; ${PAIRS_FOR_USE} are ${enough ? 'enough' : 'needed'}.`,
  };
}

function enoughAboveHalf(above: number, n: number): Condition {
  const enough = above >= ABOVE_HALF_FOR_USE;
  const found = `${above} of ${n} places are so weedy that half of the largest loss is reached`;
  return {
    id: 'above half loss',
    met: enough ? 'yes' : 'A kept',
    why: enough
      ? `${found}; ${ABOVE_HALF_FOR_USE} are enough.`
      : `${found}, fewer than ${ABOVE_HALF_FOR_USE}: these records only show the slope I, and the largest loss A is kept from the literature.`,
  };
}

/** Beyond methods-spatial §14, ours: a step would charge its whole loss to ground with a trace of weeds. */
function slopeHeld({ high }: OpenInterval): Condition {
  return {
    id: 'slope held',
    met: high === null ? 'no' : 'yes',
    why: `How much the first weeds take has ${high === null ? 'no' : 'an'} upper end in these records.`,
  };
}

function narrower({ low, high }: OpenInterval, range: OwnLossFit['literature']['lossFraction']): Condition {
  const literature = `the literature’s is ${percent(range.low)} to ${percent(range.high)}`;
  if (low === null || high === null)
    return {
      id: 'narrower',
      met: 'no',
      why: `The loss at the usual density has no upper end in these records; ${literature}.`,
    };
  const isNarrower = high - low < range.high - range.low;
  return {
    id: 'narrower',
    met: isNarrower ? 'yes' : 'no',
    why: `The loss at the usual density is ${percent(low)} to ${percent(high)} by these records, ${isNarrower ? 'narrower than before' : 'no narrower'}: ${literature}.`,
  };
}

function bends(ahead: number): Condition {
  const does = ahead >= AIC_AHEAD;
  const by = Math.abs(ahead).toFixed(1);
  return {
    id: 'bends',
    met: does ? 'yes' : 'no',
    why: does
      ? `The curve fits better than a straight line (by ${by} of AIC; ${AIC_AHEAD} are enough).`
      : `A straight line fits ${ahead < 0 ? `better (by ${by} of AIC)` : `nearly as well (the curve is ahead by ${by} of AIC; ${AIC_AHEAD} are needed)`}.`,
  };
}

function sayingOf(
  curve: LossCurve,
  loss: OpenInterval,
  slope: OpenInterval,
  ceiling: 'literature' | 'open' | 'held',
): string {
  if (curve.I === 0) return 'These records show no loss: yield is no lower where more weeds stood.';
  if (loss.low === 0) return 'These records show a loss that may as well be chance.';
  if (slope.high === null)
    return 'These records show that weedy places yield less, not how a few weeds differ from many.';
  if (ceiling === 'literature')
    return 'These records only show the slope I: how much the first weeds take, not where the loss ends.';
  return ceiling === 'open'
    ? 'These records show how much the first weeds take; where the loss ends they hold from below alone.'
    : 'These records show both how much the first weeds take and where the loss ends.';
}

/** Chance that neighbors are this alike where order is chance, below which it is told. */
const ALIKE = 0.05;
const NEIGHBORS = 4;

function doubtsOf({ densityPerM2, yieldKgHa, xM, yM }: PlacedPairs, { curve }: FittedLoss): string[] {
  const n = densityPerM2.length;
  const off = Float64Array.from(
    yieldKgHa,
    (one, i) => one - curve.weedFreeKgHa * (1 - lossPercentAt(curve, densityPerM2[i]!) / 100),
  );
  const { highP } = moranTest(off, nearestNeighbourhood(xM, yM, Math.min(NEIGHBORS, n - 1)), SHUFFLES);
  return highP <= ALIKE
    ? [
        'Places near each other lie off the curve in the same way: something else than weeds, such as soil, moves the yield over the field, and the intervals are narrower than they should be.',
      ]
    : [];
}

function percent(fraction: number): string {
  return `${(100 * fraction).toFixed(1)}%`;
}

/** What makes weeds and yield go together without one taking from the other, and what blurs their pairs. */
export const CONFOUNDERS: readonly string[] = [
  'Weeds and low yield share causes: wet holes, poor soil, headlands, gaps in planting, spray damage. The curve takes all of it for the weeds’ doing.',
  'A count speaks for the square meter or two that was looked at, the yield for the whole swath around it. Where weeds stand in clumps this flattens the curve: the loss looks smaller than it is.',
  'Weeds were counted on another day than the yield was weighed: what died, was pulled or came up in between is in no count.',
  'Places are off by some meters, in the counts and in the log.',
  'A combine mixes grain on its way to the sensor: a yield map smears 10 to 20 meters (30 to 70 feet), so that small patches look milder than they are.',
];
