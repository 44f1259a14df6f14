/**
 * Per field, season and case: where one seed for each square meter of the field would be laid. It hangs on path and machine alone, so
 * that a rating, which spreads its seed evenly, needs no new run.
 */
import type { Ledger } from '../../harvest/ledger.ts';
import { machineParameterIds } from '../../harvest/machine-parameters.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldGround } from './field.ts';
import type { FieldHarvestPath } from './harvest-path.ts';
import { machineSettings, type MachineSettings, moveAlong, withGuest } from './movement-own.ts';

export interface MovementEven {
  /** Of one seed/m² in every cell whose centre is inside: seeds per cell, header loss included. */
  readonly one: { readonly landed: Float64Array; readonly ledger: Ledger; readonly standingSeeds: number };
  /** Of one seed that came in lodged. */
  readonly guest: { readonly landed: Float64Array; readonly ledger: Ledger };
  readonly directionShare: number | null;
}

export const movementEvenStep = defineStep<MachineSettings, MovementEven>({
  id: 'movement-even',
  title: 'Movement of seed that stands evenly',
  version: 1,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings: machineSettings,
  parameters: () => machineParameterIds(),
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    path: { step: 'harvest-path', scope: { field: scope.field!, season: scope.season! } },
  }),
  *run({ settings, needs, p }) {
    const { inside } = needs['field'] as FieldGround;
    const input = withGuest(settings, [Float64Array.from(inside)], needs, p);
    const { landed, ledgers, standingSeeds, directionShare } = yield* moveAlong(
      input,
      needs['path'] as FieldHarvestPath,
    );
    return done({
      one: { landed: landed[0]!, ledger: ledgers[0]!, standingSeeds: standingSeeds[0]! },
      guest: { landed: landed[1]!, ledger: ledgers[1]! },
      directionShare,
    });
  },
});
