/**
 * Seed followed at harvest, both ways: where the seed of some ground landed, and where the seed that lies on some ground came from.
 * Exact, since the movement is linear: forward a channel of its own that holds this ground's seed alone, backward its transpose.
 */
import { resolveParameters } from '../agronomy/parameter.ts';
import { createFrame } from '../geometry/local-frame.ts';
import { toLocalPolygon } from '../geometry/polygon.ts';
import type { GridShape, LonLat, MultiPolygon } from '../geometry/types.ts';
import { distancesFrom, groundCells } from '../harvest/ground-cells.ts';
import type { HarvestPath } from '../harvest/harvest-path.ts';
import { CompensatedSums, sumSeeds } from '../harvest/ledger.ts';
import { machineParameterIds } from '../harvest/machine-parameters.ts';
import type { MovementInput } from '../harvest/movement-input.ts';
import type { Farm } from '../model/farm.ts';
import { fieldOf, harvestOf } from '../model/lookups.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { toSI } from '../units/units.ts';
import { KeptDrives } from './kept-drives.ts';
import { portion } from './portion.ts';
import type { Passage } from './seed-passage.ts';
import { traceBack, type Traced, traceForward } from './seed-traced.ts';
import type { Progress, ResultOf } from './step.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldHarvestPath } from './steps/harvest-path.ts';
import type { MovementChain } from './steps/movement-chain.ts';
import { machineSettings, withGuest } from './steps/movement-own.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';

/** 'from': where the seed that stood on this ground went; 'to': where the seed that lies on it came from. */
export type TraceWay = 'from' | 'to';

export type TracedGround = { readonly at: LonLat; readonly radiusM: number } | { readonly area: MultiPolygon };

export interface SeedTraceAsk {
  readonly field: string;
  readonly season: number;
  readonly way: TraceWay;
  readonly ground: TracedGround;
}

/** Where seed went, or where it came from; `field` is the other field where there is one. */
export type TracePartId =
  | 'shed before'
  | 'header'
  | 'left standing'
  | 'landed'
  | 'outside'
  | 'grain tank'
  | 'destroyed'
  | 'rode on'
  | 'grown here'
  | 'grown on'
  | 'carried in'
  | 'arrived';

export interface TracePart {
  readonly id: TracePartId;
  readonly field: string | null;
  readonly seeds: Range;
  readonly share: Range;
}

export interface SeedTrace extends SeedTraceAsk {
  readonly name: string;
  /** Ground of the cells that were taken, whole cells. */
  readonly cells: number;
  readonly groundAreaM2: number;
  /** All weeds together: that this ground made, or that lie on it. */
  readonly seeds: Range;
  /** All of `seeds`, split; where nothing was in any case, a part is left out. */
  readonly parts: readonly TracePart[];
  /** Share of `seeds` that landed, or grew, on this field and at most so far from the ground. */
  readonly within: readonly { readonly distanceM: number; readonly share: Range }[];
  /** Of the seed that rode on: where it fell, as a share of `seeds`; only of what is known of the fields after. */
  readonly fellOn: readonly { readonly field: string; readonly share: Range }[];
  readonly assumedPath: boolean;
  /** False: nobody looked at the field; its own seed is unknown and not counted. */
  readonly looked: boolean;
  /** True where the evidence spreads the seed evenly over the field: a rating. */
  readonly even: boolean;
  /** False: the order of fields is not known, nor what rode in or on. */
  readonly orderKnown: boolean;
  /** Most likely case, seeds/m² of the cell: that came here from this ground, or that came from here to it. */
  readonly map: { readonly origin: LonLat; readonly grid: GridShape; readonly seedsPerM2: Float64Array };
}

/** What is said of it, without the cells. */
export type ToldTrace = Omit<SeedTrace, 'map'>;

export interface CaseGround {
  /** All that stands, and one seed that came in lodged: what the machine's drive hangs on. */
  readonly input: Omit<MovementInput, 'path' | 'owner'>;
  /** Seeds that fell before harvest, a cell. */
  readonly shed: Float64Array;
  readonly passages: readonly Passage[];
}

/** All that a trace rests on: results of steps, none of them new. */
export interface TraceBase {
  readonly ask: SeedTraceAsk;
  readonly name: string;
  readonly ground: FieldGround;
  readonly place: Float64Array;
  readonly paths: readonly HarvestPath[];
  readonly looked: boolean;
  readonly even: boolean;
  readonly ladderM: readonly number[];
  readonly cases: Readonly<Record<Case, CaseGround>>;
  /** All that the machine's drive hangs on: the same objects where nothing of it changed. */
  readonly rests: readonly unknown[];
}

