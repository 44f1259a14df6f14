/** A field's own loss curve in a grower's words. */
import { cropOf, isCrop } from '../../../shared/agronomy/crops.ts';
import { lossPercentAt } from '../../../shared/agronomy/own-loss-curve.ts';
import type { OwnLossLine } from '../../../shared/analysis/own-loss-line.ts';
import { type Display, formatNumber, formatQuantity, formatRange, shownUnit } from '../../../shared/units/format.ts';
import { fromSI, toSI, UNITS } from '../../../shared/units/units.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

export type FittedLine = Extract<OwnLossLine, { kind: 'fit' }>;

/** "2 to 14%, most likely 8"; "8.2%, without an upper end" where the records hold none. */
export function lossWords({ low, central, high }: FittedLine['lossFraction'], display: Display): string {
  if (high === null || low === null) return `${formatQuantity(central, 'fraction', display)}, without an upper end`;
  return formatRange({ low, central, high }, 'fraction', display);
}

/** "0.79/ft²", "8.5/m²": a usual density needs two figures. */
export function densityWords(densityPerM2: number, display: Display): string {
  const unit = shownUnit('count per area', display);
  const shown = twoFigures(fromSI(densityPerM2, unit));
  return `${shown}${UNITS[unit].symbol}`;
}

/** What one more plant takes where weeds are few: in 100 ft², where the farm counts so, else in 1 m². */
export function slopeWords({ curve, interval80: { I } }: FittedLine, display: Display): string {
  const ground = display === 'us' ? '100 ft²' : '1 m²';
  const perM2 = display === 'us' ? 1 / (100 * UNITS.ft2.factor) : 1;
  const text = (percent: number) => formatNumber(percent * perM2, percent * perM2 < 9.95 ? 1 : 0);
  return I.high === null
    ? `at least ${text(I.low ?? 0)}% of the yield for each plant in ${ground}; the records hold no upper end`
    : `${text(I.low ?? 0)} to ${text(I.high)}% of the yield for each plant in ${ground}, most likely ${text(curve.I)}`;
}

/** Where the loss ends, by the records alone. */
export function ceilingWords({ curve, ceilingFrom, interval80: { A } }: FittedLine): string {
  const text = (percent: number) => `${formatNumber(percent, 0)}%`;
  const likely = A.low === null || ceilingFrom === 'literature' ? '' : `, most likely ${text(curve.A)}`;
  const held =
    A.low === null
      ? 'not held by the records'
      : A.high === null
        ? `at least ${text(A.low)} by the records, which hold no upper end`
        : `${formatNumber(A.low, 0)} to ${text(A.high)} by the records`;
  return ceilingFrom === 'records' ? `${held}${likely}` : `${text(curve.A)}, kept from the literature; ${held}`;
}

/** A unit of the picture's axis, with what its values are divided by. */
export interface YieldUnit {
  readonly name: string;
  shown(kgHa: number): number;
}

/** Bushels an acre where the crop is sold so and the farm counts so. */
export function yieldUnit(crop: string, display: Display): YieldUnit {
  const perBushel = isCrop(crop) ? cropOf(crop).kgHaPerBuAc : null;
  if (display === 'us' && perBushel !== null) return { name: 'bu/ac', shown: (kgHa) => kgHa / perBushel };
  const unit = shownUnit('mass per area', display);
  return { name: UNITS[unit].symbol, shown: (kgHa) => fromSI(kgHa, unit) };
}

/** The literature's curve from the field's own weed-free yield, so that both begin at one place. */
export function literatureYieldAt({ curve, literature }: FittedLine, densityPerM2: number): number {
  return curve.weedFreeKgHa * (1 - lossPercentAt(literature.curve, densityPerM2) / 100);
}

export function ownYieldAt({ curve }: FittedLine, densityPerM2: number): number {
  return curve.weedFreeKgHa * (1 - lossPercentAt(curve, densityPerM2) / 100);
}

/** Places that are no pair, by why; null where all are. */
export function leftOutWords({ notCounted, notEveryWeed, noYield }: FittedLine['leftOut']): string | null {
  const parts = [
    [notCounted, 'without a full count'],
    [notEveryWeed, 'where not every weed was counted'],
    [noYield, 'without a clean yield nearby'],
  ] as const;
  const told = parts.filter(([count]) => count > 0).map(([count, why]) => `${count} ${why}`);
  return told.length === 0 ? null : `Left out: ${told.join(', ')}.`;
}

/** A density of the shown unit in plants/m². */
export function perM2(shown: number, display: Display): number {
  return toSI(shown, shownUnit('count per area', display));
}
