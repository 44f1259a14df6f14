/** How far it is from field to field: as the person typed it, else the straight line from middle to middle. */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { LonLat } from '../geometry/types.ts';
import { isWay } from '../model/edits/harvest-costs.ts';
import type { Farm } from '../model/farm.ts';
import type { HarvestedField } from './harvested-field.ts';

export interface Way {
  readonly distanceM: number;
  readonly isTyped: boolean;
}

/**
 * From every place to every place; place 0 is where the machine stands: on the field that it cut last, else in the yard.
 * @returns null from a yard that nobody told
 */
export function distancesBetween(
  farm: Farm,
  standsOn: HarvestedField | null,
  fields: readonly HarvestedField[],
): (Way | null)[][] {
  const start = standsOn ?? (farm.yard ? { id: null, at: farm.yard as LonLat } : null);
  const places: readonly ({ readonly id: string | null; readonly at: LonLat } | null)[] = [start, ...fields];
  const roads = farm.planning.harvest?.roads ?? [];
  return places.map((from) =>
    places.map((to) => {
      if (!from || !to) return null;
      const typed = roads.find((one) => isWay(one, from.id, to.id));
      if (from.id === to.id) return { distanceM: 0, isTyped: false };
      return typed
        ? { distanceM: typed.distanceM, isTyped: true }
        : { distanceM: geodesicDistanceM(from.at, to.at), isTyped: false };
    }),
  );
}

/** Ways cost what their time costs; nothing is counted until an hour's cost and a speed on the road are typed. */
export function moneyOfWays(farm: Farm, ways: readonly (readonly (Way | null)[])[]): number[][] {
  const { costPerHour, roadSpeedMS } = farm.planning.harvest ?? {};
  const perM = costPerHour === undefined || roadSpeedMS === undefined ? 0 : costPerHour / 3600 / roadSpeedMS;
  return ways.map((row) => row.map((way) => (way?.distanceM ?? 0) * perM));
}
