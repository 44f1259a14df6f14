/** What the study says of a field's own loss curve: its numbers made through formulas, its pairs, and why it is used or not. */
import type { OwnLossFit } from '../agronomy/own-loss.ts';
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import { quantile } from '../statistics/quantile.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { OwnLoss } from './steps/own-loss.ts';

type Fitted = Extract<OwnLoss, { kind: 'fit' }>;

export type OwnLossLine =
  | Extract<OwnLoss, { kind: 'missing' }>
  | (Omit<Fitted, 'lossFraction' | 'loss80' | 'quartiles'> & {
      /** Cells of the yield map behind a place, median. */
      readonly cellsMedian: number;
      /** At the median density of the places where weeds stood; the ends hold it four times in five. */
      readonly lossFraction: { readonly low: number | null; readonly central: number; readonly high: number | null };
    });

/** @param at path of the line in the study */
export function ownLossLine(at: string, own: OwnLoss, figures: FigureBook): OwnLossLine {
  if (own.kind === 'missing') return own;
  const { lossFraction: _central, loss80, quartiles: _quartiles, ...rest } = own;
  const { curve, interval80, pairs, radiusM, reference, round, medianDensityPerM2 } = own;
  const cellsMedian = quantile(
    pairs.map((one) => one.cells),
    0.5,
  );
  const from = {
    words: `${pairs.length} places counted in ${round.id}, each beside the mean of the yield map within ${radiusM.toFixed(1)} m (${cellsMedian} cells of clean records at the median place)`,
  };
  const ceilingFrom =
    own.ceilingFrom === 'records' ? from : { words: 'the literature: these records do not show where the loss ends' };
  const notes = notesOf(own);
  figures.exact(
    `${at}/weedFreeYieldKgHa`,
    FORMULAS.ownWeedFreeYield,
    { Y: { value: curve.weedFreeKgHa, from } },
    { notes: [own.saying] },
  );
  figures.exact(
    `${at}/I`,
    FORMULAS.ownLossSlope,
    { I: { value: curve.I, from } },
    { notes: [`80% profile interval: ${ends(interval80.I, (one) => `${three(one)}% per plant/m²`)}.`, own.saying] },
  );
  figures.exact(
    `${at}/A`,
    FORMULAS.ownLossCeiling,
    { A: { value: curve.A / 100, from: ceilingFrom } },
    { notes: [`80% profile interval by the records: ${ends(interval80.A, (one) => `${three(one)}%`)}.`, own.saying] },
  );
  const central = figures.exact(
    `${at}/lossFraction`,
    FORMULAS.ownLoss,
    {
      I: { value: curve.I, from: { path: `${at}/I` } },
      A: { value: curve.A / 100, from: { path: `${at}/A` } },
      D: {
        value: medianDensityPerM2,
        from: { words: `${speciesInfo(reference).name}, other weeds as plants of it that compete as much` },
      },
    },
    { notes: [`80% profile interval: ${ends(loss80, (one) => `${three(100 * one)}%`)}.`, ...notes] },
  )!;
  return { ...rest, cellsMedian, lossFraction: { ...loss80, central } };
}

/** Whether the curve is used, condition by condition, the straight line beside it, and what makes it unsure. */
function notesOf(own: OwnLossFit & Pick<Fitted, 'confounders'>): string[] {
  const { used, conditions, aic, line, doubts, confounders, saying } = own;
  return [
    saying,
    used
      ? 'It stands in for the literature’s curve this season: every condition is met.'
      : 'It is shown, not used: the loss keeps to the literature.',
    ...conditions.map((one) => `${one.met === 'no' ? 'Not met' : 'Met'}: ${one.why}`),
    `AIC of the curve ${three(aic)}, of a straight line ${three(line.aic)}.`,
    ...doubts,
    ...confounders,
  ];
}

function ends({ low, high }: { low: number | null; high: number | null }, text: (one: number) => string): string {
  if (low === null) return high === null ? 'open at both ends' : `up to ${text(high)}, open below`;
  return high === null ? `from ${text(low)} up, open above` : `${text(low)} to ${text(high)}`;
}

function three(value: number): string {
  return Math.abs(value) >= 1000 ? value.toFixed(1) : String(Number(value.toPrecision(3)));
}
