/** The truth that was planted, kept: what any answer about the sample farm can be held against. */
import { harvest, type Aboard, type Harvested, type SeedLedger } from './combine.ts';
import { Draws } from './draws.ts';
import { driveOver, HEADER_M } from './drive.ts';
import { dayNumber } from '../shared/units/calendar.ts';
import { FLOW_NOISE_FRACTION } from './harvest-log.ts';
import { HARVEST_ORDER, type CropId, type Evidence, type SampleField } from './layout.ts';
import { withFaults, type FaultyOrder, type PlantedFault } from './log-faults.ts';
import { logPath, US_LOG } from './log-names.ts';
import { CLUMPING_K } from './scouting.ts';
import { COMBINE } from './seed-fate.ts';
import { laterBy, seasonOf } from './seasons.ts';
import type { Grid } from './soil-raster.ts';
import { bySpecies, standOf, sumOver, type BySpecies } from './stand.ts';
import { BIOLOGY, PATCHES, SPECIES, type Biology, type Patch, type SpeciesId } from './weeds.ts';

export const THRESHOLDS_PER_M2 = [0.1, 0.5, 1, 2, 5] as const;

export interface LogTruth {
  readonly file: string;
  readonly units: 'metric' | 'us';
  /** Pure delay, then a first-order store. */
  readonly delayS: number;
  readonly mixingS: number;
  /** What a search should find: delay and mixing, less half a record, since a record tells the mean of the second that follows it. */
  readonly apparentDelayS: number;
  readonly flowNoiseFraction: number;
  readonly records: number;
  readonly startUnixS: number;
  readonly faults: readonly PlantedFault[];
}

export interface SpeciesTruth {
  readonly plants: number;
  /** m² with at least so many plants/m², in the order of THRESHOLDS_PER_M2. */
  readonly infestedM2: readonly number[];
  readonly produced: number;
  readonly keptFraction: number;
  readonly ledger: SeedLedger;
  readonly biology: Biology;
  /** Day on which most survivors emerged. */
  readonly emergedOn: string;
}

export interface FieldTruth {
  readonly id: string;
  readonly name: string;
  readonly crop: CropId;
  readonly areaM2: number;
  readonly evidence: Evidence;
  readonly places: number;
  readonly patches: readonly Patch[];
  readonly species: BySpecies<SpeciesTruth>;
  readonly harvestedOn: string;
  readonly grainKg: number;
  readonly weedFreeGrainKg: number;
  readonly cutM2: number;
  readonly log: LogTruth | null;
}

/** A field's truth cell by cell: row by row from the south-west, 5 m; 0 outside the field. */
export interface FieldMaps {
  readonly grid: Grid;
  readonly insideM2: Float64Array;
  readonly plantsPerM2: BySpecies<Float64Array>;
  readonly onPlantPerM2: BySpecies<Float64Array>;
  readonly landedPerM2: BySpecies<Float64Array>;
  readonly yieldKgM2: Float64Array;
}

/** All that one field's harvest needs for its truth and for its log. */
export interface Planted {
  readonly field: SampleField;
  readonly truth: FieldTruth;
  readonly maps: FieldMaps;
  readonly harvested: Harvested;
  readonly order: FaultyOrder | null;
}

/** Fields in the order of the combine, one at a time: what one lets go is carried to the next. */
export function* plantedFields(): Generator<Planted, void, void> {
  let aboard: Aboard = bySpecies(() => 0);
  for (const [visit, field] of HARVEST_ORDER.entries()) {
    const planted = plant(field, visit, aboard);
    aboard = planted.harvested.aboard;
    yield planted;
  }
}

