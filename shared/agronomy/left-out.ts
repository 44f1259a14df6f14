/** Each stop left out and guessed from the others: how far off the guesses are, in numbers that a grower can judge a map by. */
import type { CrossValidation, LeaveOneOut } from '../statistics/cross-validation.ts';
import { twoFigures } from '../units/rough.ts';
import type { ScoutingDensity } from './scouting-density.ts';

export interface LeftOut {
  readonly stops: number;
  /** Stops whose own density and whose guess are both at or above the threshold, and both below it. */
  readonly bothAbove: number;
  readonly bothBelow: number;
  /** Stops at or above the threshold by their own counts. */
  readonly above: number;
  readonly withPlants: number;
  /** Σ |ln(density / guess)| over the stops with plants. */
  readonly logMissSum: number;
  /** Mean guess where nothing was found, plants/m²; null where plants were found everywhere. */
  readonly guessAtEmptyPerM2: number | null;
  /** Σ of squared errors of log(1 + density), guessed from the neighbors, and by the mean of all other stops. */
  readonly squaresByNeighbors: number;
  readonly squaresByMean: number;
  /** Why the map is not to be trusted, one sentence each. */
  readonly doubts: readonly string[];
}

/** A guess is never less than this many plants in the quadrat: fewer than half a plant is none. */
const LEAST_PLANTS = 0.5;
/** Neighbors that leave more of the squares than this foretell hardly better than the mean. */
const HARDLY_BETTER = 0.95;
const ALMOST_ALL = 0.999;
/** Squared errors above this many times the stated variance: the stated error is too small. */
const ERROR_TOO_SMALL = 1.3;

/**
 * @param leftOut predictions of log(1 + plants/m²), one a place
 * @param thresholdPerM2 above 0
 * @source methods-spatial §5 (leave-one-out; a mean squared z of 0.7–1.3 is healthy); what is told of it is ours
 */
export function leftOutCheck(
  { densityPerM2, effortM2 }: Pick<ScoutingDensity, 'densityPerM2' | 'effortM2'>,
  leftOut: Pick<LeaveOneOut, 'prediction'>,
  { meanSquaredZ }: Pick<CrossValidation, 'meanSquaredZ'>,
  thresholdPerM2: number,
): LeftOut {
  const stops = densityPerM2.length;
  const z = densityPerM2.map(Math.log1p);
  const mean = z.reduce((sum, one) => sum + one, 0) / stops;
  const ofOthers = stops / (stops - 1);
  const out = { bothAbove: 0, bothBelow: 0, above: 0, withPlants: 0, logMissSum: 0 };
  let [atEmpty, squaresByNeighbors, squaresByMean] = [0, 0, 0];
  for (let i = 0; i < stops; i++) {
    const guess = Math.expm1(leftOut.prediction[i]!);
    const [isAbove, guessedAbove] = [densityPerM2[i]! >= thresholdPerM2, guess >= thresholdPerM2];
    if (isAbove) out.above++;
    if (isAbove && guessedAbove) out.bothAbove++;
    if (!isAbove && !guessedAbove) out.bothBelow++;
    if (densityPerM2[i]! > 0) {
      out.withPlants++;
      out.logMissSum += Math.abs(Math.log(densityPerM2[i]! / Math.max(guess, LEAST_PLANTS / effortM2[i]!)));
    } else atEmpty += Math.max(0, guess);
    squaresByNeighbors += (z[i]! - leftOut.prediction[i]!) ** 2;
    squaresByMean += (ofOthers * (z[i]! - mean)) ** 2;
  }
  const found = { ...out, stops, squaresByNeighbors, squaresByMean };
  return {
    ...found,
    guessAtEmptyPerM2: stops > out.withPlants ? atEmpty / (stops - out.withPlants) : null,
    doubts: doubtsOf(found, meanSquaredZ),
  };
}

function doubtsOf(of: Omit<LeftOut, 'doubts' | 'guessAtEmptyPerM2'>, meanSquaredZ: number): string[] {
  const doubts: string[] = [];
  if (!(of.squaresByNeighbors < HARDLY_BETTER * of.squaresByMean)) {
    const how = of.squaresByNeighbors < ALMOST_ALL * of.squaresByMean ? 'hardly better' : 'no better';
    doubts.push(
      `The neighbors of a stop foretell it ${how} than the mean of all stops: do not trust the map for where the weed stands. Stops closer together would tell.`,
    );
  }
  const common = Math.max(of.above, of.stops - of.above);
  if (of.bothAbove + of.bothBelow <= common && common < of.stops) {
    const word = of.above > of.stops / 2 ? 'above the threshold' : 'below the threshold';
    doubts.push(
      `"${word[0]!.toUpperCase()}${word.slice(1)}", said of every stop, would be right ${common} times of ${of.stops}: a single place on the map does not tell on which side it is.`,
    );
  }
  if (meanSquaredZ > ERROR_TOO_SMALL) {
    doubts.push(
      `The guesses miss by ${twoFigures(Math.sqrt(meanSquaredZ))} times what the fitted curve says they would: counts jump more than it allows for.`,
    );
  }
  return doubts;
}
