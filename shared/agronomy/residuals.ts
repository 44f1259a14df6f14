/**
 * Residual herbicides by active ingredient: days of cover at the full label rate, the rain that activates them, and how
 * both turn into a `ResidualApplication` of one case. The tool proposes no rate: the rate fraction is what the person says.
 */
import type { OwnValue } from '../model/farm.ts';
import { CASES, foldCases } from '../model/range.ts';
import type { Case, Range } from '../model/range.ts';
import { activeFromIndex, coverDaysAtRate, halfControlDoseForCover } from './cover.ts';
import type { ResidualApplication } from './cover.ts';
import { hasParameter, parameterIds, resolveParameters, valueOf } from './parameter.ts';
import type { ParameterId, Values } from './parameter.ts';

/** Active ingredients whose days of cover are known. */
export const RESIDUAL_INGREDIENTS: readonly string[] = parameterIds()
  .filter((id) => /^residual\..*\.coverDays$/.test(id))
  .map((id) => id.slice('residual.'.length, -'.coverDays'.length));

export function hasResidual(ingredient: string): boolean {
  return hasParameter(`residual.${ingredient}.coverDays`);
}

/** What `residualApplication` and `coverBandDays` read. */
export function residualParameters(ingredients: readonly string[]): ParameterId[] {
  return [
    ...[...new Set(ingredients)]
      .filter(hasResidual)
      .flatMap((one) => [`residual.${one}.coverDays`, `residual.${one}.activationRainMm`]),
    'residual.activationWithinDays',
    'residual.lossPerHalvingFraction',
    'residual.controlThresholdFraction',
    'residual.maxControlFraction',
    'residual.slope',
  ];
}

/**
 * Days of cover of one ingredient at a share of its full rate, as a band over the three cases.
 * @throws for an ingredient without a value: ask `hasResidual` first
 */
export function coverBandDays(ingredient: string, rateFraction: number, own: readonly OwnValue[] = []): Range {
  const ids = [`residual.${ingredient}.coverDays`, 'residual.lossPerHalvingFraction'];
  const days = {} as Record<Case, number>;
  for (const which of CASES) {
    const values = resolveParameters(ids, which, own);
    days[which] = coverDaysAtRate(valueOf(values, ids[0]!), rateFraction, valueOf(values, ids[1]!));
  }
  return foldCases(days);
}

export type Activation =
  | { readonly by: 'rain'; readonly onIndex: number }
  | { readonly by: 'incorporation' }
  /** The rain record holds no activating rain so far: no control. */
  | { readonly by: 'nothing yet' }
  /** No rain record: taken as activated on the day of spraying, which must be said. */
  | { readonly by: 'not known' };

/**
 * One ingredient sprayed once, in the resolved numbers of one case.
 * @param rainMm rain a day over the season, NaN where missing; null without a rain record
 */
export function residualApplication(
  ingredient: string,
  {
    rateFraction,
    sprayedIndex,
    rainMm,
    susceptibleFraction = 1,
  }: { rateFraction: number; sprayedIndex: number; rainMm: ArrayLike<number> | null; susceptibleFraction?: number },
  values: Values,
): { application: ResidualApplication; activation: Activation } {
  if (!(rateFraction >= 0 && rateFraction <= 1))
    throw new Error(`residualApplication: expected a rate fraction 0–1, got ${rateFraction}`);
  const fullDays = valueOf(values, `residual.${ingredient}.coverDays`);
  const halvingDays = valueOf(values, 'residual.lossPerHalvingFraction') * fullDays;
  const slope = valueOf(values, 'residual.slope');
  const threshold = valueOf(values, 'residual.controlThresholdFraction');
  const maxControl = valueOf(values, 'residual.maxControlFraction');
  const needMm = valueOf(values, `residual.${ingredient}.activationRainMm`);

  let activation: Activation;
  if (needMm === 0) activation = { by: 'incorporation' };
  else if (rainMm === null) activation = { by: 'not known' };
  else {
    const within = valueOf(values, 'residual.activationWithinDays');
    const onIndex = activeFromIndex(rainMm, Math.max(0, sprayedIndex), needMm, within);
    activation = onIndex === null ? { by: 'nothing yet' } : { by: 'rain', onIndex };
  }
  const activeFrom =
    activation.by === 'rain' ? activation.onIndex : activation.by === 'nothing yet' ? null : sprayedIndex;
  return {
    application: {
      sprayedIndex,
      activeFrom,
      rateFraction,
      halvingDays,
      halfControlDose: halfControlDoseForCover(fullDays, halvingDays, slope, threshold, maxControl),
      slope,
      maxControl,
      susceptibleFraction,
    },
    activation,
  };
}
