/**
 * Per field, season and case: what seed that rides in aboard the combine costs the field over the planning horizon, under current
 * practice. It falls where the machine would lay it, on the bank that lies there already; the more comes in, the less each further
 * seed adds.
 */
import { type BankProjection, projectBanks } from '../../agronomy/seedbank-projection.ts';
import { yieldLossFraction } from '../../agronomy/yield-loss.ts';
import type { Farm, Program } from '../../model/farm.ts';
import { speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { Scope } from '../step.ts';
import type { BankStart } from './bank-start.ts';
import type { FieldGround } from './field.ts';
import type { MovementOwn } from './movement-own.ts';
import type { ProgramEffect, WeedYear } from './program-effect.ts';
import { moneyOfLoss, type YearPlan, yearsOf } from './seedbank.ts';
import type { FieldZones } from './zones.ts';

export interface SeedWorth {
  readonly species: readonly string[];
  /** Seeds that come in lodged, rising. */
  readonly seeds: readonly number[];
  /** Present value of the yield that so many seeds of one species cost, money; one array a species. null where a price is missing. */
  readonly money: readonly (readonly number[])[] | null;
}

interface Settings {
  readonly program: Program;
  readonly species: readonly string[];
  readonly years: readonly YearPlan[];
  readonly discountFraction: number;
}

/** Half a decade apart: from a handful to more than a machine holds. */
const AMOUNTS: readonly number[] = Array.from({ length: 17 }, (_, k) => 10 ** (2 + k / 2));
/** Cells that get less than this share of the seed are one. */
const BINS_A_DECADE = 6;
const LEAST_SHARE_PER_M2 = 1e-12;

export const seedWorthStep = defineStep<Settings, SeedWorth>({
  id: 'seed-worth',
  title: 'What seed brought in costs a field',
  version: 1,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings: (farm: Farm, scope: Scope) => ({
    program: farm.programs.find((one) => one.id === 'as-now')!,
    species: speciesOf(farm),
    years: yearsOf(farm, scope),
    discountFraction: farm.planning.discountFraction,
  }),
  parameters: () => ['seedbank.enteringFraction'],
  needs(_farm, scope) {
    const place = { field: scope.field!, season: scope.season! };
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      own: { step: 'movement-own', scope },
      start: { step: 'bank-start', scope },
      effect: { step: 'program-effect', scope: { ...place, program: 'as-now', case: scope.case! } },
      zones: { step: 'zones', scope: place },
    };
  },
  *run({ settings, needs, p }) {
    yield [0, 1];
    const start = needs['start'] as BankStart;
    const { species, years } = settings;
    if (years.some((one) => one.priceKg === null)) return done({ species, seeds: AMOUNTS, money: null });
    const zonal = settings.program.passes.some((pass) => pass.where === 'zones');
    const ground = groundOf(needs['field'] as FieldGround, start, needs['own'] as MovementOwn, {
      zoneOfCell: zonal ? (needs['zones'] as FieldZones).zoneOfCell : null,
    });
    const { crops } = needs['effect'] as ProgramEffect;
    const entering = p['seedbank.enteringFraction']!;
    const sides = ([false, true] as const).map((inZone) => {
      const pieces = ground.filter((one) => one.inZone === inZone);
      return {
        pieces,
        weeds: years.map(({ crop }) => (inZone ? crops[crop]!.inZone : crops[crop]!.outside) ?? []),
      };
    });
    const cost = (of: number | null, seeds: number) =>
      sides.reduce(
        (sum, side) => sum + (side.pieces.length === 0 ? 0 : lossOf(side, settings, of, seeds * entering)),
        0,
      );
    const base = cost(null, 0);
    const money: number[][] = [];
    for (let of = 0; of < species.length; of++) {
      money.push(AMOUNTS.map((seeds) => Math.max(0, cost(of, seeds) - base)));
      yield [of + 1, species.length];
    }
    return done({ species, seeds: AMOUNTS, money });
  },
});

/**
 * What so many seeds of one species cost that ride in, money: straight lines between the amounts that were worked out, so that more seed
 * never costs less, and a further one never more than the one before.
 * @returns null where a price is missing
 */
export function worthOf(worth: SeedWorth, species: number, seeds: number): number | null {
  const money = worth.money?.[species];
  if (!money) return null;
  const { seeds: amounts } = worth;
  const above = amounts.findIndex((one) => one >= seeds);
  if (above === 0) return (seeds / amounts[0]!) * money[0]!;
  if (above < 0) return money.at(-1)!;
  const [from, to] = [amounts[above - 1]!, amounts[above]!];
  return money[above - 1]! + ((seeds - from) / (to - from)) * (money[above]! - money[above - 1]!);
}

