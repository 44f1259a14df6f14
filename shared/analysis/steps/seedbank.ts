/** Per field, program, season and case: seedbank, loss and cost over the planning horizon. */
import { cohortParameters, cropEmergenceDay, splitCohorts } from '../../agronomy/cohorts.ts';
import { presentValue } from '../../agronomy/economics.ts';
import { parameter } from '../../agronomy/parameter.ts';
import { residualParameters } from '../../agronomy/residuals.ts';
import { NO_TILL, returnedSeedFraction } from '../../agronomy/seedbank.ts';
import { projectBanks } from '../../agronomy/seedbank-projection.ts';
import { yieldLossFraction } from '../../agronomy/yield-loss.ts';
import { machineParameterIds, machineStreams, USUAL_HEADER_M } from '../../harvest/machine-parameters.ts';
import type { Farm, Program } from '../../model/farm.ts';
import { cropOf, expectedCrop, harvestOf, machineOf, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { cohortControls, type CohortControl, programCostPerHa, residueOf } from '../program-control.ts';
import type { Scope } from '../step.ts';
import { type BankStart, CONTROL_PARAMETERS, susceptibilities, tillageOf } from './bank-start.ts';
import type { FieldGround } from './field.ts';
import { type FieldSeason, usualPlantingDay } from './season.ts';
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
  readonly lossPresentValuePerM2: WithinAndOutside<readonly number[]> | null;
  /** The same of the program's cost, money per m²; null where the cost of a pass is not told. */
  readonly costPresentValuePerM2: WithinAndOutside<number> | null;
  /** Mean yearly cost of the program, money per m². */
  readonly costPerM2: WithinAndOutside<number> | null;
}

interface YearPlan {
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
  readonly tillage: 'tilled' | 'no-till';
  readonly susceptible: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly machine: { residue: 'spread' | 'chaff-line' | 'impact-mill'; headerWidthM: number };
}