/** Distances that are told, in round numbers of the farm's own unit. */
const LADDER = { us: [30, 60, 120, 250, 500, 1000, 2500], metric: [10, 20, 40, 80, 150, 300, 750] } as const;

/** null where the field cannot be laid out, no way of a machine is known on it, or the ground does not touch it */
export function traceBase(farm: Farm, ask: SeedTraceAsk, result: ResultOf): TraceBase | null {
  const { field, season } = ask;
  const ground = result<FieldGround>('field', { field });
  const harvest = result<FieldHarvestPath>('harvest-path', { field, season });
  const seeds = byCase((which) => result<FieldSeedReturn>('seed-return', { field, season, case: which }));
  const passages = byCase((which) => passagesOf(farm, ask, which, result));
  // All results are asked for above: what follows is work, and is not begun before they are there.
  if (!ground || !harvest || !seeds || !passages) return null;
  const place = groundCells(pointed(ask.ground, ground), ground.grid, ground.inside);
  if (!place.includes(1)) return null;
  const settings = machineSettings(farm, { field, season });
  const values = byCase((which) => resolveParameters(machineParameterIds(), which, farm.ownValues))!;
  const cases = byCase((which): CaseGround => {
    const { species } = seeds[which];
    const stand = species.map((one) => one.standingPerM2);
    const standing = summed(stand, ground.inside.length);
    const input = withGuest(settings, [standing], { field: ground, path: harvest }, values[which]);
    return { input, shed: shedSeeds(species, ground.inside.length), passages: passages[which] };
  })!;
  return {
    ask,
    name: fieldOf(farm, field).name,
    ground,
    place,
    paths: [harvest.path, ...(harvest.reversed ? [harvest.reversed] : [])],
    looked: seeds.central.looked,
    even: seeds.central.species.every((one) => isEven(one.standingPerM2, ground.inside)),
    ladderM: LADDER[farm.display].map((one) => toSI(one, farm.display === 'us' ? 'ft' : 'm')),
    cases,
    rests: [ground, harvest, ...CASES.map((which) => seeds[which]), JSON.stringify([settings, values])],
  };
}

/**
 * @param kept from one ground of a field to the next
 * @cost in three cases, on an assumed path both ways: the machine's drive once, then O(segments), sub-steps × slices only where the
 * machine is near the ground or has its seed aboard
 */
export function* followSeed(base: TraceBase, kept = new KeptDrives()): Generator<Progress, SeedTrace, void> {
  const traced = {} as Record<Case, Traced>;
  const drives = kept.of(base.rests);
  for (const [nth, which] of CASES.entries()) {
    const work = base.ask.way === 'from' ? traceForward(base, which, drives) : traceBack(base, which, drives);
    traced[which] = yield* portion(work, nth / CASES.length, (nth + 1) / CASES.length);
  }
  const { ground, place, paths, ladderM } = base;
  const { grid } = ground;
  const distanceM = distancesFrom(place, grid);
  const nearOf = new Map(CASES.map((which) => [traced[which], seedsWithin(traced[which], distanceM, ladderM)]));
  const cellAreaM2 = grid.cellM ** 2;
  const cells = place.reduce((sum, one) => sum + one, 0);
  const share = (of: (one: Traced) => number) =>
    foldKnown(traced, (one) => (one.seeds > 0 ? of(one) / one.seeds : null));
  const partIds = unique(CASES.flatMap((which) => traced[which].parts.map(({ id, field }) => ({ id, field }))));
  const partOf = (one: Traced, { id, field }: PartName) =>
    one.parts.find((part) => part.id === id && part.field === field)?.seeds ?? 0;
  const fell = unique(CASES.flatMap((which) => traced[which].fellOn.map(({ field }) => ({ id: 'rode on', field }))));
  return {
    ...base.ask,
    name: base.name,
    cells,
    groundAreaM2: cells * cellAreaM2,
    seeds: foldKnown(traced, (one) => one.seeds),
    parts: partIds.map((part) => ({
      id: part.id as TracePartId,
      field: part.field,
      seeds: foldKnown(traced, (one) => partOf(one, part)),
      share: share((one) => partOf(one, part)),
    })),
    within: ladderM.map((limitM, index) => ({ distanceM: limitM, share: share((one) => nearOf.get(one)![index]!) })),
    fellOn: fell.map(({ field }) => ({
      field: field!,
      share: share((one) => one.fellOn.find((it) => it.field === field)?.seeds ?? 0),
    })),
    assumedPath: paths[0]!.assumed,
    looked: base.looked,
    even: base.even,
    orderKnown: CASES.every((which) => traced[which].orderKnown),
    map: { origin: ground.origin, grid, seedsPerM2: traced.central.cellSeeds.map((seeds) => seeds / cellAreaM2) },
  };
}

