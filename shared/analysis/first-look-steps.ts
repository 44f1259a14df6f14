/**
 * The steps of a first look, before any log is read: as if all seed had come down where it grew. No path is retraced or assumed, so
 * that a ranked list stands in a moment; what the combine carried from field to field is not known in it.
 */
import { assumePath } from '../harvest/assumed-path.ts';
import { EMPTY_LEDGER } from '../harvest/ledger.ts';
import { USUAL_HEADER_M } from '../harvest/machine-parameters.ts';
import { done } from '../model/problem.ts';
import type { Step, StepId } from './step.ts';
import { steps } from './steps.ts';
import type { FieldGround } from './steps/field.ts';
import { type FieldHarvestPath, noonOf } from './steps/harvest-path.ts';
import type { MovementOwn } from './steps/movement-own.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';

/** Apart from all versions of the steps that they stand in for, so that neither finds the other's results. */
const FIRST_LOOK = 1000;

/** A path without a single point, on the day that the visit gives. */
const noPath: Step = {
  ...steps['harvest-path'],
  version: FIRST_LOOK + steps['harvest-path'].version,
  needs: (_farm, scope) => ({ field: { step: 'field', scope: { field: scope.field! } } }),
  optional: [],
  *run({ settings, needs }) {
    yield [0, 1];
    const { grid } = needs['field'] as FieldGround;
    const { startedOn, utcOffsetMinutes } = settings as { startedOn: string | null; utcOffsetMinutes: number };
    const startS = noonOf(startedOn, utcOffsetMinutes);
    const path = assumePath({ boundary: [], headerWidthM: USUAL_HEADER_M, grid, startS: startS ?? 0 });
    const given: FieldHarvestPath = {
      path,
      reversed: null,
      headerWidthM: USUAL_HEADER_M,
      headerWidthFrom: 'not asked at a first look',
      startS,
    };
    return done(given);
  },
};

/** Everything lands in the cell on which it stood; the machine holds on to what it brought. */
const seedStays: Step = {
  ...steps['movement-own'],
  version: FIRST_LOOK + steps['movement-own'].version,
  parameters: () => [],
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    seed: { step: 'seed-return', scope },
  }),
  lazy: [],
  *run({ needs }) {
    yield [0, 1];
    const { grid } = needs['field'] as FieldGround;
    const { species } = needs['seed'] as FieldSeedReturn;
    const landed = species.map((one) => one.standingPerM2.map((perM2) => perM2 * grid.cellM ** 2));
    const given: MovementOwn = {
      startS: null,
      species: species.map((one) => one.species),
      landed,
      ledger: species.map(({ shedBeforeSeeds }, index) => {
        const landedByMachineSeeds = landed[index]!.reduce((sum, seeds) => sum + seeds, 0);
        return {
          ...EMPTY_LEDGER,
          producedSeeds: shedBeforeSeeds + landedByMachineSeeds,
          shedBeforeSeeds,
          landedByMachineSeeds,
        };
      }),
      response: {
        landed: new Float64Array(landed[0]?.length ?? 0),
        ledger: { ...EMPTY_LEDGER, carriedInSeeds: 1, leftInMachineSeeds: 1 },
      },
      directionShare: null,
    };
    return done(given);
  },
};

export const firstLookSteps: Readonly<Record<StepId, Step>> = {
  ...steps,
  'harvest-path': noPath,
  'movement-own': seedStays,
};
