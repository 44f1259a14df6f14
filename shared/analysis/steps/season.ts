/** Per field, season and case: when each weed emerged, which residual still held, and what share of the emergence was left uncovered. */
import { cohortParameters, cropEmergenceDay, type CohortShare, splitCohorts } from '../../agronomy/cohorts.ts';
import { controlByDay, coverGaps, emergenceEscapingFraction, emergenceInGapsFraction } from '../../agronomy/cover.ts';
import { dailyAirOf } from '../../agronomy/daily-air.ts';
import {
  emergenceOfSeason,
  emergenceParameters,
  northernSeason,
  type SeasonEmergence,
  type SeasonWindow,
} from '../../agronomy/emergence.ts';
import { coverBandDays, hasResidual, residualApplication, residualParameters } from '../../agronomy/residuals.ts';
import { groupOf } from '../../agronomy/sites-of-action.ts';
import { speciesIdOf } from '../../agronomy/species-names.ts';
import type { SpeciesId } from '../../agronomy/species.ts';
import type { ReadFile } from '../../import/importer.ts';
import type { Farm, OwnValue } from '../../model/farm.ts';
import { cropOf, expectedCrop, fieldOf, seasonOf, speciesOf } from '../../model/lookups.ts';
import { done, type Problem, problem } from '../../model/problem.ts';
import type { Case, Range } from '../../model/range.ts';
import type { WeatherRecords } from '../../model/records.ts';
import { type Day, dayNumber, dayNumberOf } from '../../units/calendar.ts';
import { defineStep } from '../define-step.ts';

export interface SpeciesSeason {
  readonly species: string;
  /** null where nothing at hand can tell when it emerges. */
  readonly emergence: SeasonEmergence | null;
  readonly cohorts: readonly CohortShare[];
  /** Share of this weed that the residuals stop on each day of the emergence's season; null where emergence is not known. */
  readonly control: Float64Array | null;
  /** Share of the season's emergence on days without cover, and share that lived through the residuals. */
  readonly inGapsFraction: number | null;
  readonly escapingFraction: number | null;
  readonly gapDays: number | null;
}

export interface FieldSeason {
  readonly year: number;
  readonly crop: string;
  readonly plantedDay: number;
  readonly plantedFrom: string;
  readonly cropDay: number;
  readonly cover: readonly {
    ingredient: string;
    on: Day;
    rateFraction: number;
    /** Days of cover at that rate, over the three cases. */
    days: Range;
    activation: string;
    /** Day number from which it works; null: no activating rain yet. */
    activeFromDay: number | null;
  }[];
  /** Control below which a day counts as a gap. */
  readonly coverThresholdFraction: number;
  readonly species: readonly SpeciesSeason[];
  /** Mean days from crop emergence to the emergence of what escaped after planting; absent where not known. */
  readonly escapeDelayDays: Readonly<Record<string, number>>;
}

interface Settings {
  readonly name: string;
  readonly year: number;
  readonly crop: string;
  readonly plantedOn: Day | null;
  readonly emergedOn: Day | null;
  readonly species: readonly string[];
  readonly sprayed: readonly { on: Day; ingredient: string; rateFraction: number }[];
  readonly firstSeen: Readonly<Record<string, Day>>;
  /** species → ingredient → share of the population that it still controls. */
  readonly susceptible: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly own: readonly OwnValue[];
}

/**
 * How far the mean emergence of escapes lies from the curve's in single fields: site-years around the fitted curve spread by about
 * 100 °C d either way (schutte2014, table 1: 0 to 49 % out at 300 °C d), a week in May and June. Earlier is harsher.
 */
const DELAY_SHIFT_DAYS: Readonly<Record<Case, number>> = { mild: 7, central: 0, harsh: -7 };

/** Usual planting days where none is stated (common practice, no source), and said. */
const USUAL_PLANTING: Readonly<Record<string, readonly [month: number, day: number]>> = {
  corn: [5, 1],
  soybean: [5, 10],
};

export function usualPlantingDay(crop: string, year: number): number {
  const [month, day] = USUAL_PLANTING[crop] ?? [5, 5];
  return dayNumberOf(year, month, day);
}