interface PartName {
  readonly id: string;
  readonly field: string | null;
}

/** The fields of its machine, in the order of time; those without a day are left out. null where nothing is known of the chain */
function passagesOf(farm: Farm, ask: SeedTraceAsk, which: Case, result: ResultOf): readonly Passage[] | null {
  const { season } = ask;
  const { machine } = harvestOf(farm, ask.field, season);
  const chain = result<MovementChain>('movement-chain', { machine, season, case: which });
  return (
    chain &&
    chain.links.flatMap((link): Passage[] => {
      if (link.carriedIn === null) return [];
      return [
        {
          field: link.field,
          carriedInSeeds: sumSeeds(link.carriedIn),
          removedSeeds: sumSeeds(link.removedAtCleanOut),
          arrivedSeeds: sumSeeds(link.arrived),
          ownLeftSeeds: sumSeeds(link.ownLeft),
          keptFraction: link.kept,
          landedFraction: link.laid,
        },
      ];
    })
  );
}

function pointed(ground: TracedGround, { origin }: FieldGround) {
  const frame = createFrame(origin);
  if ('area' in ground) return { area: toLocalPolygon(frame, ground.area) };
  const [xM, yM] = frame.toLocal(...ground.at);
  return { xM, yM, radiusM: ground.radiusM };
}

function shedSeeds(species: FieldSeedReturn['species'], cellCount: number): Float64Array {
  const cells = species.map(({ shedPerM2, shedBeforeSeeds }) => {
    const factor = shedBeforeSeeds === 0 ? 0 : shedBeforeSeeds / shedPerM2.reduce((sum, one) => sum + one, 0);
    return shedPerM2.map((perM2) => perM2 * factor);
  });
  return summed(cells, cellCount);
}

/** Cell by cell; unknown ground counts as none, as in the movement. */
function summed(arrays: readonly Float64Array[], length: number): Float64Array {
  return Float64Array.from({ length }, (_, cell) => arrays.reduce((sum, one) => sum + (one[cell]! || 0), 0));
}

function isEven(perM2: Float64Array, inside: Uint8Array): boolean {
  const first = perM2[inside.indexOf(1)];
  return perM2.every((value, cell) => inside[cell] === 0 || value === first);
}

/** Seeds at most so far away, for each limit. @param limitsM rising */
function seedsWithin({ cellSeeds }: Traced, distanceM: Float64Array, limitsM: readonly number[]): readonly number[] {
  const between = new CompensatedSums(limitsM.length + 1);
  for (let cell = 0; cell < cellSeeds.length; cell++) {
    if (cellSeeds[cell] === 0) continue;
    let ring = 0;
    while (ring < limitsM.length && distanceM[cell]! > limitsM[ring]!) ring++;
    between.add(ring, cellSeeds[cell]!);
  }
  const rings = [...between.totals()];
  return limitsM.map((_, index) => sumSeeds(rings.slice(0, index + 1)));
}

function byCase<T>(of: (which: Case) => T | null): Readonly<Record<Case, T>> | null {
  const all = CASES.map((which) => [which, of(which)] as const);
  return all.every(([, one]) => one !== null) ? (Object.fromEntries(all) as Record<Case, T>) : null;
}

/** Over the cases in which it can be told; unknown where it cannot be in the most likely one. */
function foldKnown(traced: Readonly<Record<Case, Traced>>, of: (one: Traced) => number | null): Range {
  const central = of(traced.central);
  const known = CASES.flatMap((which) => of(traced[which]) ?? []);
  return central === null ? UNKNOWN_RANGE : { low: Math.min(...known), central, high: Math.max(...known) };
}

function unique(names: readonly PartName[]): PartName[] {
  return names.filter(
    (one, index) => names.findIndex((other) => other.id === one.id && other.field === one.field) === index,
  );
}