/** The mean cost of each of so many seeds; of the first one where none ride in. */
export function worthPerSeed(worth: SeedWorth, species: number, seeds: number): number | null {
  const counted = Math.max(1, seeds);
  const money = worthOf(worth, species, counted);
  return money === null ? null : money / counted;
}

/** Ground that is alike: its bank, and how much of each seed that rides in falls on a square metre of it. */
interface Piece {
  readonly areaM2: number;
  readonly bankPerM2: readonly number[];
  readonly perM2: number;
  readonly inZone: boolean;
}

function groundOf(
  field: FieldGround,
  start: BankStart,
  own: MovementOwn,
  { zoneOfCell }: { readonly zoneOfCell: Uint16Array | null },
): Piece[] {
  const cellM2 = field.grid.cellM ** 2;
  const { landed } = own.response;
  const pieces = new Map<string, { areaM2: number; seeds: number; class: number; inZone: boolean }>();
  for (let cell = 0; cell < landed.length; cell++) {
    if (field.inside[cell] !== 1) continue;
    const perM2 = landed[cell]! / cellM2;
    if (!(perM2 > LEAST_SHARE_PER_M2)) continue;
    const bin = Math.round(BINS_A_DECADE * Math.log10(perM2));
    const of = start.classOfCell ? start.classOfCell[cell]! : -1;
    const inZone = zoneOfCell !== null && zoneOfCell[cell]! > 0;
    const name = `${of} ${bin} ${inZone}`;
    const piece = pieces.get(name) ?? { areaM2: 0, seeds: 0, class: of, inZone };
    pieces.set(name, piece);
    piece.areaM2 += cellM2;
    piece.seeds += landed[cell]!;
  }
  return [...pieces.values()].flatMap(({ areaM2, seeds, class: of, inZone }) => {
    const piece = (area: number, bankPerM2: readonly number[]) => ({
      areaM2: area,
      bankPerM2,
      perM2: seeds / areaM2,
      inZone,
    });
    if (of >= 0) return start.classes[of] ? [piece(areaM2, start.classes[of].bankPerM2)] : [];
    // On a rating nobody knows where the weed stands: every kind of ground gets its share.
    return start.classes.map((one) => piece((areaM2 * one.areaM2) / start.areaM2, one.bankPerM2));
  });
}

/** Present value of the yield lost on these pieces when seed of one species is added to their banks. */
function lossOf(
  { pieces, weeds }: { readonly pieces: readonly Piece[]; readonly weeds: readonly (readonly WeedYear[])[] },
  { species, years, discountFraction }: Settings,
  added: number | null,
  seeds: number,
): number {
  const projections = species.map((_, of) =>
    projectBanks(
      Float64Array.from(pieces, (one) => one.bankPerM2[of]! + (of === added ? one.perM2 * seeds : 0)),
      weeds.map((year) => year[of]!.year),
      weeds[0]![of]!.biology,
    ),
  );
  let sum = 0;
  for (let t = 0; t < years.length; t++) {
    const money = moneyOfLoss(years[t]!) * (1 + discountFraction) ** -t;
    const lost = lossesIn(weeds[t]!, projections, t * pieces.length, pieces.length);
    for (let at = 0; at < pieces.length; at++) sum += lost[at]! * pieces[at]!.areaM2 * money;
  }
  return sum;
}

/**
 * Share of the yield lost on each piece. The most that can be lost is that of each weed by its part in the loss: where it jumped to the
 * worst weed's as soon as there was one plant of it, the first seed of a weed would cost as much as a field full.
 */
function lossesIn(
  weeds: readonly WeedYear[],
  projections: readonly BankProjection[],
  from: number,
  pieces: number,
): Float64Array {
  const lost = new Float64Array(pieces);
  for (let at = 0; at < pieces; at++) {
    let [load, ceiling] = [0, 0];
    weeds.forEach(({ I, A, competingPerSeedling, biology }, of) => {
      const one = I * biology.emergenceFraction * projections[of]!.shallowPerM2[from + at]! * competingPerSeedling;
      load += one;
      ceiling += one * A;
    });
    if (load > 0) lost[at] = yieldLossFraction(load, ceiling / load);
  }
  return lost;
}
