/** The combine as a person describes it where no file does, and what it carried when it came. */
import type { Edit } from '../edit.ts';
import type { Arrival, Farm, Machine } from '../farm.ts';
import { machineOf } from '../lookups.ts';
import { changeSeasons } from './seasons.ts';

type Described = Pick<Machine, 'headerWidthM' | 'residue' | 'chaffWidthM' | 'strawWidthM'>;

/** @param change members that are undefined are taken back; the machine is made where there is none */
export function describeCombine(
  farm: Farm,
  id: string,
  change: { [K in keyof Described]?: Described[K] | undefined },
): Edit {
  const before: Machine = machineOf(farm, id) ?? { id, kind: 'combine' };
  const after = Object.fromEntries(
    Object.entries({ ...before, ...change }).filter(([, value]) => value !== undefined),
  ) as Machine;
  const machines = farm.machines.some((one) => one.id === id)
    ? farm.machines.map((one) => (one.id === id ? after : one))
    : [...farm.machines, after];
  return { label: `Describe ${before.name ?? 'the combine'}`, sets: [{ path: ['machines'], value: machines }] };
}

/** @param load null takes back what was said */
export function sayArrival(farm: Farm, year: number, machine: string, load: Arrival['load'] | null): Edit {
  const name = machineOf(farm, machine)?.name ?? 'the combine';
  const seasons = changeSeasons(farm, [year], (season) => {
    const others = (season.arrivals ?? []).filter((one) => one.machine !== machine);
    const arrivals = load === null ? others : [...others, { machine, load }];
    const { arrivals: _before, ...rest } = season;
    return arrivals.length === 0 ? rest : { ...rest, arrivals };
  });
  return { label: `Say what ${name} brought in ${year}`, sets: [{ path: ['seasons'], value: seasons }] };
}
