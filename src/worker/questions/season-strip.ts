import { type ClosedDays, closedDays } from '../../../shared/agronomy/re-entry.ts';
import { northernSeason } from '../../../shared/agronomy/emergence.ts';
import { speciesIdOf } from '../../../shared/agronomy/species-names.ts';
import { reEntryOf } from '../../../shared/analysis/field-closed.ts';
import { type SeasonByCase, speciesStrip, type SpeciesStrip } from '../../../shared/analysis/season-strip.ts';
import type { HarvestFacts } from '../../../shared/analysis/steps/harvest-facts.ts';
import type { FieldScouting } from '../../../shared/analysis/steps/scouting.ts';
import { type FieldSeason, weatherOfYear } from '../../../shared/analysis/steps/season.ts';
import type { ReadFile } from '../../../shared/import/importer.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { cropOf, harvestOf, roundsOf, seasonOf, speciesOf } from '../../../shared/model/lookups.ts';
import { type Case, CASES, foldCases, type Range } from '../../../shared/model/range.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Days are day numbers since 1970-01-01; arrays have one element a day of the season. */
export interface FieldStrip {
  readonly field: string;
  readonly year: number;
  readonly firstDay: number;
  readonly days: number;
  readonly crop: string;
  readonly plantedDay: number;
  /** False: no planting day is on record, a usual one is taken. */
  readonly plantedStated: boolean;
  readonly plantedFrom: string;
  readonly cropDay: Range;
  /** NaN is missing; null without a record of that year. */
  readonly weather: { readonly maxC: Float32Array; readonly minC: Float32Array; readonly rainMm: Float32Array } | null;
  readonly sprayings: readonly StripSpraying[];
  /** Rounds in which somebody looked at this field. */
  readonly rounds: readonly { readonly id: string; readonly fromDay: number; readonly toDay: number }[];
  readonly sightings: readonly {
    readonly species: string;
    readonly day: number;
    readonly what: 'first emergence' | 'tallest';
    readonly heightMm: number | null;
  }[];
  readonly harvestDay: number | null;
  readonly coverThresholdFraction: number;
  /** Weeds whose emergence can be told. */
  readonly species: readonly SpeciesStrip[];
}

export interface StripSpraying {
  readonly day: number;
  readonly parts: readonly {
    readonly ingredient: string;
    /** Share of the full label rate. */
    readonly rateFraction: number;
    /** Days of cover; null: nothing is known of it as a residual. */
    readonly coverDays: Range | null;
    /** In the central case; null: not yet, or no residual. */
    readonly activeFromDay: number | null;
    readonly activation: string | null;
  }[];
  /** null: neither the record nor a typed label says it. */
  readonly closed: (ClosedDays & { readonly hours: number; readonly from: string }) | null;
}

/** null where the field has no ground or season. */
export function seasonStripQuestion(
  open: OpenFarm,
  { field, season }: { readonly field: string; readonly season: number },
): FieldStrip | null {
  const { farm } = open;
  const found = CASES.map((which) => open.outcome<FieldSeason>('season', { field, season, case: which }));
  const [mild, central, harsh] = found;
  if (!mild || !central || !harsh) return null;
  const byCase: SeasonByCase = { mild, central, harsh };
  const { firstDay, days } = northernSeason(season);
  return {
    field,
    year: season,
    firstDay,
    days,
    crop: central.crop,
    plantedDay: central.plantedDay,
    plantedStated: (cropOf(farm, field, season)?.plantedOn ?? null) !== null,
    plantedFrom: central.plantedFrom,
    cropDay: foldCases(
      Object.fromEntries(CASES.map((which) => [which, byCase[which].cropDay])) as Record<Case, number>,
    ),
    weather: weatherIn(open, season, firstDay, days),
    sprayings: sprayingsOn(farm, field, season, central),
    rounds: roundsOf(farm, season)
      .filter((round) => lookedAt(open, field, round.id))
      .map(({ id, from, to }) => ({ id, fromDay: dayNumber(from)!, toDay: dayNumber(to)! })),
    sightings: (seasonOf(farm, season)?.sightings ?? [])
      .filter((one) => one.field === field)
      .map((one) => ({
        species: speciesIdOf(one.species) ?? one.species,
        day: dayNumber(one.on)!,
        what: one.what,
        heightMm: one.heightMm ?? null,
      })),
    harvestDay: harvestDayOf(open, field, season),
    coverThresholdFraction: central.coverThresholdFraction,
    species: speciesOf(farm).flatMap((one) => speciesStrip(byCase, one) ?? []),
  };
}

function weatherIn(open: OpenFarm, season: number, firstDay: number, days: number): FieldStrip['weather'] {
  const files = (seasonOf(open.farm, season)?.weather ?? []).map((file) => open.outcome<ReadFile>('records', { file }));
  const records = weatherOfYear(files, { firstDay, days });
  if (!records) return null;
  const byDay = (values: Float64Array) => {
    const out = new Float32Array(days).fill(NaN);
    records.day.forEach((day, index) => (out[day - firstDay] = values[index]!));
    return out;
  };
  return { maxC: byDay(records.maxC), minC: byDay(records.minC), rainMm: byDay(records.rainMm) };
}

function sprayingsOn(farm: Farm, field: string, season: number, central: FieldSeason): StripSpraying[] {
  const sprayed = (seasonOf(farm, season)?.sprayed ?? []).filter((one) => one.where.field === field);
  return sprayed
    .map(({ on, parts, reentryHours }): StripSpraying => {
      const reentry = reEntryOf(farm, parts, reentryHours);
      return {
        day: dayNumber(on)!,
        parts: parts.map(({ ingredient, rateFraction }) => {
          const cover = central.cover.find((one) => one.on === on && one.ingredient === ingredient);
          return {
            ingredient,
            rateFraction,
            coverDays: cover?.days ?? null,
            activeFromDay: cover?.activeFromDay ?? null,
            activation: cover?.activation ?? null,
          };
        }),
        closed: reentry && { ...closedDays(on, reentry.hours), ...reentry },
      };
    })
    .sort((a, b) => a.day - b.day);
}

function lookedAt(open: OpenFarm, field: string, round: string): boolean {
  return (open.outcome<FieldScouting>('scouting', { field, round })?.species.length ?? 0) > 0;
}

function harvestDayOf(open: OpenFarm, field: string, season: number): number | null {
  const { startedOn } = harvestOf(open.farm, field, season);
  if (startedOn !== null) return dayNumber(startedOn);
  const startS = open.outcome<HarvestFacts>('harvest-facts', { field, season })?.startS ?? null;
  return startS === null ? null : Math.floor((startS + open.farm.utcOffsetMinutes * 60) / 86400);
}
