/** Sums over the pieces of each zone, in one case: plants, seed, bank, yield lost now and over the years. */
import type { Case } from '../model/range.ts';
import type { ByCase } from './field-numbers.ts';
import type { Patchwork } from './patchwork.ts';
import { type BankStart, seedsOfPieces } from './steps/bank-start.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';
import type { FieldBank } from './steps/seedbank.ts';
import type { FieldYieldLoss } from './steps/yield-loss.ts';
import type { PieceShares } from './zone-pieces.ts';

/** Results of one field and season, as a study has them. */
export interface ZoneBasis {
  readonly field: string;
  readonly ground: FieldGround;
  readonly infestations: readonly FieldInfestation[];
  readonly loss: ByCase<FieldYieldLoss>;
  readonly seed: ByCase<FieldSeedReturn>;
  readonly landed: ByCase<FieldLanded>;
  readonly start: ByCase<BankStart>;
  readonly asNow: ByCase<FieldBank>;
  /** The program whose gain and cost are told; null: none is compared. */
  readonly program: { readonly id: string; readonly name: string; readonly by: ByCase<FieldBank> } | null;
}

export interface CaseSums {
  readonly plants: readonly number[];
  readonly seeds: readonly number[] | null;
  readonly bank: readonly number[] | null;
  /** Mean share of the yield lost. */
  readonly lossFraction: number | null;
  readonly lossNow: number | null;
  readonly lossThen: number | null;
  readonly cellsM2: number;
}

/** In one case: the sums of each zone, and of the ground outside. */
export function sumsOf(
  basis: ZoneBasis,
  patchwork: Patchwork,
  shares: readonly PieceShares[],
  which: Case,
): CaseSums[] {
  const [loss, seed, landed, start] = [basis.loss[which], basis.seed[which], basis.landed[which], basis.start[which]];
  const lost = loss && (loss.lossByCell ?? loss.lossByStratum);
  const classOf = start && (start.classOfCell ?? start.classOfStratum);
  const seedsOf = landed && seed && landed.species.map((_, index) => seedsOfPieces(patchwork, index, landed, seed));
  const worthNow = basis.asNow[which]?.lossPresentValuePerM2 ?? null;
  const worthThen = basis.program?.by[which]?.lossPresentValuePerM2 ?? null;
  return shares.map(({ at, areaM2 }, index): CaseSums => {
    const side = index < shares.length - 1 ? 'inZone' : 'outside';
    const sum = (perM2: (piece: number) => number): number => {
      let total = 0;
      for (let i = 0; i < at.length; i++) total += perM2(at[i]!) * areaM2[i]!;
      return total;
    };
    const overClasses = (perM2: ArrayLike<number>) => sum((piece) => perM2[classOf![piece]!] ?? 0);
    const cellsM2 = areaM2.reduce((a, b) => a + b, 0);
    const [now, then] = [worthNow?.[side] ?? null, worthThen?.[side] ?? null];
    return {
      cellsM2,
      plants: patchwork.densityPerM2.map((density) => sum((piece) => density[piece]!)),
      seeds:
        seedsOf?.map((seeds) =>
          sum((piece) => (patchwork.areaM2[piece]! > 0 ? seeds[piece]! / patchwork.areaM2[piece]! : 0)),
        ) ?? null,
      bank:
        start && classOf
          ? start.species.map((_, index) => overClasses(start.classes.map((one) => one.bankPerM2[index]!)))
          : null,
      lossFraction: lost ? (cellsM2 === 0 ? 0 : sum((piece) => lost[piece]!) / cellsM2) : null,
      lossNow: classOf && now ? overClasses(now) : null,
      lossThen: classOf && then ? overClasses(then) : null,
    };
  });
}
