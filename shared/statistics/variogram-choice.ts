/** Chooses among fitted variogram models by how well each predicts the data it has not seen. */
import type { CrossValidation, LeaveOneOut } from './cross-validation.ts';
import { crossValidation, leaveOneOutOfAll, leaveOneOutOfNearest } from './cross-validation.ts';
import type { KrigingData } from './kriging-data.ts';
import type { EmpiricalVariogram } from './variogram.ts';
import type { VariogramFit } from './variogram-fit.ts';
import { fitVariogram } from './variogram-fit.ts';
import type { VariogramKind } from './variogram-model.ts';
import { VARIOGRAM_KINDS } from './variogram-model.ts';

export interface JudgedVariogram extends VariogramFit {
  readonly crossValidation: CrossValidation;
}

export interface ChosenVariogram extends JudgedVariogram {
  /** Each datum from the others by the chosen model. */
  readonly leftOut: LeaveOneOut;
  /** Every model that was fitted and judged, the chosen one among them. */
  readonly tried: readonly JudgedVariogram[];
}

/** Leave-one-out uses all places up to this number, above it the nearest `NEAREST`. */
const ALL_UP_TO = 250;
const NEAREST = 32;
/** A Gaussian model with a smaller nugget, as a share of its sill, makes the system ill-conditioned. */
const LEAST_GAUSSIAN_NUGGET_FRACTION = 0.01;

/**
 * The fitted model with the best leave-one-out log score; the sum of squares of the fit alone does not decide.
 * @returns null where nothing can be fitted: fewer than three lags, or all values equal
 * @cost kinds × n³/3 up to 250 places, then linear in n
 */
export function chooseVariogram(
  data: KrigingData,
  empirical: EmpiricalVariogram,
  kinds: readonly VariogramKind[] = VARIOGRAM_KINDS,
): ChosenVariogram | null {
  let best: (JudgedVariogram & Pick<ChosenVariogram, 'leftOut'>) | null = null;
  const tried: JudgedVariogram[] = [];
  for (const kind of kinds) {
    const fit = fitVariogram(empirical, kind);
    if (!fit) continue;
    const { nugget, partialSill } = fit.model;
    if (!(nugget + partialSill > 0)) continue;
    if (kind === 'gaussian' && nugget < LEAST_GAUSSIAN_NUGGET_FRACTION * (nugget + partialSill)) continue;
    const leftOut =
      data.z.length <= ALL_UP_TO ? leaveOneOutOfAll(data, fit.model) : leaveOneOutOfNearest(data, fit.model, NEAREST);
    const judged = { ...fit, crossValidation: crossValidation(data.z, leftOut) };
    tried.push(judged);
    if (!best || judged.crossValidation.logScore > best.crossValidation.logScore) best = { ...judged, leftOut };
  }
  return best && { ...best, tried };
}
