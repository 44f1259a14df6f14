/** Harvest visits as a person says them while the season goes: which field is done, when it was begun, whether the machine was cleaned before. */
import type { Edit } from '../edit.ts';
import type { Farm, Season } from '../farm.ts';
import { LIFTABLE_FLAGS, type LiftableFlag } from '../log-flags.ts';
import { harvestOf, seasonOf } from '../lookups.ts';
import type { Named } from './named.ts';
import { changeSeasons } from './seasons.ts';

type Visit = Season['visits'][number];

/** Ticked off it is given its place among those that were; taken back, a field whose log is at hand is said to be still uncut. */
export function tickHarvest(farm: Farm, year: number, field: Named, done: boolean): Edit {
  const ticked = (seasonOf(farm, year)?.visits ?? []).filter((one) => one.done === true && one.field !== field.id);
  const cutAs = 1 + Math.max(0, ...ticked.map((one, index) => one.cutAs ?? index + 1));
  return change(farm, year, field, done ? `${field.name} harvested` : `${field.name} not harvested yet`, (visit) => {
    const { done: _done, cutAs: _cutAs, ...rest } = visit;
    if (done) return { ...rest, done, cutAs };
    return rest.file === undefined ? rest : { ...rest, done: false };
  });
}

/** @param on null takes the day back */
export function sayRipe(farm: Farm, year: number, fields: readonly Named[], on: string | null, of: string): Edit {
  const label = on === null ? `Take back when ${of} is ripe` : `${of} ripe from ${on}`;
  return changeFields(farm, year, fields, label, (visit) => ({
    ...without(visit, 'ripeFrom'),
    ...(on === null ? {} : { ripeFrom: on }),
  }));
}

/** Which machine cuts a field. */
export function sayMachine(farm: Farm, year: number, field: Named, machine: Named): Edit {
  return change(farm, year, field, `${field.name} cut by ${machine.name}`, (visit) => ({
    ...visit,
    machine: machine.id,
  }));
}

/** @param on null takes the day back */
export function sayHarvestDay(farm: Farm, year: number, field: Named, on: string | null): Edit {
  const label = on === null ? `Take back the harvest day of ${field.name}` : `${field.name} harvested on ${on}`;
  return change(farm, year, field, label, (visit) => ({
    ...without(visit, 'startedOn'),
    ...(on === null ? {} : { startedOn: on }),
  }));
}

/** @param how null: the machine went on uncleaned */
export function sayCleanOut(farm: Farm, year: number, field: Named, how: 'limited' | 'thorough' | null): Edit {
  const label = how === null ? `No clean-out before ${field.name}` : `A ${how} clean-out before ${field.name}`;
  return change(farm, year, field, label, (visit) => ({
    ...without(visit, 'cleanOutBefore'),
    ...(how === null ? {} : { cleanOutBefore: how }),
  }));
}

/** @param kg wet mass that the scale gave for all of the field's logs together; null: nobody weighed */
export function sayScaleTotal(farm: Farm, year: number, field: Named, kg: number | null): Edit {
  const label = kg === null ? `Take back the scale total of ${field.name}` : `Scale total of ${field.name}`;
  // A total of several logs stands on the first, shared out evenly: they are read as one.
  return change(farm, year, field, label, (visit, visits) => ({
    ...without(visit, 'scaleTotalKg'),
    ...(kg === null ? {} : { scaleTotalKg: kg / visits }),
  }));
}

/** @param seconds from the cutter bar to the sensor; null: as the log tells it */
export function sayFlowDelay(farm: Farm, year: number, field: Named, seconds: number | null): Edit {
  const label = seconds === null ? `Take back the flow delay on ${field.name}` : `Flow delay on ${field.name}`;
  return change(farm, year, field, label, (visit) => ({
    ...without(visit, 'flowDelayS'),
    ...(seconds === null ? {} : { flowDelayS: seconds }),
  }));
}

/** Records with the flag count, or are left out again. */
export function liftFlag(farm: Farm, year: number, field: Named, flag: LiftableFlag, lifted: boolean): Edit {
  const label = lifted
    ? `Count records flagged ${flag} on ${field.name}`
    : `Leave out records flagged ${flag} on ${field.name}`;
  return change(farm, year, field, label, (visit) => {
    const others = (visit.liftedFlags ?? []).filter((one) => one !== flag);
    const all = lifted ? LIFTABLE_FLAGS.filter((one) => one === flag || others.includes(one)) : others;
    return { ...without(visit, 'liftedFlags'), ...(all.length === 0 ? {} : { liftedFlags: all }) };
  });
}

/** @param deg clockwise from north; null: along the longest side */
export function sayHeading(farm: Farm, year: number, field: Named, deg: number | null): Edit {
  const label = deg === null ? `Take back the heading on ${field.name}` : `${field.name} is cut at ${deg}°`;
  return change(farm, year, field, label, (visit) => ({
    ...without(visit, 'headingDeg'),
    ...(deg === null ? {} : { headingDeg: deg }),
  }));
}

/** @param laps 0–4; null: as is usual */
export function sayHeadlandLaps(farm: Farm, year: number, field: Named, laps: number | null): Edit {
  const label = laps === null ? `The usual headland on ${field.name}` : `${laps} headland laps on ${field.name}`;
  return change(farm, year, field, label, (visit) => ({
    ...without(visit, 'headlandLaps'),
    ...(laps === null ? {} : { headlandLaps: laps }),
  }));
}

function change(
  farm: Farm,
  year: number,
  field: Named,
  label: string,
  of: (visit: Visit, visits: number) => Visit,
): Edit {
  return changeFields(farm, year, [field], label, of);
}

/** All visits of each field in that season alike; one is made where there is none. */
function changeFields(
  farm: Farm,
  year: number,
  fields: readonly Named[],
  label: string,
  of: (visit: Visit, visits: number) => Visit,
): Edit {
  const seasons = changeSeasons(farm, [year], (before) =>
    fields.reduce((season, field) => {
      const mine = (one: Visit) => one.field === field.id;
      const made: Visit = {
        id: newId(season, field.id),
        field: field.id,
        machine: harvestOf(farm, field.id, year).machine,
      };
      const visits = season.visits.some(mine) ? season.visits : [...season.visits, made];
      return { ...season, visits: visits.map((one) => (mine(one) ? of(one, visits.filter(mine).length) : one)) };
    }, before),
  );
  return { label, sets: [{ path: ['seasons'], value: seasons }] };
}

function newId({ year, visits }: Season, field: string): string {
  const taken = new Set(visits.map((one) => one.id));
  let id = `harvest-${year}-${field}`.slice(0, 60);
  for (let n = 2; taken.has(id); n++) id = `${id.slice(0, 56)}-${n}`;
  return id;
}

function without<K extends keyof Visit>(visit: Visit, key: K): Omit<Visit, K> {
  const { [key]: _gone, ...rest } = visit;
  return rest;
}
