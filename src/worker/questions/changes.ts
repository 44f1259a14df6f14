import {
  type ChangeAsk,
  type FieldChange,
  fieldChange,
  type WeedOverRounds,
  weedOverRounds,
} from '../../../shared/analysis/changes.ts';
import type { OpenFarm } from '../open-farm.ts';

/** A weed on every field in every round. */
export function weedOverRoundsQuestion(open: OpenFarm, ask: { readonly species: string }): WeedOverRounds {
  return weedOverRounds(open.farm, ask.species, (step, scope) => open.outcome(step, scope));
}

/** What became of a weed on a field between two rounds; null where one of them is not there. */
export function changeBetweenQuestion(open: OpenFarm, ask: ChangeAsk): FieldChange | null {
  const has = (id: string) => open.farm.rounds.some((one) => one.id === id);
  if (!has(ask.earlier) || !has(ask.later)) return null;
  return fieldChange(open.farm, ask, (step, scope) => open.outcome(step, scope));
}
