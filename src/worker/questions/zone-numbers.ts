/** The numbers of zones as they are drawn: of a field, in a season, under a program. Sums over results that the study has. */
import type { ByCase } from '../../../shared/analysis/field-numbers.ts';
import { FigureBook } from '../../../shared/analysis/formula.ts';
import type { Scope, StepId } from '../../../shared/analysis/step.ts';
import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';
import type { FieldBank } from '../../../shared/analysis/steps/seedbank.ts';
import { type FieldZoneNumbers, zoneNumbers } from '../../../shared/analysis/zone-numbers.ts';
import type { ZoneBasis } from '../../../shared/analysis/zone-sums.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { speciesOf } from '../../../shared/model/lookups.ts';
import { CASES } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface ZoneNumbersAsk {
  readonly field: string;
  readonly season: number;
  /** Whose gain and cost are told; null: none. */
  readonly program: string | null;
  readonly zones: readonly { readonly id: string; readonly area: MultiPolygon }[];
}

/** null where nobody looked at the field. */
export function zoneNumbersQuestion(open: OpenFarm, ask: ZoneNumbersAsk): FieldZoneNumbers | null {
  const basis = basisOf(open, ask);
  if (!basis) return null;
  const figures = new FigureBook();
  open.zoneFigures.set(ask.field, figures);
  return zoneNumbers(basis, ask.zones, figures);
}

function basisOf(open: OpenFarm, { field, season, program }: ZoneNumbersAsk): ZoneBasis | null {
  const ground = open.outcome<FieldGround>('field', { field });
  if (!ground) return null;
  const place = { field, season };
  const each = <T>(step: StepId, more: Scope = {}): ByCase<T> =>
    Object.fromEntries(
      CASES.map((which) => [which, open.outcome<T>(step, { ...place, ...more, case: which })]),
    ) as ByCase<T>;
  const infestations = speciesOf(open.farm).flatMap(
    (species) => open.outcome<FieldInfestation>('infestation', { ...place, species }) ?? [],
  );
  if (infestations.every((one) => one.map.basis === 'nothing')) return null;
  const chosen = open.farm.programs.find((one) => one.id === program);
  return {
    field,
    ground,
    infestations,
    loss: each('yield-loss'),
    seed: each('seed-return'),
    landed: each('landed'),
    start: each('bank-start'),
    asNow: each<FieldBank>('seedbank', { program: 'as-now' }),
    program: chosen
      ? { id: chosen.id, name: chosen.name, by: each<FieldBank>('seedbank', { program: chosen.id }) }
      : null,
  };
}
