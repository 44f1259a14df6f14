/** A field's rounds in words: the finding, and how each number of a round's counts is made. */
import { roundInWords } from '../../../shared/analysis/change-words.ts';
import type { FieldRound } from '../../../shared/analysis/changes.ts';
import { type Display, formatNumber, formatQuantity, formatRange } from '../../../shared/units/format.ts';
import { groundWords } from '../../../shared/units/ground-words.ts';
import { capital, counted } from '../../../shared/units/words.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

/** @param looked rounds in which somebody looked, at least one */
export function roundFinding(looked: readonly FieldRound[], field: string, weed: string): string {
  const found = looked.filter((one) => one.told.found);
  if (looked.length === 1) return `${capital(weed)} in ${field} was looked for in one round so far`;
  return `${capital(weed)} was seen in ${found.length} of ${counted(looked.length, 'round')} in ${field}`;
}

/** "0.16 (0.07 to 0.32)"; without an upper end where the counts allow no clumping at all. */
export function clumpingInWords({ k, kRange, positives }: FieldRound['told']): string {
  const number = (value: number) => String(twoFigures(value));
  if (k === null) return positives > 0 ? 'not to be told' : '';
  if (!kRange) return number(k);
  return kRange.high === null
    ? `${number(k)} (${number(kRange.low)} or more: perhaps none)`
    : `${number(k)} (${number(kRange.low)} to ${number(kRange.high)})`;
}

/** One sentence a number; none where nobody counted. */
export function roundWorking(round: FieldRound, display: Display): string[] {
  const { told } = round;
  if (told.rests !== 'counts') return [];
  const when = roundInWords(round);
  const ground = groundWords(told.effortM2, display);
  if (told.clean)
    return [
      `${when}: none at n = ${told.places} places on Σe = ${ground}. With 95% confidence fewer than 1 − 0.05^(1/n) = ${formatQuantity(told.clean.shareBelow, 'fraction', display)} of such places hold it, and its density is below −ln 0.05 / Σe = ${formatQuantity(told.clean.belowPerM2, 'count per area', display)}. Source: exact binomial and Poisson bounds (reference cases statistics).`,
    ];
  const mean = `${when}: mean Σc / Σe = ${formatNumber(told.plants, 0)} plants / ${ground} = ${formatRange(told.meanPerM2, 'count per area', display)}; the 90% range is the exact Poisson one, widened by the index of dispersion where counts vary more than chance.`;
  const clumping =
    told.k === null
      ? `${when}: no k: ${told.kBecause}.`
      : `${when}: k = ${clumpingInWords(told)} by maximum likelihood of a negative binomial with mean e·m at each place; the 90% range is every k that a likelihood ratio test does not refuse, the mean free at each (reference cases statistics, R); small k is strong clumping.`;
  return [mean, clumping];
}