export const seasonStep = defineStep<Settings, FieldSeason>({
  id: 'season',
  title: 'Emergence and cover',
  version: 3,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    const year = scope.season!;
    const season = seasonOf(farm, year);
    const crop = cropOf(farm, scope.field!, year);
    const sprayed = (season?.sprayed ?? [])
      .filter((one) => one.where.field === scope.field)
      .flatMap((one) => one.parts.map((part) => ({ on: one.on, ...part })));
    const species = speciesOf(farm);
    const sightings = (season?.sightings ?? []).filter(
      (one) => one.field === scope.field && one.what === 'first emergence',
    );
    return {
      name: fieldOf(farm, scope.field!).name,
      year,
      crop: expectedCrop(farm, scope.field!, year).crop,
      plantedOn: crop?.plantedOn ?? null,
      emergedOn: crop?.emergedOn ?? null,
      species,
      sprayed,
      firstSeen: firstDays(sightings.map((one) => [speciesIdOf(one.species) ?? one.species, one.on])),
      susceptible: Object.fromEntries(
        species.map((one) => [
          one,
          Object.fromEntries(sprayed.map(({ ingredient }) => [ingredient, susceptibleFraction(farm, one, ingredient)])),
        ]),
      ),
      own: farm.ownValues,
    };
  },
  parameters(farm, scope) {
    const { crop } = expectedCrop(farm, scope.field!, scope.season!);
    const ingredients = (seasonOf(farm, scope.season!)?.sprayed ?? []).flatMap((one) =>
      one.parts.map((part) => part.ingredient),
    );
    return [
      ...new Set([
        // Also on a farm that knows no weed yet.
        'cohort.cropEmergesAfterDays',
        ...residualParameters(ingredients),
        ...speciesOf(farm).flatMap((one) => [...emergenceParameters(one as SpeciesId), ...cohortParameters(one, crop)]),
      ]),
    ];
  },
  needs(farm, scope) {
    return {
      weather: (seasonOf(farm, scope.season!)?.weather ?? []).map((file) => ({ step: 'records', scope: { file } })),
    };
  },
  optional: ['weather'],
  *run({ settings, needs, p, scope }) {
    yield [0, 1];
    const { year, crop } = settings;
    const window = northernSeason(year);
    const weather = weatherOfYear(needs['weather'] as (ReadFile | null)[], window);
    const problems: Problem[] = [];

    const plantedDay = settings.plantedOn === null ? usualPlantingDay(crop, year) : dayNumber(settings.plantedOn)!;
    const { day: cropDay } = cropEmergenceDay(
      plantedDay,
      settings.emergedOn === null ? null : dayNumber(settings.emergedOn),
      p,
    );
    const rainMm = weather ? rainByDay(weather, window.firstDay, window.days) : null;

    const residuals = settings.sprayed
      .filter((one) => hasResidual(one.ingredient))
      .map((one) => ({
        ...one,
        index: dayNumber(one.on)! - window.firstDay,
        days: coverBandDays(one.ingredient, Math.min(1, one.rateFraction), settings.own),
      }));
    const cover = residuals.map((one) => {
      const { activation, application } = residualApplication(
        one.ingredient,
        { rateFraction: Math.min(1, one.rateFraction), sprayedIndex: one.index, rainMm },
        p,
      );
      return {
        ingredient: one.ingredient,
        on: one.on,
        rateFraction: one.rateFraction,
        days: one.days,
        activation: activation.by,
        activeFromDay: application.activeFrom === null ? null : window.firstDay + application.activeFrom,
      };
    });
    const threshold = p['residual.controlThresholdFraction']!;

    const species = settings.species.map((name): SpeciesSeason => {
      const firstSeen = settings.firstSeen[name];
      const found = emergenceOfSeason(
        name as SpeciesId,
        year,
        {
          air: weather ? dailyAirOf(weather) : null,
          firstSeenDay: firstSeen === undefined ? null : dayNumber(firstSeen),
          window,
        },
        p,
      );
      if (scope.case === 'central') problems.push(...found.problems);
      if (!found.ok)
        return {
          species: name,
          emergence: null,
          cohorts: [],
          control: null,
          inGapsFraction: null,
          escapingFraction: null,
          gapDays: null,
        };
      const applications = residuals.map(
        (one) =>
          residualApplication(
            one.ingredient,
            {
              rateFraction: Math.min(1, one.rateFraction),
              sprayedIndex: one.index,
              rainMm,
              susceptibleFraction: settings.susceptible[name]![one.ingredient]!,
            },
            p,
          ).application,
      );
      const control = controlByDay(applications, new Float64Array(window.days));
      return {
        species: name,
        control,
        emergence: found.value,
        cohorts: splitCohorts(found.value, { plantedDay, cropDay, control }, { species: name, crop }, p),
        inGapsFraction: emergenceInGapsFraction(found.value.cumulative, control, threshold),
        escapingFraction: emergenceEscapingFraction(found.value.cumulative, control),
        gapDays: coverGaps(control, threshold).gapDays,
      };
    });
    const escapeDelayDays: Record<string, number> = {};
    for (const one of species) {
      const delay = escapeDelay(one.cohorts);
      if (delay !== null) escapeDelayDays[one.species] = Math.max(0, delay + DELAY_SHIFT_DAYS[scope.case!]);
    }
    if (scope.case === 'central') {
      for (const one of settings.sprayed) {
        if (one.rateFraction > 1) {
          problems.push(
            problem(
              'warning',
              'above-full-rate',
              `Field ${settings.name}: ${one.ingredient} on ${one.on} is recorded at ${one.rateFraction} of the full label rate; cover is counted at the full rate.`,
            ),
          );
        }
      }
    }
    return done(
      {
        year,
        crop,
        plantedDay,
        plantedFrom:
          settings.plantedOn === null
            ? `no planting day is stated: a usual one for ${crop} is taken (common practice, no source)`
            : 'the crop plan',
        cropDay,
        cover,
        coverThresholdFraction: threshold,
        species,
        escapeDelayDays,
      },
      problems,
    );
  },
});

