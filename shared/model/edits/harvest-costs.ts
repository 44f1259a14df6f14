/** What a person types for the order of harvest: what an hour costs, how long a clean-out takes, ways, and the machines. */
import type { Edit } from '../edit.ts';
import type { Farm, HarvestCosts, Machine } from '../farm.ts';
import { freeId } from '../free-id.ts';
import type { Named } from './named.ts';

type Cost = 'costPerHour' | 'limitedMin' | 'thoroughMin' | 'roadSpeedMS';
const LABELS: Readonly<Record<Cost, string>> = {
  costPerHour: 'Cost of an hour of harvest',
  limitedMin: 'Minutes of a limited clean-out',
  thoroughMin: 'Minutes of a thorough clean-out',
  roadSpeedMS: 'Speed on the road',
};

/** @param value SI; null takes it back */
export function setHarvestCost(farm: Farm, name: Cost, value: number | null): Edit {
  const { [name]: _before, ...rest } = farm.planning.harvest ?? {};
  return costs(value === null ? `Take back: ${LABELS[name]}` : LABELS[name], {
    ...rest,
    ...(value === null ? {} : { [name]: value }),
  });
}

/** The way between two places, alike in both directions. @param from null: the yard @param distanceM null: the straight line again */
export function setRoad(farm: Farm, from: Named | null, to: Named, distanceM: number | null): Edit {
  const others = (farm.planning.harvest?.roads ?? []).filter((one) => !isWay(one, from?.id ?? null, to.id));
  const roads = distanceM === null ? others : [...others, { from: from?.id ?? null, to: to.id, distanceM }];
  const { roads: _before, ...rest } = farm.planning.harvest ?? {};
  const label = `Way from ${from?.name ?? 'the yard'} to ${to.name}`;
  return costs(label, { ...rest, ...(roads.length === 0 ? {} : { roads }) });
}

export function isWay(
  road: { readonly from: string | null; readonly to: string },
  a: string | null,
  b: string | null,
): boolean {
  return (road.from === a && road.to === b) || (road.from === b && road.to === a);
}

export function addCombine(farm: Farm): Edit {
  const number = 1 + Math.max(1, farm.machines.filter((one) => one.kind === 'combine').length);
  const first = farm.machines.find((one) => one.kind === 'combine');
  const known: Machine[] = first ? [] : [{ id: 'combine', kind: 'combine' }];
  const taken = new Set([...farm.machines, ...known].map((one) => one.id));
  const { name: _name, arrivesDirty: _dirty, ...like } = first ?? { kind: 'combine' as const };
  const added: Machine = { ...like, id: freeId(`combine-${number}`, taken), name: `Combine ${number}` };
  return { label: 'Add a combine', sets: [{ path: ['machines'], value: [...farm.machines, ...known, added] }] };
}

/** A combine that no field is cut by any more. @throws where a visit names it */
export function dropCombine(farm: Farm, machine: Named): Edit {
  if (farm.seasons.some((season) => season.visits.some((one) => one.machine === machine.id)))
    throw new Error(`dropCombine: ${machine.id} cuts a field`);
  const value = farm.machines.filter((one) => one.id !== machine.id);
  return { label: `Take ${machine.name} away`, sets: [{ path: ['machines'], value }] };
}

function costs(label: string, value: HarvestCosts): Edit {
  const isEmpty = Object.keys(value).length === 0;
  return { label, sets: [{ path: ['planning', 'harvest'], value: isEmpty ? undefined : value }] };
}
