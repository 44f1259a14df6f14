/** How many stops a field needs for a wanted precision, in words, with the formula's own numbers. */
import { cleanShareBound, quadratsForShare } from '../statistics/intervals.ts';
import { type Display, formatNumber, formatQuantity, usualDigits } from '../units/format.ts';
import { groundWords } from '../units/ground-words.ts';
import type { CountSpread } from './count-spread.ts';
import { relativeErrorOf, stopsNeeded } from './stops-needed.ts';

/** Standard error of the mean as a share of it. 25 % is the handbook's usual aim, 20 to 40 % its range. */
export const PRECISIONS = [0.1, 0.25, 0.4, 0.5] as const;
export const USUAL_PRECISION = 0.25;
/** Where nothing was found: the share of such places that should hold the weed at most. */
const CLEAN_SHARE = 0.05;

export const PRECISION_SOURCE =
  'Elliott 1977, Some methods for the statistical analysis of samples of benthic invertebrates (formula from memory); it takes stops at random, and k as it is now.';

export interface PrecisionTold {
  readonly finding: string;
  /** Formula with its numbers, what each is and where it comes from; a sentence each. */
  readonly working: readonly string[];
}

/** @param places counted so far @param relativeError standard error as a share of the mean, above 0 */
export function precisionInWords(
  { spread, places }: { readonly spread: CountSpread | null; readonly places: number },
  relativeError: number,
  display: Display,
): PrecisionTold {
  if (!spread) return withoutMean(places);
  const { stops, meanCount, effortM2 } = spread;
  const k = spread.k ?? Infinity;
  const needed = stopsNeeded(meanCount, k, relativeError);
  const now = relativeErrorOf(stops, meanCount, k);
  const has = `the ${countedStops(stops)} so far ${stops === 1 ? 'tells' : 'tell'} it to ${give(now)}`;
  const exact = Number(formatNumber((1 / meanCount + 1 / k) / relativeError ** 2, 1).replace(/,/g, ''));
  const [m, kShown] = [number(meanCount), spread.k === null ? 'none' : number(spread.k)];
  const overK = spread.k === null ? '0' : `1/${kShown}`;
  return {
    finding:
      needed <= stops
        ? `The field’s mean is known to ${give(now)} from ${stopsOf(stops)}: ${give(relativeError)} takes ${needed}`
        : `${stopsOf(needed)} would tell the field’s mean to ${give(relativeError)}; ${has}`,
    working: [
      `n = (1/m + 1/k) / D² = (1/${m} + ${overK}) / ${number(relativeError)}² = ${exact}, rounded up to ${needed}.`,
      `m = ${m} plants at a stop of ${groundWords(effortM2, display)}: all plants over all ground of the round, times a usual stop’s ground.`,
      kInWords(spread),
      `D = ${number(relativeError)}: the standard error of the mean as a share of the mean; about two in three such rounds come that near.`,
    ],
  };
}

function kInWords({ k, kFrom, because, stops }: CountSpread): string {
  if (kFrom === 'fit')
    return `k = ${number(k!)}, how clumped the plants stand: fitted to the ${stops} counts of this round.`;
  if (kFrom === 'chance') return `No k: ${because}. Then 1/k = 0.`;
  return `k = ${number(k!)} is assumed (center of the count model’s prior), since ${because}.`;
}

function withoutMean(places: number): PrecisionTold {
  const clean = quadratsForShare(CLEAN_SHARE);
  const goal = `${clean} clean stops make it 95% sure that fewer than ${percent(CLEAN_SHARE)} of such places hold the weed`;
  return {
    finding:
      places === 0
        ? 'How many stops a precision takes needs a first count: none is on record'
        : `No plant at ${placesOf(places)}: there is no mean whose precision could be told`,
    working: [
      `1 − (1 − 0.95)^(1/n) < ${number(CLEAN_SHARE)}: ${goal}${places === 0 ? '' : `; ${places} make it ${percent(cleanShareBound(places))}`}.`,
    ],
  };
}

const percent = (share: number): string => formatQuantity(share, 'fraction', 'us');
const give = (share: number): string => `give or take ${percent(share)}`;
const of = (one: string) => (n: number) => `${n} ${one}${n === 1 ? '' : 's'}`;
const [stopsOf, countedStops, placesOf] = [of('stop'), of('counted stop'), of('place')];
const number = (value: number): string => String(Number(formatNumber(value, usualDigits(value)).replace(/,/g, '')));
