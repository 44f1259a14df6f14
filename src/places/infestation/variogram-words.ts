/** A variogram in a grower's words: how far likeness reaches, and how well stops foretell each other. */
import { MODEL_NAMES, type VariogramLine } from '../../../shared/analysis/variogram-line.ts';
import { semivariance } from '../../../shared/statistics/variogram-model.ts';
import { type Display, formatNumber, formatQuantity, formatRange, shownUnit } from '../../../shared/units/format.ts';
import { fromSI, toSI } from '../../../shared/units/units.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

/** Above this share of nugget, stops side by side are only somewhat alike. */
const SOMEWHAT_FROM = 0.4;

/** Above this share of what the farthest stops looked at differ, the closest ones are only a little more alike. */
const WEAK_FROM = 0.7;

export type Likeness =
  | { readonly kind: 'none' }
  /** Likeness has not ended at the farthest distance looked at. */
  | { readonly kind: 'beyond'; readonly weak: boolean }
  | { readonly kind: 'within'; readonly rangeM: number; readonly somewhat: boolean };

export function likenessOf({ model, noStructure, practicalRangeM, rangeAtLimit, cutoffM }: VariogramLine): Likeness {
  const rangeM = practicalRangeM.central;
  if (noStructure !== null || rangeM === null) return { kind: 'none' };
  if (rangeAtLimit || rangeM > cutoffM)
    return { kind: 'beyond', weak: model.nugget > WEAK_FROM * semivariance(model, cutoffM) };
  const { nugget, partialSill } = model;
  return { kind: 'within', rangeM, somewhat: nugget > SOMEWHAT_FROM * (nugget + partialSill) };
}

/** Two figures are more than a distance of likeness holds: "740 ft". */
export function roughDistance(distanceM: number, display: Display): string {
  return formatQuantity(roughM(distanceM, display), 'length', display, 0);
}

function roughM(distanceM: number, display: Display): number {
  const unit = shownUnit('length', display);
  return toSI(twoFigures(fromSI(distanceM, unit)), unit);
}

/** γ as a share of what two stops picked blindly differ: "41%". */
export function shareWords(share: number): string {
  return `${formatNumber(100 * share, 0)}%`;
}

/** What the curves tried would say: "660 to 1,300 feet, most likely 740"; null where all agree. */
export function triedRange(
  { practicalRangeM: { low, central, high } }: VariogramLine,
  display: Display,
): string | null {
  if (low === null || central === null || high === null) return null;
  const [from, likely, to] = [low, central, high].map((one) => roughM(one, display)) as [number, number, number];
  return from === to ? null : formatRange({ low: from, central: likely, high: to }, 'length', display, 0);
}

export function chosenWords({ model, tried }: VariogramLine): string {
  const others = tried.filter((one) => one.model.kind !== model.kind).map((one) => MODEL_NAMES[one.model.kind]);
  const against = others.length === 0 ? '' : `, before ${others.join(', ')}`;
  return `The curve is the ${MODEL_NAMES[model.kind]} model: it foretells stops left out best${against}.`;
}

/** "a factor of 3": how far the guess is off where the weed stood. */
export function factorWords(factor: number): string {
  return `a factor of ${formatNumber(factor, factor < 9.95 ? 1 : 0).replace(/\.0$/, '')}`;
}

/** The finding of the stops left out. */
export function leftOutFinding({ stops, sameSide, doubts }: VariogramLine['leftOut']): string {
  const right = `Guessed from its neighbors, a stop falls on the right side of the threshold ${sameSide} times of ${stops}`;
  return doubts.length === 0 ? right : `${right}: read the map with care`;
}

/** From this ratio of the two means on, where the stops stood matters. */
const CROWDED = 1.5;

/** What it means that stops weighed by their ground have another mean than all counts over all ground. */
export function crowdingWords(groundMeanPerM2: number, meanPerM2: number): string {
  if (meanPerM2 > CROWDED * groundMeanPerM2)
    return 'the stops crowd where the weed is, so that the mean of the field says too much';
  if (groundMeanPerM2 > CROWDED * meanPerM2)
    return 'the stops crowd where the weed is not, so that the mean of the field says too little';
  return 'where the stops stand does not tilt the mean';
}
