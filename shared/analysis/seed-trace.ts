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
import { addLedgers, type Ledger, scaledLedger, sumSeeds } from '../harvest/ledger.ts';
import { machineParameterIds } from '../harvest/machine-parameters.ts';
import type { MovementInput } from '../harvest/movement-input.ts';
import { moveSeed } from '../harvest/seed-movement.ts';
import { traceOrigin } from '../harvest/seed-origin.ts';
import type { Farm } from '../model/farm.ts';
import { fieldOf, harvestOf } from '../model/lookups.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { toSI } from '../units/units.ts';
import { broughtBy, type Passage, rodeOnTo } from './seed-passage.ts';
import type { Progress, ResultOf } from './step.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldHarvestPath } from './steps/harvest-path.ts';
import type { MovementChain } from './steps/movement-chain.ts';
import { machineSettings, runEmpty, withGuest } from './steps/movement-own.ts';
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

interface CaseGround {
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
  const cases = byCase((which): CaseGround => {
    const { species } = seeds[which];
    const stand = species.map((one) => one.standingPerM2);
    const standing = summed(stand, ground.inside.length);
    const traced = ask.way === 'from' ? [standing, standing.map((perM2, cell) => perM2 * place[cell]!)] : [standing];
    const values = resolveParameters(machineParameterIds(), which, farm.ownValues);
    const input = withGuest(settings, traced, { field: ground, path: harvest }, values);
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
  };
}

/** @cost as `moveSeed` in three cases, and on an assumed path both ways; backward as much again */
export function* followSeed(base: TraceBase): Generator<Progress, SeedTrace, void> {
  const traced = {} as Record<Case, Traced>;
  for (const which of CASES) {
    traced[which] = yield* base.ask.way === 'from' ? traceForward(base, which) : traceBack(base, which);
  }
  const { ground, place, paths, ladderM } = base;
  const { grid } = ground;
  const distanceM = distancesFrom(place, grid);
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
    within: ladderM.map((limitM) => ({ distanceM: limitM, share: share((one) => sumWithin(one, distanceM, limitM)) })),
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

interface Traced {
  readonly seeds: number;
  readonly parts: readonly { readonly id: TracePartId; readonly field: string | null; readonly seeds: number }[];
  readonly fellOn: readonly { readonly field: string; readonly seeds: number }[];
  /** On this field, a cell. */
  readonly cellSeeds: Float64Array;
  readonly orderKnown: boolean;
}

/** Channels: all that stands, this ground's alone, the guest. */
const GROUND_CHANNEL = 1;

function* traceForward({ ask, place, paths, cases }: TraceBase, which: Case): Generator<Progress, Traced, void> {
  const { input, shed, passages } = cases[which];
  const ledgers: Ledger[] = [];
  const cellSeeds = shed.map((seeds, cell) => seeds * place[cell]!);
  const fellBefore = sumSeeds(cellSeeds);
  for (const path of paths) {
    const moved = yield* moveSeed({ ...input, path: runEmpty(path), owner: path.owner });
    ledgers.push(moved.ledger[GROUND_CHANNEL]!);
    moved.landed[GROUND_CHANNEL]!.forEach((seeds, cell) => (cellSeeds[cell]! += seeds / paths.length));
  }
  const ledger = scaledLedger(addLedgers(...ledgers), 1 / ledgers.length);
  const parts = (
    [
      ['shed before', fellBefore],
      ['header', ledger.headerLossSeeds],
      ['landed', ledger.landedByMachineSeeds],
      ['left standing', ledger.leftStandingSeeds],
      ['outside', ledger.landedOutsideSeeds],
      ['grain tank', ledger.grainTankSeeds],
      ['destroyed', ledger.destroyedSeeds],
      ['rode on', ledger.leftInMachineSeeds],
    ] as const
  ).flatMap(([id, seeds]) => (seeds > 0 ? [{ id, field: null, seeds }] : []));
  const fellOn = rodeOnTo(passages, ask.field, ledger.leftInMachineSeeds);
  return {
    seeds: sumSeeds(parts.map((one) => one.seeds)),
    parts,
    fellOn: fellOn ?? [],
    cellSeeds,
    orderKnown: fellOn !== null,
  };
}

function* traceBack({ ask, place, paths, cases, ground }: TraceBase, which: Case): Generator<Progress, Traced, void> {
  const { input, shed, passages } = cases[which];
  const cellAreaM2 = ground.grid.cellM ** 2;
  const cellSeeds = shed.map((seeds, cell) => seeds * place[cell]!);
  let ofLodged = 0;
  for (const path of paths) {
    const along = { ...input, path: runEmpty(path), owner: path.owner };
    const { drive } = yield* moveSeed(along);
    const { ofStanding, ofAboard } = yield* traceOrigin(along, drive, place);
    ofLodged += ofAboard.lodged.store / paths.length;
    const standing = input.standing[0]!;
    ofStanding.forEach((worth, cell) => {
      if (standing[cell]! > 0) cellSeeds[cell]! += (worth * standing[cell]! * cellAreaM2) / paths.length;
    });
  }
  const here = sumSeeds(cellSeeds.map((seeds, cell) => seeds * place[cell]!));
  const elsewhere = sumSeeds(cellSeeds.map((seeds, cell) => seeds * (1 - place[cell]!)));
  const brought = broughtBy(passages, ask.field);
  const parts = [
    { id: 'grown here' as const, field: null, seeds: here },
    { id: 'grown on' as const, field: null, seeds: elsewhere },
    ...(brought ?? []).map(({ field, seeds }) => ({
      id: field === null ? ('arrived' as const) : ('carried in' as const),
      field,
      seeds: seeds * ofLodged,
    })),
  ].filter((one) => one.seeds > 0);
  return {
    seeds: sumSeeds(parts.map((one) => one.seeds)),
    parts,
    fellOn: [],
    cellSeeds,
    orderKnown: brought !== null,
  };
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

function sumWithin({ cellSeeds }: Traced, distanceM: Float64Array, limitM: number): number {
  return sumSeeds(cellSeeds.map((seeds, cell) => (distanceM[cell]! <= limitM ? seeds : 0)));
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
