/** Weed seed that a machine held when it came to the farm: as a person says it, and in seeds. */
import { type ParameterId, type Values, valueOf } from '../agronomy/parameter.ts';
import type { Arrival } from '../model/farm.ts';
import type { Case } from '../model/range.ts';

/** What `arrivalSeeds` reads: name these in a step. */
export const ARRIVAL_PARAMETERS: readonly ParameterId[] = [
  'machine.arrival.standingPerM2',
  'machine.headerLossFraction',
  'machine.lodged.share',
  'machine.lodged.timeConstantS',
  'machine.speedMS',
];

/**
 * Seeds aboard on arrival, one a species. From an infested field: what stays lodged where seed enters evenly, M = i τ with
 * i = w v S (1 − f_h) f_l, over ground with S seeds/m² on its plants; S is *assumed*, nobody measured what hired machines bring.
 * Unknown: none in the mild and the most likely case, as from an infested field in the harsh one. A number holds in every case.
 * @source methods-season §4.2: the store at rest, dM/dt = 0
 */
export function arrivalSeeds(
  arrival: Arrival['load'],
  species: readonly string[],
  { headerWidthM, which }: { headerWidthM: number; which: Case },
  values: Values,
): number[] {
  if (arrival === 'clean' || (arrival === 'unknown' && which !== 'harsh')) return species.map(() => 0);
  if (arrival !== 'unknown' && 'seeds' in arrival) return species.map((one) => arrival.seeds[one] ?? 0);
  const p = (id: string) => valueOf(values, `machine.${id}`);
  const enteringPerS =
    headerWidthM * p('speedMS') * p('arrival.standingPerM2') * (1 - p('headerLossFraction')) * p('lodged.share');
  const lodged = enteringPerS * p('lodged.timeConstantS');
  return species.map((one) => (arrival === 'unknown' || arrival.infestedWith.includes(one) ? lodged : 0));
}
