/** Per field and season: what is said of a harvest in numbers, so that nobody reads a whole path for them. */
import type { HarvestPath } from '../../harvest/harvest-path.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldHarvestPath } from './harvest-path.ts';

export interface HarvestFacts
  extends
    Pick<HarvestPath, 'assumed' | 'flagged' | 'delay' | 'coveredAreaM2' | 'standardMassKg' | 'meanYieldKgHa'>,
    Pick<FieldHarvestPath, 'headerWidthM' | 'headerWidthFrom' | 'startS'> {
  /** Of the log; of an assumed path, its points. */
  readonly records: number;
}

export const harvestFactsStep = defineStep<null, HarvestFacts>({
  id: 'harvest-facts',
  title: 'Harvest in numbers',
  version: 2,
  per: ['field', 'season'],
  key: 'inputs',
  settings: () => null,
  needs: (_farm, scope) => ({
    harvest: { step: 'harvest-path', scope: { field: scope.field!, season: scope.season! } },
  }),
  *run({ needs }) {
    yield [0, 1];
    const { path, headerWidthM, headerWidthFrom, startS } = needs['harvest'] as FieldHarvestPath;
    const { assumed, flagged, delay, coveredAreaM2, standardMassKg, meanYieldKgHa, flags } = path;
    return done({
      assumed,
      flagged,
      delay,
      coveredAreaM2,
      standardMassKg,
      meanYieldKgHa,
      headerWidthM,
      headerWidthFrom,
      startS,
      records: flags.length,
    });
  },
});
