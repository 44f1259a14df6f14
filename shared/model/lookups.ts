/** Questions that many steps ask of the document. */
import type { CropSeason, Farm, Field, Machine, Round, Season, Visit } from './farm.ts';

export function fieldOf(farm: Farm, id: string): Field {
  const field = farm.fields.find((one) => one.id === id);
  if (!field) throw new Error(`fieldOf: no field ${id}`);
  return field;
}

/** A field by the name a person writes: case and outer blanks do not matter. Null where none or more than one has it. */
export function fieldByName(farm: Farm, name: string): Field | null {
  const wanted = plain(name);
  const found = farm.fields.filter((one) => plain(one.name) === wanted || one.id === name);
  return found.length === 1 ? found[0]! : null;
}

function plain(name: string): string {
  return name.trim().replace(/\s+/g, ' ').toLowerCase();
}

export function seasonOf(farm: Farm, year: number): Season | null {
  return farm.seasons.find((one) => one.year === year) ?? null;
}

export function cropOf(farm: Farm, field: string, year: number): CropSeason | null {
  return seasonOf(farm, year)?.crops.find((one) => one.field === field) ?? null;
}

export function roundsOf(farm: Farm, year: number): readonly Round[] {
  return farm.rounds.filter((one) => one.season === year);
}

/** The season that a study looks at: the last that has a round, a crop or a visit; null on a farm with boundaries only. */
export function studySeason(farm: Farm): number | null {
  const years = [
    ...farm.rounds.map((one) => one.season),
    ...farm.seasons.filter((one) => one.crops.length + one.visits.length > 0).map((one) => one.year),
  ];
  return years.length === 0 ? null : Math.max(...years);
}

/** The species that the farm works on, in a fixed order. */
export function speciesOf(farm: Farm): readonly string[] {
  return Object.keys(farm.thresholdPerM2).sort();
}

/**
 * Each harvest of a season: the visits of the document, and an implied one (no log, no date) for every field of ours that had a
 * crop or a round but no visit.
 */
export function harvestVisits(farm: Farm, year: number): readonly (Visit & { implied: boolean })[] {
  const season = seasonOf(farm, year);
  const told = (season?.visits ?? []).map((visit) => ({ ...visit, implied: false }));
  const combine = farm.machines.find((one) => one.kind === 'combine');
  const missing = farm.fields.filter((field) => field.ours && !told.some((visit) => visit.field === field.id));
  return [
    ...told,
    ...missing.map((field) => ({
      id: `implied-${field.id}`,
      field: field.id,
      machine: combine?.id ?? 'combine',
      implied: true,
    })),
  ];
}

export function visitOf(farm: Farm, year: number, id: string): Visit & { implied: boolean } {
  const visit = harvestVisits(farm, year).find((one) => one.id === id);
  if (!visit) throw new Error(`visitOf: no visit ${id} in ${year}`);
  return visit;
}

export function machineOf(farm: Farm, id: string): Machine | null {
  return farm.machines.find((one) => one.id === id) ?? null;
}

/**
 * The crop that is expected on a field in a year: as planned, else the field's rotation carried on (the crop of two years
 * before, then the other of corn and soybean), else soybean (*assumed*: the harsher of the two for pigweeds).
 */
export function expectedCrop(farm: Farm, field: string, year: number): { crop: string; because: string } {
  const planned = cropOf(farm, field, year);
  if (planned) return { crop: planned.crop, because: `planned for ${year}` };
  const grown = farm.seasons
    .filter((one) => one.year < year && cropOf(farm, field, one.year) !== null)
    .sort((a, b) => b.year - a.year);
  const last = grown[0];
  if (!last) return { crop: 'soybean', because: 'no crop is stated: soybean is assumed' };
  const lastCrop = cropOf(farm, field, last.year)!.crop;
  const before = grown[1] ? cropOf(farm, field, grown[1].year)!.crop : null;
  const steps = year - last.year;
  const other = before ?? (lastCrop === 'corn' ? 'soybean' : lastCrop === 'soybean' ? 'corn' : lastCrop);
  return { crop: steps % 2 === 0 ? lastCrop : other, because: `the rotation ${lastCrop}–${other} carried on` };
}
