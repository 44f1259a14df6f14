/** Crops, sprayings and weather: what happened on the fields, put into its season. */
import { changeSeasons } from '../model/edits/seasons.ts';
import type { Farm, Season } from '../model/farm.ts';
import { freeId } from '../model/free-id.ts';
import { fieldByName } from '../model/lookups.ts';
import { type Problem, problem } from '../model/problem.ts';
import type { CropRecords, SprayingRecords, WeatherRecords } from '../model/records.ts';
import { dateOf, dayNumber } from '../units/calendar.ts';
import { counted } from '../units/words.ts';
import { type Context, nothingPlaced, type Taken, unknownField } from './taking.ts';

export function takeWeather(context: Context, { day }: WeatherRecords): Taken {
  const years = [...new Set([...day].map((number) => dateOf(number).year))];
  return {
    summary: `daily weather of ${years.join(', ')}`,
    sets: setSeasons(context, years, (season) => ({ ...season, weather: [...season.weather, context.fileId] })),
  };
}

export function takeCrops(context: Context, { crops }: CropRecords): Taken {
  const { farm, incoming, problems } = context;
  const rows = crops.flatMap((row) => {
    const field = fieldByName(farm, row.fieldName);
    if (!field) problems.push(unknownField(incoming.name, row.fieldName, row.row));
    return field ? [{ row, field }] : [];
  });
  if (rows.length === 0) return nothingPlaced(context);
  const chosen = oneCropAField(rows, incoming.name, problems);
  const years = [...new Set(chosen.map(({ row }) => row.year))].sort();
  const combine = farm.machines.find((one) => one.kind === 'combine')?.id;
  const sets = setSeasons(context, years, (season) => {
    const mine = chosen.filter(({ row }) => row.year === season.year);
    const replaced = season.crops.filter((one) => mine.some(({ field }) => field.id === one.field));
    if (replaced.length > 0) {
      const names = replaced.map((one) => farm.fields.find((field) => field.id === one.field)!.name).join(', ');
      problems.push(
        problem('warning', 'crop-replaced', `The crop of ${season.year} was known and is replaced on ${names}.`, {
          where: { file: incoming.name },
        }),
      );
    }
    return {
      ...season,
      crops: [
        ...season.crops.filter((one) => !replaced.includes(one)),
        ...mine.map(({ row, field }) => ({
          field: field.id,
          crop: row.crop,
          tolerates: row.tolerates === null ? ('not stated' as const) : [...row.tolerates],
          plantedOn: row.plantedOn,
          ...(row.emergedOn === null ? {} : { emergedOn: row.emergedOn }),
          ...(row.matureOn === null ? {} : { matureOn: row.matureOn }),
          rowSpacingM: row.rowSpacingM,
          tillage: 'not stated' as const,
          expectedYieldKgHa: row.expectedYieldKgHa,
        })),
      ],
      visits: mine.reduce<Season['visits']>(
        (visits, { row, field }) =>
          row.harvestedOn === null || visits.some((one) => one.field === field.id)
            ? visits
            : [
                ...visits,
                { ...newVisit({ ...season, visits }, field.id, combine ?? 'combine'), startedOn: row.harvestedOn },
              ],
        season.visits,
      ),
    };
  });
  const harvested = chosen.some(({ row }) => row.harvestedOn !== null);
  if (harvested && combine === undefined)
    sets.push({ path: ['machines'], value: [...farm.machines, { id: 'combine', kind: 'combine' as const }] });
  return { summary: `${counted(chosen.length, 'crop')} of ${years.join(', ')}`, sets };
}

type CropRow = { readonly row: CropRecords['crops'][number]; readonly field: Farm['fields'][number] };

/** One crop a field and season: the last planted, which stands when the weeds set seed. The others are told. */
function oneCropAField(rows: readonly CropRow[], file: string, problems: Problem[]): CropRow[] {
  const byPlace = new Map<string, CropRow>();
  for (const one of rows) {
    const place = `${one.field.id} ${one.row.year}`;
    const other = byPlace.get(place);
    const later = !other || (one.row.plantedOn ?? '') >= (other.row.plantedOn ?? '');
    if (later) byPlace.set(place, one);
    if (!other) continue;
    const [kept, left] = later ? [one, other] : [other, one];
    problems.push(
      problem(
        'warning',
        'crop-twice',
        `Row ${left.row.row}: ${one.field.name} has two crops in ${one.row.year}; ${kept.row.crop} of row ${kept.row.row} is used, ${left.row.crop} is not.`,
        { where: { file, row: left.row.row } },
      ),
    );
  }
  return [...byPlace.values()];
}

export function takeSprayings(context: Context, { sprayings }: SprayingRecords): Taken {
  const { farm, incoming, problems } = context;
  const rows = sprayings.flatMap((row) => {
    const field = fieldByName(farm, row.fieldName);
    if (!field) problems.push(unknownField(incoming.name, row.fieldName, row.row));
    return field ? [{ row, field }] : [];
  });
  if (rows.length === 0) return nothingPlaced(context);
  const years = [...new Set(rows.map(({ row }) => dateOf(dayNumber(row.on)!).year))].sort();
  const sets = setSeasons(context, years, (season) => {
    const byPass = new Map<string, Season['sprayed'][number]>();
    for (const { row, field } of rows) {
      if (!row.on.startsWith(`${season.year}-`)) continue;
      const pass = byPass.get(`${field.id} ${row.on}`) ?? { where: { field: field.id }, on: row.on, parts: [] };
      pass.parts.push({ ingredient: row.ingredient, rateFraction: row.rateFraction });
      byPass.set(`${field.id} ${row.on}`, pass);
    }
    return { ...season, sprayed: [...season.sprayed, ...byPass.values()] };
  });
  return { summary: `${counted(rows.length, 'spraying')} of ${years.join(', ')}`, sets };
}

/** The seasons with the given years changed, made where they were missing. */
export function setSeasons(
  { farm }: Context,
  years: readonly number[],
  change: (season: Season) => Season,
): { path: readonly (string | number)[]; value: unknown }[] {
  return [{ path: ['seasons'], value: changeSeasons(farm, years, change) }];
}

export function newVisit(season: Season, field: string, machine: string): Season['visits'][number] {
  return { id: freeId(`harvest-${season.year}-${field}`, new Set(season.visits.map((one) => one.id))), field, machine };
}
