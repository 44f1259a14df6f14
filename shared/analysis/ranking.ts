/** The ranked list before the rest: what it says hangs on central biology alone, and is the same when all three cases are told. */
import { type FieldAbout, fieldAreaM2, introduceField } from './field-about.ts';
import type { FieldFacts } from './field-facts.ts';
import { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { Want } from './remembered.ts';
import type { RunnerProgress } from './runner.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldBank } from './steps/seedbank.ts';
import { reasonInWords } from './words.ts';

/** As in the field's study: none of it changes when the study is complete. */
export interface RankedField extends FieldAbout {
  readonly why: string;
}

export interface Ranking {
  readonly season: number;
  /** A first look: no log is read yet, and all seed is taken to have come down where it grew. The order may change when they are. */
  readonly seedStays: boolean;
  /** Maps of some counts are quick looks: their chains still run. */
  readonly quickMaps: boolean;
  /** First to treat on top, then the fields nobody looked at: as in the study. */
  readonly fields: readonly RankedField[];
}

/** null where the field has no ground. */
export function* rankField(facts: FieldFacts, want: Want): Generator<RunnerProgress, RankedField | null, void> {
  const place = { field: facts.field.id, season: facts.season!, case: 'central' } as const;
  const ground = yield* want<FieldGround>('field', place);
  if (!ground) return null;
  const figures = new FigureBook();
  const areaM2 = fieldAreaM2(facts, ground, figures);
  const { about, seen } = yield* introduceField(facts, areaM2, figures, want);
  const landed = yield* want<FieldLanded>('landed', place);
  const now = seen ? yield* want<FieldBank>('seedbank', { ...place, program: 'as-now' }) : null;
  const stake = now?.lossPresentValue ?? null;
  const why = reasonInWords(facts, about, {
    carriedInSeeds: landed?.carriedInSeeds ?? null,
    landedSeeds: seen && landed ? landed.ledger.headerLossSeeds + landed.ledger.landedByMachineSeeds : null,
    stakePerHa: stake === null ? null : FORMULAS.perHectare.compute({ x: stake, A: areaM2 }),
  });
  return { ...about, why };
}

/** First to treat on top, then where to look first, then the largest. */
export function inOrder<T extends Pick<FieldAbout, 'rank' | 'lookRank' | 'areaM2'>>(fields: readonly T[]): T[] {
  return [...fields].sort(
    (a, b) =>
      (a.rank ?? Infinity) - (b.rank ?? Infinity) ||
      (a.lookRank ?? Infinity) - (b.lookRank ?? Infinity) ||
      b.areaM2 - a.areaM2,
  );
}
