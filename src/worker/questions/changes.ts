import {
  type ChangeAsk,
  type FieldChange,
  fieldChange,
  type WeedOverRounds,
  weedOverRounds,
} from '../../../shared/analysis/changes.ts';
import type { OpenFarm } from '../open-farm.ts';

/** A weed on every field in every round. */
export function weedOverRoundsQuestion(open: OpenFarm, ask: { readonly species: string }): Promise<WeedOverRounds> {
  return open.inTurns((result) => weedOverRounds(open.farm, ask.species, result));
}

/** What became of a weed on a field between two rounds; null where one of them is not there. */
export async function changeBetweenQuestion(open: OpenFarm, ask: ChangeAsk): Promise<FieldChange | null> {
  const has = (id: string) => open.farm.rounds.some((one) => one.id === id);
  if (!has(ask.earlier) || !has(ask.later)) return null;
  return open.inTurns((result) => fieldChange(open.farm, ask, result));
}
