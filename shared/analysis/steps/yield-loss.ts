/** Per field, season and case: the yield that all weeds together cost this year. */
import { parameter } from '../../agronomy/parameter.ts';
import { lossPerPlantPercent, yieldLossFractions } from '../../agronomy/yield-loss.ts';
import { cropOf, expectedCrop, seasonOf, speciesOf } from '../../model/lookups.ts';
import { done, refused } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { casesOf, type Patchwork, patchworkOf } from '../patchwork.ts';
import type { FieldGround } from './field.ts';
import type { FieldInfestation } from './infestation.ts';
import { type OwnLoss, ownCurveOf } from './own-loss.ts';
import type { FieldSeason } from './season.ts';

export interface FieldYieldLoss {
  readonly crop: string;
  readonly cropBecause: string;
  /** Area-weighted mean share of the weed-free yield. */
  readonly lossFraction: number;
  /** Whether the field's own curve stood in for the literature's. */
  readonly isOwnCurve: boolean;
  readonly expectedYieldKgHa: number;
  readonly expectedYieldFrom: string;
  readonly areaM2: number;
  readonly lossKg: number;
  readonly priceKg: number | null;
  readonly lossMoney: number | null;
  /** Per cell, for the map; null on a rating. */
  readonly lossByCell: Float64Array | null;
  /** On a rating: per piece of its patchwork; null where there are cells. */
  readonly lossByStratum: Float64Array | null;
  /** Days from crop emergence to the emergence of what escaped, per species. */
  readonly delayDays: Readonly<Record<string, number>>;
}

interface Settings {
  readonly species: readonly string[];
  readonly crop: string;
  readonly cropBecause: string;
  readonly expectedYieldKgHa: number | null;
  readonly priceKg: number | null;
}

export const yieldLossStep = defineStep<Settings, FieldYieldLoss>({
  id: 'yield-loss',
  title: 'Yield loss',
  version: 3,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    const { crop, because } = expectedCrop(farm, scope.field!, scope.season!);
    return {
      species: speciesOf(farm),
      crop,
      cropBecause: because,
      expectedYieldKgHa: cropOf(farm, scope.field!, scope.season!)?.expectedYieldKgHa ?? null,
      priceKg: seasonOf(farm, scope.season!)?.prices[crop] ?? null,
    };
  },
  parameters(farm, scope) {
    const { crop } = expectedCrop(farm, scope.field!, scope.season!);
    return [
      `crop.${crop}.weedFreeYieldKgHa`,
      ...speciesOf(farm).flatMap((species) =>
        ['I', 'A', 'C'].map((symbol) => `${species}.yieldLoss.${crop}.${symbol}`),
      ),
    ];
  },
  needs(farm, scope) {
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      infestation: speciesOf(farm).map((species) => ({
        step: 'infestation',
        scope: { field: scope.field!, season: scope.season!, species },
      })),
      season: { step: 'season', scope },
      own: { step: 'own-loss', scope: { field: scope.field!, season: scope.season! } },
    };
  },
  optional: ['own'],
  *run({ settings, needs, p, scope }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const season = needs['season'] as FieldSeason;
    const which = casesOf(scope);
    const patchwork = patchworkOf(ground, needs['infestation'] as FieldInfestation[], which);
    if (!patchwork) return refused(); // nobody looked: the study lists the field as such
    const { crop } = settings;
    const delayDays = Object.fromEntries(settings.species.map((one) => [one, season.escapeDelayDays[one] ?? 0]));
    const own = needs['own'] as OwnLoss | null;
    const ownCurve = ownCurveOf(own, which);
    const weights = own?.kind === 'fit' ? own.weights : {};
    const perPlant = settings.species.map((one) =>
      ownCurve
        ? ownCurve.I * weights[one]!
        : lossPerPlantPercent(p[`${one}.yieldLoss.${crop}.I`]!, p[`${one}.yieldLoss.${crop}.C`]!, delayDays[one]!),
    );
    const asymptotes = settings.species.map((one) => ownCurve?.A ?? p[`${one}.yieldLoss.${crop}.A`]!);
    const loss = yieldLossFractions(
      patchwork.densityPerM2,
      perPlant,
      asymptotes,
      new Float64Array(patchwork.areaM2.length),
    );
    const lossFraction = weightedMean(loss, patchwork);
    const fallback = parameter(`crop.${crop}.weedFreeYieldKgHa`);
    const expectedYieldKgHa = settings.expectedYieldKgHa ?? fallback.value;
    const lossKg = lossFraction * expectedYieldKgHa * (ground.areaM2 / 10_000);
    return done({
      crop,
      cropBecause: settings.cropBecause,
      lossFraction,
      isOwnCurve: ownCurve !== null,
      expectedYieldKgHa,
      expectedYieldFrom:
        settings.expectedYieldKgHa === null
          ? `a usual weed-free yield of ${crop} (${fallback.source})`
          : 'the crop plan',
      areaM2: ground.areaM2,
      lossKg,
      priceKg: settings.priceKg,
      lossMoney: settings.priceKg === null ? null : lossKg * settings.priceKg,
      lossByCell: patchwork.isCells ? loss : null,
      lossByStratum: patchwork.isCells ? null : loss,
      delayDays,
    });
  },
});

function weightedMean(values: Float64Array, patchwork: Patchwork): number {
  let [sum, area] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    sum += values[i]! * patchwork.areaM2[i]!;
    area += patchwork.areaM2[i]!;
  }
  return area === 0 ? 0 : sum / area;
}
