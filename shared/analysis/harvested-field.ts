/** What the order of harvest needs to know of one field, from results that the study has. */
import type { LonLat } from '../geometry/types.ts';
import { createFrame } from '../geometry/local-frame.ts';
import { EMPTY_LEDGER, type Ledger } from '../harvest/ledger.ts';
import type { Farm } from '../model/farm.ts';
import { expectedCrop, fieldOf, harvestOf, isCut, seasonOf } from '../model/lookups.ts';
import { type Case, CASES } from '../model/range.ts';
import { type ClassOfWeed, worstWeed } from './harvest-class.ts';
import type { ResultOf } from './step.ts';
import type { FieldGround } from './steps/field.ts';
import type { InfestationFacts } from './steps/infestation-facts.ts';
import type { MovementOwn } from './steps/movement-own.ts';
import type { SeedWorth } from './steps/seed-worth.ts';

export interface FieldCase {
  /** Left aboard by the field's own weeds, one a species. */
  readonly ownSeeds: readonly number[];
  /** Of what came in aboard: still aboard at the end, and fallen on the field; what is missing was destroyed or fell outside. */
  readonly keptFraction: number;
  readonly landedFraction: number;
  readonly worth: SeedWorth | null;
}

export interface HarvestedField {
  readonly id: string;
  readonly name: string;
  readonly crop: string;
  readonly areaM2: number;
  readonly at: LonLat;
  /** null: nobody looked. */
  readonly weed: ClassOfWeed | null;
  readonly isCut: boolean;
  readonly cutAs: number | null;
  readonly startS: number | null;
  readonly hasLog: boolean;
  readonly ripeFrom: string | null;
  readonly cleanOutBefore: 'limited' | 'thorough' | null;
  readonly species: readonly string[];
  readonly by: Readonly<Record<Case, FieldCase>>;
}

/** null where no way of the machine through the field is known. */
export function harvestedField(farm: Farm, id: string, season: number, result: ResultOf): HarvestedField | null {
  const place = { field: id, season };
  const ground = result<FieldGround>('field', { field: id });
  const own = byCase(CASES.map((which) => result<MovementOwn>('movement-own', { ...place, case: which })));
  if (!ground || !own) return null;
  const harvest = harvestOf(farm, id, season);
  const visits = (seasonOf(farm, season)?.visits ?? []).filter((one) => one.field === id);
  const weed = worstWeed(result<InfestationFacts>('infestation-facts', place), ground.areaM2);
  const by = CASES.map((which): FieldCase => {
    const { ledger, response } = own[which];
    return {
      ownSeeds: ledger.map((one) => one.leftInMachineSeeds),
      keptFraction: Math.min(1, response.ledger.leftInMachineSeeds),
      landedFraction: Math.min(1, response.ledger.landedByMachineSeeds),
      worth: weed ? result<SeedWorth>('seed-worth', { ...place, case: which }) : null,
    };
  });
  return {
    id,
    name: fieldOf(farm, id).name,
    crop: expectedCrop(farm, id, season).crop,
    areaM2: ground.areaM2,
    at: middleOf(ground),
    weed,
    isCut: isCut(farm, id, season),
    cutAs: visits.flatMap((one) => one.cutAs ?? [])[0] ?? null,
    startS: own.central.startS,
    hasLog: harvest.files.length > 0,
    ripeFrom: visits.flatMap((one) => one.ripeFrom ?? []).sort()[0] ?? null,
    cleanOutBefore: harvest.cleanOutBefore,
    species: own.central.species,
    by: byCase(by)!,
  };
}

/** The ledger of a field's own seed, all species together. */
export function ownLedger({ ledger }: MovementOwn): Ledger {
  return ledger.reduce<Ledger>(
    (sum, one) =>
      Object.fromEntries(
        Object.entries(sum).map(([line, seeds]) => [line, seeds + one[line as keyof Ledger]]),
      ) as unknown as Ledger,
    EMPTY_LEDGER,
  );
}

/** Three results as cases; null where one is missing. */
export function byCase<T>(list: readonly (T | null)[]): Record<Case, T> | null {
  if (list.some((one) => one === null)) return null;
  return Object.fromEntries(CASES.map((which, at) => [which, list[at]])) as Record<Case, T>;
}

/** Known of each ground: the order is asked for again with every field that is ticked off. */
const middles = new WeakMap<FieldGround, LonLat>();

/** The mean of the ground's cells. */
function middleOf(ground: FieldGround): LonLat {
  const known = middles.get(ground);
  if (known) return known;
  const { grid, inside, origin } = ground;
  let [x, y, cells] = [0, 0, 0];
  for (let cell = 0; cell < inside.length; cell++) {
    if (inside[cell] !== 1) continue;
    x += grid.x0M + ((cell % grid.columns) + 0.5) * grid.cellM;
    y += grid.y0M + (Math.floor(cell / grid.columns) + 0.5) * grid.cellM;
    cells++;
  }
  const middle = createFrame(origin).toLonLat(x / Math.max(1, cells), y / Math.max(1, cells));
  middles.set(ground, middle);
  return middle;
}