export const seedbankStep = defineStep<Settings, FieldBank>({
  id: 'seedbank',
  title: 'Seedbank over the years',
  version: 2,
  per: ['field', 'season', 'program', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    const species = speciesOf(farm);
    const program = farm.programs.find((one) => one.id === scope.program)!;
    const machine = machineOf(farm, harvestOf(farm, scope.field!, scope.season!).machine);
    return {
      program,
      species,
      years: yearsOf(farm, scope),
      discountFraction: farm.planning.discountFraction,
      tillage: tillageOf(farm, scope.field!, scope.season!),
      susceptible: susceptibilities(farm, species, [program]),
      machine: { residue: machine?.residue ?? 'spread', headerWidthM: machine?.headerWidthM ?? USUAL_HEADER_M },
    };
  },
  parameters(farm, scope) {
    const crops = [...new Set(yearsOf(farm, scope).map((one) => one.crop))];
    const tillage = tillageOf(farm, scope.field!, scope.season!);
    const ingredients = farm.programs
      .find((one) => one.id === scope.program)!
      .passes.flatMap((pass) => pass.parts.map((part) => part.ingredient));
    const perSpecies = (name: string) => [
      `${name}.seedbank.survival.${tillage}`,
      `${name}.seedbank.emergenceFraction`,
      ...crops.flatMap((crop) => [
        `${name}.yieldLoss.${crop}.I`,
        `${name}.yieldLoss.${crop}.A`,
        `${name}.seedProduction.${crop}.perPlant`,
        `${name}.seedProduction.${crop}.maxPerArea`,
        ...cohortParameters(name, crop),
      ]),
    ];
    return [
      ...new Set([
        'seedbank.enteringFraction',
        'seedbank.fatalPerSeedling',
        'seedRetention.undatedFraction',
        'cohort.lateAfterDays',
        'cohort.cropEmergesAfterDays',
        ...CONTROL_PARAMETERS,
        ...machineParameterIds(),
        ...residualParameters(ingredients),
        ...speciesOf(farm).flatMap(perSpecies),
      ]),
    ];
  },
  needs(_farm, scope) {
    const place = { field: scope.field!, season: scope.season! };
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      start: { step: 'bank-start', scope: { ...place, case: scope.case! } },
      season: { step: 'season', scope: { ...place, case: scope.case! } },
      zones: { step: 'zones', scope: place },
    };
  },
  *run({ settings, needs, p }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const start = needs['start'] as BankStart;
    const season = needs['season'] as FieldSeason;
    const zones = needs['zones'] as FieldZones;
    const zoneAreaM2 = zones.zones.reduce((sum, zone) => sum + zone.areaM2, 0);
    const zoneFraction = Math.min(1, zoneAreaM2 / ground.areaM2);
    const { species } = settings;

    const areaOf = areasOfClasses(start, zones, zoneFraction);
    const years: BankYear[] = [];
    const value = { inZone: start.classes.map(() => 0), outside: start.classes.map(() => 0) };
    const byYear = species.map(() => new Array<number>(settings.years.length + 1).fill(0));
    const lossArea = settings.years.map(() => 0);
    const plantsArea = settings.years.map(() => 0);
    let priced = true;

    // A program without passes for zones does the same on either side: computed once.
    const zonal = settings.program.passes.some((pass) => pass.where === 'zones');
    const sides = zonal ? (['outside', 'inZone'] as const) : (['outside'] as const);
    for (const side of sides) {
      // A year's model depends on its crop alone: made once a crop.
      const made = new Map<string, SpeciesYear[]>();
      const models = settings.years.map((plan) => {
        const inZone = side === 'inZone';
        const known =
          made.get(plan.crop) ?? species.map((name) => speciesYear(settings, plan, season, name, inZone, p));
        made.set(plan.crop, known);
        return known;
      });
      const projections = species.map((_, index) =>
        projectBanks(
          Float64Array.from(start.classes, (one) => one.bankPerM2[index]!),
          models.map((year) => year[index]!.year),
          models[0]![index]!.biology,
        ),
      );
      const areas = start.classes.map(({ areaM2 }, at) => (zonal ? areaOf[side][at]! : areaM2));
      settings.years.forEach((plan, t) => {
        const moneyPerM2 =
          (plan.expectedYieldKgHa / 10_000) * (plan.priceKg ?? 0) * (1 + settings.discountFraction) ** -t;
        areas.forEach((areaM2, at) => {
          const place = t * areas.length + at;
          let [load, cap] = [0, 0];
          models[t]!.forEach((model, index) => {
            const { shallowPerM2, plantsPerM2 } = projections[index]!;
            const emerged = model.biology.emergenceFraction * shallowPerM2[place]!;
            plantsArea[t]! += plantsPerM2[place]! * areaM2;
            load += model.I * emerged * model.competingPerSeedling;
            if (emerged > 0) cap = Math.max(cap, model.A);
          });
          const lost = load === 0 ? 0 : yieldLossFraction(load, cap);
          lossArea[t]! += lost * areaM2;
          value[side][at]! += lost * moneyPerM2;
        });
      });
      projections.forEach(({ shallowPerM2 }, index) => {
        byYear[index]!.forEach((_, t) => {
          areas.forEach((areaM2, at) => {
            byYear[index]![t]! += (shallowPerM2[t * areas.length + at]! * areaM2) / start.areaM2;
          });
        });
      });
    }
    if (!zonal) value.inZone = value.outside;

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
      bankPerM2ByYear: byYear[0]?.map((_, t) => byYear.reduce((sum, list) => sum + list[t]!, 0)) ?? [],
      bankPerM2BySpecies: Object.fromEntries(species.map((name, index) => [name, byYear[index]!])),
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

type SpeciesYear = ReturnType<typeof speciesYear>;

/** Of a number that hangs on the share of the ground in zones: all of it, or none. */
function bothSides(of: (zoneShare: number) => number): WithinAndOutside<number> {
  return { inZone: of(1), outside: of(0) };
}

/** Area of each bank class within zones and outside, m². On a rating nobody knows where the weed stands: each class by the zones' share. */
function areasOfClasses(start: BankStart, zones: FieldZones, zoneFraction: number): WithinAndOutside<number[]> {
  const inZone = start.classes.map(({ areaM2 }) => (start.classOfCell ? 0 : areaM2 * zoneFraction));
  if (start.classOfCell) {
    const cells = start.classes.map(() => [0, 0]);
    start.classOfCell.forEach((at, cell) => at < cells.length && cells[at]![zones.inZone[cell]!]!++);
    cells.forEach(([without, within], at) => {
      inZone[at] = (start.classes[at]!.areaM2 * within!) / (without! + within!);
    });
  }
  return { inZone, outside: start.classes.map(({ areaM2 }, at) => areaM2 - inZone[at]!) };
}

/** One species in one year: what the projection needs, and how its cohorts compete. */
function speciesYear(
  settings: Settings,
  plan: YearPlan,
  season: FieldSeason,
  name: string,
  inZone: boolean,
  p: Readonly<Record<string, number>>,
) {
  const { crop } = plan;
  const emergence = season.species.find((one) => one.species === name)?.emergence ?? null;
  const plantedDay = crop === season.crop ? season.plantedDay : usualPlantingDay(crop, season.year);
  const { day: cropDay } = cropEmergenceDay(plantedDay, crop === season.crop ? season.cropDay : null, p);
  const cohorts = emergence
    ? splitCohorts(emergence, { plantedDay, cropDay }, { species: name, crop }, p)
    : [
        {
          cohort: 'with the crop' as const,
          shareFraction: 1,
          relativeFecundity: 1,
          survivalFraction: 1,
          relativeCompetition: 1,
        },
      ];
  const controls: readonly CohortControl[] = cohortControls(
    {
      program: settings.program,
      crop,
      species: name,
      inZone,
      emergence,
      plantedDay,
      cropDay,
      lateFromDay: cropDay + p['cohort.lateAfterDays']!,
      susceptible: (ingredient) => settings.susceptible[name]?.[ingredient] ?? 1,
    },
    p,
  );
  const of = (cohort: string) => controls.find((one) => one.cohort === cohort)!;
  const emergenceFraction = p[`${name}.seedbank.emergenceFraction`]!;
  const fatalGerminationFraction = p['seedbank.fatalPerSeedling']!;
  const survival = p[`${name}.seedbank.survival.${settings.tillage}`]!;
  const seedsPerPlant = p[`${name}.seedProduction.${crop}.perPlant`]!;
  const shallow = Math.min(1, survival / (1 - emergenceFraction * (1 + fatalGerminationFraction)));
  const emerging = cohorts.reduce((sum, one) => sum + one.shareFraction, 0);
  const year = {
    cohorts: cohorts.map((one) => ({
      // g is of the whole year: what a season's window leaves out emerges like the rest.
      share: one.shareFraction / emerging,
      residualControl: of(one.cohort).residual,
      postControl: of(one.cohort).post,
      survival: one.survivalFraction,
      relativeFecundity: one.relativeFecundity,
    })),
    seedsPerPlant,
    crowding: seedsPerPlant / p[`${name}.seedProduction.${crop}.maxPerArea`]!,
    returnedFraction: returnedFraction(settings, crop, p),
    broughtInPerM2: 0,
  };
  return {
    I: p[`${name}.yieldLoss.${crop}.I`]!,
    A: p[`${name}.yieldLoss.${crop}.A`]!,
    /** Plants per seedling, each weighed by how it competes with the crop. */
    competingPerSeedling: year.cohorts.reduce(
      (sum, one, index) =>
        sum +
        one.share *
          (1 - one.residualControl) *
          (1 - one.postControl) *
          one.survival *
          cohorts[index]!.relativeCompetition,
      0,
    ),
    biology: {
      emergenceFraction,
      survivalShallow: shallow,
      survivalDeep: shallow,
      fatalGerminationFraction,
      tillage: NO_TILL,
      enteringFraction: p['seedbank.enteringFraction']!,
    },
    year,
  };
}

/**
 * Share of the seed produced that comes back to the field's ground: shed before harvest, header loss, and what the machine lets
 * out that no mill destroyed. The closed form of the movement's ledger with nothing left standing or carried off.
 */
function returnedFraction(settings: Settings, crop: string, p: Readonly<Record<string, number>>): number {
  const residue = residueOf(settings.program, crop) ?? settings.machine.residue;
  const machine = machineStreams(
    { residue, headerWidthM: settings.machine.headerWidthM, chaffWidthM: null, strawWidthM: null },
    p,
  );
  const retained = p['seedRetention.undatedFraction']!;
  const thrown = machine.streams.reduce(
    (sum, stream) =>
      sum + (stream.exit === 'tank' ? 0 : stream.share * (stream.milled ? 1 - machine.millKillFraction : 1)),
    0,
  );
  return returnedSeedFraction(retained, machine.headerLossFraction + (1 - machine.headerLossFraction) * thrown);
}

function yearsOf(farm: Farm, scope: Scope): YearPlan[] {
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
