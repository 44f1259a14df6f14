import type { FieldMachineLoad } from '../../../shared/analysis/steps/machine-load.ts';
import type { Case } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Along the points of the field's `harvest path`; null where there is none. */
export function machineLoadQuestion(
  open: OpenFarm,
  { field, season, case: which }: { readonly field: string; readonly season: number; readonly case: Case },
): FieldMachineLoad | null {
  return structuredClone(open.outcome<FieldMachineLoad>('machine-load', { field, season, case: which }));
}
