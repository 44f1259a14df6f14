/** The steps of a slider for thresholds: even in their logs, each a number of two figures in the unit that is shown. */
import { type Display, shownUnit } from '../../../shared/units/format.ts';
import { UNITS } from '../../../shared/units/units.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

const LEAST_PER_M2 = 0.05;
const MOST_PER_M2 = 50;
export const THRESHOLD_STEPS = 90;

/** @returns plants/m² */
export function thresholdAt(step: number, display: Display): number {
  const perM2 = LEAST_PER_M2 * (MOST_PER_M2 / LEAST_PER_M2) ** (step / THRESHOLD_STEPS);
  const { factor } = UNITS[shownUnit('count per area', display)];
  return twoFigures(perM2 / factor) * factor;
}

/** The step nearest to a threshold; the ends for those beyond. */
export function stepOf(perM2: number): number {
  const share = Math.log(perM2 / LEAST_PER_M2) / Math.log(MOST_PER_M2 / LEAST_PER_M2);
  return Math.round(Math.min(1, Math.max(0, share)) * THRESHOLD_STEPS);
}
