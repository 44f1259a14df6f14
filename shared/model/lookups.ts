/** Questions that many steps ask of the document. */
import type { LiftableFlag } from './log-flags.ts';
import type { Arrival, CropSeason, Farm, Field, Machine, Round, Season } from './farm.ts';

export function fieldOf(farm: Farm, id: string): Field {
  const field = farm.fields.find((one) => one.id === id);
  if (!field) throw new Error(`fieldOf: no field ${id}`);
  return field;
}

/** The id where there is no such field. */
export function fieldName(farm: Farm, id: string): string {
  return farm.fields.find((one) => one.id === id)?.name ?? id;
}

/** The id where there is no such program. */
export function programName(farm: Farm, id: string): string {
  return farm.programs.find((one) => one.id === id)?.name ?? id;
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

/**
 * The season that a study looks at: the last in which somebody looked or harvested, else the last with a crop; null on a farm with
 * boundaries only. A crop plan for the coming year does not move it.
 */
export function studySeason(farm: Farm): number | null {
  const last = (years: readonly number[]) => (years.length === 0 ? null : Math.max(...years));
  const worked = farm.seasons.filter((one) => one.visits.length > 0).map((one) => one.year);
  const planted = farm.seasons.filter((one) => one.crops.length > 0).map((one) => one.year);
  return last([...farm.rounds.map((one) => one.season), ...worked]) ?? last(planted);
}

/** The species that the farm works on, in a fixed order. */
export function speciesOf(farm: Farm): readonly string[] {
  return Object.keys(farm.thresholdPerM2).sort();
}

/** How a field was, or will be, harvested in a season. */
export interface FieldHarvest {
  /** Logs of the field, in the order of the document; empty where there is none: the path is then assumed. */
  readonly files: readonly string[];
  readonly machine: string;
  readonly startedOn: string | null;
  readonly headingDeg: number | null;
  readonly headlandLaps: number | null;
  readonly scaleTotalKg: number | null;
  /** As a person gave it; null: the log tells it. */
  readonly flowDelayS: number | null;
  readonly liftedFlags: readonly LiftableFlag[];
  readonly cleanOutBefore: 'limited' | 'thorough' | null;
  /** True where the document has no visit: that the field is cut at all is assumed. */
  readonly implied: boolean;
}

const NO_FLAGS: readonly LiftableFlag[] = [];

/** All visits of a field in a season as one harvest; several logs are read as one, in time order. */
export function harvestOf(farm: Farm, field: string, year: number): FieldHarvest {
  const visits = (seasonOf(farm, year)?.visits ?? []).filter((visit) => visit.field === field);
  const first = visits[0];
  const scale = visits.map((visit) => visit.scaleTotalKg);
  return {
    files: visits.flatMap((visit) => (visit.file === undefined ? [] : [visit.file])),
    machine: first?.machine ?? farm.machines.find((one) => one.kind === 'combine')?.id ?? 'combine',
    startedOn: harvestDays(farm, field, year)[0] ?? null,
    headingDeg: first?.headingDeg ?? null,
    headlandLaps: first?.headlandLaps ?? null,
    scaleTotalKg: scale.every((one) => one !== undefined) && scale.length > 0 ? scale.reduce((a, b) => a + b, 0) : null,
    flowDelayS: first?.flowDelayS ?? null,
    liftedFlags: first?.liftedFlags ?? NO_FLAGS,
    cleanOutBefore: first?.cleanOutBefore ?? null,
    implied: visits.length === 0,
  };
}

/** The days on which a field's harvest was begun, machine by machine, earliest first. */
export function harvestDays(farm: Farm, field: string, year: number): readonly string[] {
  const visits = (seasonOf(farm, year)?.visits ?? []).filter((visit) => visit.field === field);
  return visits.flatMap((visit) => visit.startedOn ?? []).sort();
}

/** The last of them; null where nobody knows it, or where a person says that the field is still uncut. */
export function cutOn(farm: Farm, field: string, year: number): string | null {
  const visits = (seasonOf(farm, year)?.visits ?? []).filter((visit) => visit.field === field);
  const isUncut = visits.some((one) => one.done === false) && !isCut(farm, field, year);
  return isUncut ? null : (harvestDays(farm, field, year).at(-1) ?? null);
}

/** Whether a field is cut: as the person ticked it, else where its log is at hand. */
export function isCut(farm: Farm, field: string, year: number): boolean {
  const visits = (seasonOf(farm, year)?.visits ?? []).filter((visit) => visit.field === field);
  const said = visits.flatMap((one) => one.done ?? []);
  return said.length > 0 ? said.includes(true) : visits.some((one) => one.file !== undefined);
}

/** Fields of ours that a machine harvests in a season, in the order of the document. */
export function fieldsCutBy(farm: Farm, machine: string, year: number): readonly string[] {
  return farm.fields
    .filter((one) => one.ours && harvestOf(farm, one.id, year).machine === machine)
    .map((one) => one.id);
}

/** What a machine carried when it came to its first field of a season; `said` is false where clean is only assumed. */
export function arrivalOf(
  farm: Farm,
  machine: string,
  year: number,
): { readonly load: Arrival['load']; readonly said: boolean } {
  const told = seasonOf(farm, year)?.arrivals?.find((one) => one.machine === machine);
  if (told) return { load: told.load, said: true };
  return machineOf(farm, machine)?.arrivesDirty === true
    ? { load: 'unknown', said: true }
    : { load: 'clean', said: false };
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
