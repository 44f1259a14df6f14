import { type FieldPatch, fieldPatches } from '../../../shared/analysis/field-patches.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Patches drawn of a field in a season, by hand or in files. */
export function fieldPatchesQuestion(
  open: OpenFarm,
  ask: { readonly field: string; readonly season: number },
): Promise<readonly FieldPatch[]> {
  return open.inTurns((result) => fieldPatches(open.farm, ask, result));
}
