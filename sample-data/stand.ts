/** What stands in a field before the combine comes, cell by cell of 5 m: weeds, their seed, and the crop that they left. */
import { exp } from './elementary.ts';
import { smoothNoise, streamOf } from './draws.ts';
import { ringsOf, type SampleField } from './layout.ts';
import { daysBetween, seasonOf } from './seasons.ts';
import { rasterOf, type GroundRaster } from './soil-raster.ts';
import {
  bellOf,
  BIOLOGY,
  densityPerM2,
  PATCHES,
  seedsPerM2,
  SPECIES,
  yieldLossFraction,
  type SpeciesId,
} from './weeds.ts';

export type BySpecies<T> = Record<SpeciesId, T>;

export function bySpecies<T>(make: (species: SpeciesId) => T): BySpecies<T> {
  return { AMATU: make('AMATU'), AMAPA: make('AMAPA'), SETFA: make('SETFA') };
}

/** Sum of value × m² over cells. */
export function sumOver(map: Float64Array, areaM2: Float64Array): number {
  let sum = 0;
  for (let cell = 0; cell < map.length; cell++) sum += map[cell]! * areaM2[cell]!;
  return sum;
}

export interface Stand {
  readonly raster: GroundRaster;
  /** Surviving plants/m² at maturity, 2026. */
  readonly plantsPerM2: BySpecies<Float64Array>;
  readonly producedPerM2: BySpecies<Float64Array>;
  /** Seed still on the plant on the day of harvest. */
  readonly onPlantPerM2: BySpecies<Float64Array>;
  readonly keptFraction: BySpecies<number>;
  /** Grain at market moisture with the weeds as they are, and what it would be without. */
  readonly yieldKgM2: Float64Array;
  readonly weedFreeKgM2: Float64Array;
}

export function standOf(field: SampleField): Stand {
  const raster = rasterOf(ringsOf(field));
  const { columns, rows, x0M, y0M, cellM } = raster.grid;
  const cells = columns * rows;
  const season = seasonOf(field, 2026);
  const bells = bySpecies((species) =>
    (PATCHES[field.id] ?? []).filter((patch) => patch.species === species).map(bellOf),
  );
  const empty = () => bySpecies(() => new Float64Array(cells));
  const [plantsPerM2, producedPerM2, onPlantPerM2] = [empty(), empty(), empty()];
  const days = daysBetween(season.matureOn, field.harvest.on);
  const keptFraction = bySpecies((species) => {
    const { keptAtMaturityFraction, lostPerDay } = BIOLOGY[season.crop][species];
    return keptAtMaturityFraction * exp(-lostPerDay * Math.max(0, days));
  });
  const yieldKgM2 = new Float64Array(cells);
  const weedFreeKgM2 = new Float64Array(cells);
  const [broad, middle, fine] = ['broad', 'middle', 'fine'].map((scale) => streamOf(`yield ${field.id} ${scale}`));
  const mean = (season.expectedYieldKgHa / 10000) * 1.02;
  for (let cell = 0; cell < cells; cell++) {
    if (raster.insideM2[cell] === 0) continue;
    const x = x0M + ((cell % columns) + 0.5) * cellM;
    const y = y0M + (Math.floor(cell / columns) + 0.5) * cellM;
    let loss = 0;
    for (const species of SPECIES) {
      const biology = BIOLOGY[season.crop][species];
      const plants = densityPerM2(field.id, species, bells[species], x, y);
      if (plants === 0) continue;
      plantsPerM2[species][cell] = plants;
      const produced = seedsPerM2(biology, plants);
      producedPerM2[species][cell] = produced;
      onPlantPerM2[species][cell] = produced * keptFraction[species];
      loss += yieldLossFraction(biology, plants);
    }
    const pattern =
      0.14 * smoothNoise(broad!, x, y, 170) +
      0.13 * smoothNoise(middle!, x, y, 85) +
      0.07 * smoothNoise(fine!, x, y, 45);
    weedFreeKgM2[cell] = mean * (1 + pattern);
    yieldKgM2[cell] = mean * (1 + pattern) * (1 - Math.min(0.9, loss));
  }
  return { raster, plantsPerM2, producedPerM2, onPlantPerM2, keptFraction, yieldKgM2, weedFreeKgM2 };
}
