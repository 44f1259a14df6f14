/**
 * Per field, program, season and case: what a program lets live of each weed in each crop of the horizon, within zones and outside.
 * It hangs on no bank: where seed falls, it need not be made again.
 */
import { cohortParameters, cropEmergenceDay, splitCohorts } from '../../agronomy/cohorts.ts';
import { residualParameters } from '../../agronomy/residuals.ts';
import { NO_TILL, returnedSeedFraction, type SeedbankBiology, type SeedbankYear } from '../../agronomy/seedbank.ts';
import { machineParameterIds, machineStreams, USUAL_HEADER_M } from '../../harvest/machine-parameters.ts';
import type { Farm, Program } from '../../model/farm.ts';
import { expectedCrop, harvestOf, machineOf, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { cohortControls, type CohortControl, residueOf } from '../program-control.ts';
import type { Scope } from '../step.ts';
import { CONTROL_PARAMETERS, susceptibilities, tillageOf } from './bank-start.ts';
import { type FieldSeason, usualPlantingDay } from './season.ts';

/** One weed in a year of one crop: what the projection of its bank needs, and how it competes. */
export interface WeedYear {
  /** Loss a plant/m² where that is small, and the most that can be lost, per cent. */
  readonly I: number;
  readonly A: number;
  /** Plants per seedling, each weighed by how it competes with the crop. */
  readonly competingPerSeedling: number;
  readonly biology: SeedbankBiology;
  readonly year: SeedbankYear;
}

export interface ProgramEffect {
  /** One weed year a species, in the order of the farm's species. A program without passes for zones does the same on either side. */
  readonly crops: Readonly<
    Record<string, { readonly outside: readonly WeedYear[]; readonly inZone: readonly WeedYear[] | null }>
  >;
}

interface Settings {
  readonly program: Program;
  readonly species: readonly string[];
  readonly crops: readonly string[];
  readonly tillage: 'tilled' | 'no-till';
  readonly susceptible: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly machine: { residue: 'spread' | 'chaff-line' | 'impact-mill'; headerWidthM: number };
}

export const programEffectStep = defineStep<Settings, ProgramEffect>({
  id: 'program-effect',
  title: 'What each program lets live',
  version: 1,
  per: ['field', 'season', 'program', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    const species = speciesOf(farm);
    const program = programOf(farm, scope);
    const machine = machineOf(farm, harvestOf(farm, scope.field!, scope.season!).machine);
    return {
      program,
      species,
      crops: cropsOf(farm, scope),
      tillage: tillageOf(farm, scope.field!, scope.season!),
      susceptible: susceptibilities(farm, species, [program]),
      machine: { residue: machine?.residue ?? 'spread', headerWidthM: machine?.headerWidthM ?? USUAL_HEADER_M },
    };
  },
  parameters(farm, scope) {
    const tillage = tillageOf(farm, scope.field!, scope.season!);
    const ingredients = programOf(farm, scope).passes.flatMap((pass) => pass.parts.map((part) => part.ingredient));
    const perSpecies = (name: string) => [
      `${name}.seedbank.survival.${tillage}`,
      `${name}.seedbank.emergenceFraction`,
      ...cropsOf(farm, scope).flatMap((crop) => [
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
  needs: (_farm, scope) => ({
    season: { step: 'season', scope: { field: scope.field!, season: scope.season!, case: scope.case! } },
  }),
  *run({ settings, needs, p }) {
    yield [0, 1];
    const season = needs['season'] as FieldSeason;
    const zonal = settings.program.passes.some((pass) => pass.where === 'zones');
    const weeds = (crop: string, inZone: boolean) =>
      settings.species.map((name) => weedYear(settings, crop, season, name, inZone, p));
    return done({
      crops: Object.fromEntries(
        settings.crops.map((crop) => [crop, { outside: weeds(crop, false), inZone: zonal ? weeds(crop, true) : null }]),
      ),
    });
  },
});

/** Crops of the years of the horizon, in the order of their first coming. */
function cropsOf(farm: Farm, scope: Scope): string[] {
  const years = Array.from({ length: farm.planning.horizonYears }, (_, t) => scope.season! + 1 + t);
  return [...new Set(years.map((year) => expectedCrop(farm, scope.field!, year).crop))];
}

function programOf(farm: Farm, scope: Scope): Program {
  return farm.programs.find((one) => one.id === scope.program)!;
}

function weedYear(
  settings: Settings,
  crop: string,
  season: FieldSeason,
  name: string,
  inZone: boolean,
  p: Readonly<Record<string, number>>,
): WeedYear {
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