/** 1 where the ingredient works on the farm's population, 0.5 doubtful, 0 fails; 1 where its group is not known. */
export function susceptibleFraction(farm: Farm, species: string, ingredient: string): number {
  const groups = farm.population[species] ?? {};
  const group = groupOf(farm, ingredient)?.group;
  const state = groups[ingredient] ?? (group === undefined ? undefined : groups[group]);
  return state === 'fails' ? 0 : state === 'doubtful' ? 0.5 : 1;
}

/** A weed seen in several places, or under several of its names, was first seen on the earliest of the days. */
function firstDays(seen: readonly (readonly [species: string, on: Day])[]): Record<string, Day> {
  const first: Record<string, Day> = {};
  for (const [species, on] of seen) if (first[species] === undefined || on < first[species]) first[species] = on;
  return first;
}

/** Mean delay of what emerged after planting, weighed by emergence that lived through residuals and to maturity; at least 0. */
function escapeDelay(cohorts: readonly CohortShare[]): number | null {
  let [sum, weight] = [0, 0];
  for (const one of cohorts) {
    if (one.cohort === 'early' || one.shareFraction === 0) continue;
    const share = one.shareFraction * (1 - one.residualControlFraction) * one.survivalFraction;
    sum += share * Math.max(0, one.meanDelayDays);
    weight += share;
  }
  return weight === 0 ? null : sum / weight;
}

/** The first of the records that holds days of the window, cut to it; null where none does. */
export function weatherOfYear(
  files: readonly (ReadFile | null)[],
  window: Pick<SeasonWindow, 'firstDay' | 'days'>,
): WeatherRecords | null {
  const records = files.flatMap((one) => (one?.records.kind === 'weather' ? [one.records as WeatherRecords] : []));
  const ofYear = records.map((one) => yearOf(one, window.firstDay, window.days));
  return ofYear.find((one) => one.day.length > 0) ?? null;
}

function yearOf(records: WeatherRecords, firstDay: number, days: number): WeatherRecords {
  let from = 0;
  while (from < records.day.length && records.day[from]! < firstDay) from++;
  let to = from;
  while (to < records.day.length && records.day[to]! < firstDay + days) to++;
  return {
    ...records,
    day: records.day.slice(from, to),
    maxC: records.maxC.slice(from, to),
    minC: records.minC.slice(from, to),
    rainMm: records.rainMm.slice(from, to),
  };
}

function rainByDay(records: WeatherRecords, firstDay: number, days: number): Float64Array {
  const rain = new Float64Array(days).fill(NaN);
  records.day.forEach((day, index) => {
    rain[day - firstDay] = records.rainMm[index]!;
  });
  return rain;
}