function plant(field: SampleField, visit: number, aboard: Aboard): Planted {
  const draws = new Draws(`log ${field.id}`);
  const season = seasonOf(field, 2026);
  const corn = season.crop === 'corn';
  const stand = standOf(field);
  const sensor = {
    delayS: 10.5 + 0.25 * draws.whole(-2, 4),
    mixingS: draws.between(2.4, 3.2),
    moistureFraction: corn ? draws.between(0.165, 0.21) : draws.between(0.112, 0.135),
    marketMoistureFraction: corn ? 0.155 : 0.13,
    speedMS: field.harvest.speedMS,
  };
  const harvested = harvest(field.id, driveOver(field, new Draws(`drive ${field.id}`)), stand, sensor, aboard);
  const order = field.harvest.log
    ? withFaults(
        harvested.trace,
        { gapS: visit % 4 === 1 ? 30 : 0, swaps: visit % 5 === 2 ? 3 : 0 },
        new Draws(`faults ${field.id}`),
      )
    : null;
  const { insideM2, grid } = stand.raster;
  const species = bySpecies((one: SpeciesId): SpeciesTruth => {
    const plants = stand.plantsPerM2[one];
    const biology = BIOLOGY[season.crop][one];
    return {
      plants: sumOver(plants, insideM2),
      infestedM2: infestedM2(plants, insideM2),
      produced: sumOver(stand.producedPerM2[one], insideM2),
      keptFraction: stand.keptFraction[one],
      ledger: harvested.ledger[one],
      biology,
      emergedOn: laterBy(season.emergedOn, biology.lateDays),
    };
  });
  const log: LogTruth | null = order && {
    file: logPath(field),
    units: field.name === US_LOG ? 'us' : 'metric',
    delayS: sensor.delayS,
    mixingS: sensor.mixingS,
    apparentDelayS: sensor.delayS + sensor.mixingS - 0.5,
    flowNoiseFraction: FLOW_NOISE_FRACTION,
    records: order.second.length,
    startUnixS: dayNumber(field.harvest.on)! * 86400 + field.harvest.startMinute * 60,
    faults: order.faults,
  };
  return {
    field,
    truth: {
      id: field.id,
      name: field.name,
      crop: season.crop,
      areaM2: field.areaM2,
      evidence: field.evidence,
      places: field.places,
      patches: PATCHES[field.id] ?? [],
      species,
      harvestedOn: field.harvest.on,
      grainKg: harvested.grainKg,
      weedFreeGrainKg: sumOver(stand.weedFreeKgM2, insideM2),
      cutM2: harvested.cutM2,
      log,
    },
    maps: {
      grid,
      insideM2,
      plantsPerM2: stand.plantsPerM2,
      onPlantPerM2: stand.onPlantPerM2,
      landedPerM2: harvested.landedPerM2,
      yieldKgM2: stand.yieldKgM2,
    },
    harvested,
    order,
  };
}

function infestedM2(plantsPerM2: Float64Array, insideM2: Float64Array): number[] {
  const areas = THRESHOLDS_PER_M2.map(() => 0);
  for (let cell = 0; cell < plantsPerM2.length; cell++) {
    for (let k = 0; k < areas.length && plantsPerM2[cell]! >= THRESHOLDS_PER_M2[k]!; k++) areas[k]! += insideM2[cell]!;
  }
  return areas;
}

export interface Truth {
  readonly fields: readonly FieldTruth[];
  readonly maps: Readonly<Record<string, FieldMaps>>;
}

/** The whole truth with its maps (about 20 MB). The fields stand in harvest order. */
export function makeTruth(): Truth {
  const fields: FieldTruth[] = [];
  const maps: Record<string, FieldMaps> = {};
  for (const planted of plantedFields()) {
    fields.push(planted.truth);
    maps[planted.field.id] = planted.maps;
  }
  return { fields, maps };
}

/** The truth without its maps, numbers to nine digits, as text. */
export function truthText(fields: readonly FieldTruth[]): string {
  const head = {
    note: 'What was planted in the invented sample farm. Maps on a 5 m grid: makeTruth() of sample-data/truth.ts.',
    thresholdsPerM2: THRESHOLDS_PER_M2,
    species: SPECIES,
    headerM: HEADER_M,
    clumpingK: CLUMPING_K,
    combine: COMBINE,
    fields,
  };
  const short = (_: string, value: unknown) =>
    typeof value === 'number' && Math.floor(value) !== value ? Number(value.toFixed(value < 1 ? 9 : 4)) : value;
  return `${JSON.stringify(head, short, 1)}\n`;
}
