/** Per field, program, season and case: seedbank, loss and cost over the planning horizon. */
import { presentValue } from '../../agronomy/economics.ts';
import { parameter } from '../../agronomy/parameter.ts';
import { type BankProjection, projectBanks } from '../../agronomy/seedbank-projection.ts';
import { yieldLossFraction } from '../../agronomy/yield-loss.ts';
import type { Farm, Program } from '../../model/farm.ts';
import { cropOf, expectedCrop, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { programCostPerHa } from '../program-control.ts';
import type { Scope } from '../step.ts';
import type { BankStart } from './bank-start.ts';
import type { FieldGround } from './field.ts';
import type { ProgramEffect, WeedYear } from './program-effect.ts';
import type { FieldZones } from './zones.ts';

export interface BankYear {
  readonly year: number;
  readonly crop: string;
  readonly lossFraction: number;
  readonly lossKg: number;
  /** null where the crop has no price. */
  readonly lossMoney: number | null;
  /** null where the cost of a pass is not told. */
  readonly costMoney: number | null;
  readonly plantsPerM2: number;
}

export interface WithinAndOutside<T> {
  readonly inZone: T;
  readonly outside: T;
}

export interface FieldBank {
  readonly program: string;
  /** Field mean of all species, seeds/m² in the top 5 cm: the coming spring, then each spring after; one longer than `years`. */
  readonly bankPerM2ByYear: readonly number[];
  readonly bankPerM2BySpecies: Readonly<Record<string, readonly number[]>>;
  readonly years: readonly BankYear[];
  readonly zoneAreaM2: number;
  /** Present values over the horizon; null where a price is missing. */
  readonly lossPresentValue: number | null;
  readonly costPresentValue: number | null;
  /** Mean yearly cost per hectare of the field. */
  readonly costPerHa: number | null;
  /**
   * Present value of the yield lost per m² of each bank class, within zones and outside, for gain by cell: both are told of every
   * class, whether it lies in a zone or not, so that a zone can be drawn anew and valued at once. null where a price is missing.
   */
  readonly lossPresentValuePerM2: WithinAndOutside<Float64Array> | null;
  /** The same of the program's cost, money per m²; null where the cost of a pass is not told. */
  readonly costPresentValuePerM2: WithinAndOutside<number> | null;
  /** Mean yearly cost of the program, money per m². */
  readonly costPerM2: WithinAndOutside<number> | null;
}

export interface YearPlan {
  readonly year: number;
  readonly crop: string;
  readonly priceKg: number | null;
  readonly expectedYieldKgHa: number;
}

interface Settings {
  readonly program: Program;
  readonly species: readonly string[];
  readonly years: readonly YearPlan[];
  readonly discountFraction: number;
}

export const seedbankStep = defineStep<Settings, FieldBank>({
  id: 'seedbank',
  title: 'Seedbank over the years',
  version: 2,
  per: ['field', 'season', 'program', 'case'],
  key: 'inputs',
  settings: (farm, scope) => ({
    program: farm.programs.find((one) => one.id === scope.program)!,
    species: speciesOf(farm),
    years: yearsOf(farm, scope),
    discountFraction: farm.planning.discountFraction,
  }),
  needs(_farm, scope) {
    const place = { field: scope.field!, season: scope.season! };
    return {
      effect: { step: 'program-effect', scope },
      field: { step: 'field', scope: { field: scope.field! } },
      start: { step: 'bank-start', scope: { ...place, case: scope.case! } },
      zones: { step: 'zones', scope: place },
    };
  },
  *run({ settings, needs }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const start = needs['start'] as BankStart;
    const { crops } = needs['effect'] as ProgramEffect;
    const zones = needs['zones'] as FieldZones;
    const zoneAreaM2 = zones.zones.reduce((sum, zone) => sum + zone.areaM2, 0);
    const zoneFraction = Math.min(1, zoneAreaM2 / ground.areaM2);
    const { species } = settings;

    const horizon = settings.years.length;
    const value = { inZone: new Float64Array(0), outside: new Float64Array(0) };
    const byYear = species.map(() => new Float64Array(horizon + 1));
    const lossArea = new Float64Array(horizon);
    const plantsArea = new Float64Array(horizon);
    const classes = start.classes.length;
    const areaM2 = Float64Array.from(start.classes, (one) => one.areaM2);
    const zonal = settings.program.passes.some((pass) => pass.where === 'zones');
    const areas = zonal ? areasOfClasses(start, zones, zoneFraction) : { outside: areaM2, inZone: null };
    const banks = species.map((_, index) => Float64Array.from(start.classes, (one) => one.bankPerM2[index]!));

    for (const side of zonal ? (['outside', 'inZone'] as const) : (['outside'] as const)) {
      const weeds = settings.years.map(({ crop }) => crops[crop]![side]!);
      const projections = banks.map((bank, index) =>
        projectBanks(
          bank,
          weeds.map((year) => year[index]!.year),
          weeds[0]![index]!.biology,
        ),
      );
      const area = areas[side]!;
      const worth = (value[side] = new Float64Array(classes));
      for (let t = 0; t < horizon; t++) {
        const moneyPerM2 = moneyOfLoss(settings.years[t]!) * (1 + settings.discountFraction) ** -t;
        const lost = lossesOf(weeds[t]!, projections, t * classes, classes);
        for (let at = 0; at < classes; at++) {
          lossArea[t]! += lost[at]! * area[at]!;
          worth[at]! += lost[at]! * moneyPerM2;
        }
        for (const { plantsPerM2 } of projections) plantsArea[t]! += sumOver(plantsPerM2, t * classes, area);
      }
      projections.forEach(({ shallowPerM2 }, index) => {
        for (let t = 0; t <= horizon; t++)
          byYear[index]![t]! += sumOver(shallowPerM2, t * classes, area) / start.areaM2;
      });
    }
    // A program without passes for zones does the same on either side.
    if (!zonal) value.inZone = value.outside;

    const years: BankYear[] = [];
    let priced = true;
    settings.years.forEach((plan, t) => {
      const lossFraction = lossArea[t]! / start.areaM2;
      const lossKg = lossFraction * plan.expectedYieldKgHa * (ground.areaM2 / 10_000);
      const costPerHa = programCostPerHa(settings.program, plan.crop, zoneFraction);
      const costMoney = costPerHa === null ? null : costPerHa * (ground.areaM2 / 10_000);
      if (plan.priceKg === null) priced = false;
      years.push({
        year: plan.year,
        crop: plan.crop,
        lossFraction,
        lossKg,
        lossMoney: plan.priceKg === null ? null : lossKg * plan.priceKg,
        costMoney,
        plantsPerM2: plantsArea[t]! / start.areaM2,
      });
    });
    const costs = years.map((one) => one.costMoney);
    const told = costs.every((one) => one !== null) ? (costs as number[]) : null;
    const costsPerM2 = (zoneShare: number) =>
      settings.years.map(({ crop }) => programCostPerHa(settings.program, crop, zoneShare)! / 10_000);
    return done({
      program: settings.program.id,
      bankPerM2ByYear: Array.from({ length: horizon + 1 }, (_, t) => byYear.reduce((sum, list) => sum + list[t]!, 0)),
      bankPerM2BySpecies: Object.fromEntries(species.map((name, index) => [name, [...byYear[index]!]])),
      years,
      zoneAreaM2,
      lossPresentValue: priced
        ? presentValue(
            years.map((one) => one.lossMoney!),
            settings.discountFraction,
          )
        : null,
      costPresentValue: told && presentValue(told, settings.discountFraction),
      costPerHa: told && told.reduce((sum, one) => sum + one, 0) / years.length / (ground.areaM2 / 10_000),
      lossPresentValuePerM2: priced ? value : null,
      costPresentValuePerM2: told && bothSides((share) => presentValue(costsPerM2(share), settings.discountFraction)),
      costPerM2: told && bothSides((share) => costsPerM2(share).reduce((sum, one) => sum + one, 0) / years.length),
    });
  },
});

/** Of a number that hangs on the share of the ground in zones: all of it, or none. */
function bothSides(of: (zoneShare: number) => number): WithinAndOutside<number> {
  return { inZone: of(1), outside: of(0) };
}

/** Area of each bank class within zones and outside, m². On a rating nobody knows where the weed stands: each class by the zones' share. */
function areasOfClasses(start: BankStart, zones: FieldZones, zoneFraction: number): WithinAndOutside<Float64Array> {
  const shares = new Float64Array(start.classes.length).fill(zoneFraction);
  if (start.classOfCell) {
    const all = new Uint32Array(shares.length);
    const within = new Uint32Array(shares.length);
    for (let cell = 0; cell < start.classOfCell.length; cell++) {
      const at = start.classOfCell[cell]!;
      if (at >= all.length) continue;
      all[at]!++;
      if (zones.zoneOfCell[cell]! > 0) within[at]!++;
    }
    shares.forEach((_, at) => (shares[at] = within[at]! / all[at]!));
  }
  const inZone = shares.map((share, at) => start.classes[at]!.areaM2 * share);
  return { inZone, outside: inZone.map((area, at) => start.classes[at]!.areaM2 - area) };
}

/** What a square metre without any yield loses. */
export function moneyOfLoss({ expectedYieldKgHa, priceKg }: YearPlan): number {
  return (expectedYieldKgHa / 10_000) * (priceKg ?? 0);
}

/** Share of the yield lost in each class, all weeds together; banks as they stand from index `from` on. */
function lossesOf(
  weeds: readonly WeedYear[],
  projections: readonly BankProjection[],
  from: number,
  classes: number,
): Float64Array {
  const load = new Float64Array(classes);
  const cap = new Float64Array(classes);
  weeds.forEach(({ I, A, competingPerSeedling, biology }, index) => {
    const { shallowPerM2 } = projections[index]!;
    for (let at = 0; at < classes; at++) {
      const emerged = biology.emergenceFraction * shallowPerM2[from + at]!;
      load[at]! += I * emerged * competingPerSeedling;
      if (emerged > 0 && A > cap[at]!) cap[at] = A;
    }
  });
  for (let at = 0; at < classes; at++) load[at] = load[at] === 0 ? 0 : yieldLossFraction(load[at]!, cap[at]!);
  return load;
}

function sumOver(perM2: Float64Array, from: number, areaM2: Float64Array): number {
  let sum = 0;
  for (let at = 0; at < areaM2.length; at++) sum += perM2[from + at]! * areaM2[at]!;
  return sum;
}

export function yearsOf(farm: Farm, scope: Scope): YearPlan[] {
  return Array.from({ length: farm.planning.horizonYears }, (_, t) => {
    const year = scope.season! + 1 + t;
    const { crop } = expectedCrop(farm, scope.field!, year);
    const seasons = [...farm.seasons].filter((one) => one.year <= year).sort((a, b) => b.year - a.year);
    const priced = seasons.find((one) => one.prices[crop] !== undefined);
    const grown = seasons
      .map((one) => cropOf(farm, scope.field!, one.year))
      .find((one) => one?.crop === crop && one.expectedYieldKgHa !== null);
    return {
      year,
      crop,
      priceKg: priced?.prices[crop] ?? null,
      expectedYieldKgHa: grown?.expectedYieldKgHa ?? parameter(`crop.${crop}.weedFreeYieldKgHa`).value,
    };
  });
}
