/**
 * Per field, season and case: where the machine laid the field's own seed, and what would become of one seed that came in
 * lodged. The model is linear, so the chain of fields needs no new simulation.
 */
import { addLedgers, EMPTY_LEDGER, type Ledger, scaledLedger } from '../../harvest/ledger.ts';
import { machineParameterIds, machineStreams } from '../../harvest/machine-parameters.ts';
import { emptyMachine, heldSeeds, type MachineState } from '../../harvest/machine-streams.ts';
import type { MachinePath, MovementInput } from '../../harvest/movement-input.ts';
import { moveSeed } from '../../harvest/seed-movement.ts';
import type { Farm } from '../../model/farm.ts';
import { harvestOf, machineOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { Ask, Progress, Scope, Values } from '../step.ts';
import type { FieldGround } from './field.ts';
import type { FieldHarvestPath } from './harvest-path.ts';
import type { MovementEven } from './movement-even.ts';
import type { FieldSeedReturn, SpeciesSeed } from './seed-return.ts';

export interface MovementOwn {
  readonly startS: number | null;
  readonly species: readonly string[];
  /** Seeds per cell, header loss included, one array a species. */
  readonly landed: readonly Float64Array[];
  readonly ledger: readonly Ledger[];
  /** What one seed that came in lodged does here: seeds per cell, and its ledger with carriedInSeeds = 1. */
  readonly response: { readonly landed: Float64Array; readonly ledger: Ledger };
  /** Assumed path only: share of the landed seed that would lie in other cells if the strips were driven the other way. */
  readonly directionShare: number | null;
}

/** How the field's machine treats its residue. */
export interface MachineSettings {
  readonly residue: 'spread' | 'chaff-line' | 'impact-mill';
  readonly chaffWidthM: number | null;
  readonly strawWidthM: number | null;
}

/** The separator runs empty at the gate for this long (common practice, no source); what is still aboard then counts as lodged. */
const RUN_EMPTY_S = 60;

export const movementOwnStep = defineStep<MachineSettings, MovementOwn>({
  id: 'movement-own',
  title: 'Seed movement in each field',
  version: 2,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings: machineSettings,
  parameters: () => machineParameterIds(),
  needs(_farm, scope) {
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      path: { step: 'harvest-path', scope: { field: scope.field!, season: scope.season! } },
      seed: { step: 'seed-return', scope },
      even: { step: 'movement-even', scope },
    };
  },
  lazy: ['even'],
  *run({ settings, needs, p }) {
    const harvest = needs['path'] as FieldHarvestPath;
    const seed = needs['seed'] as FieldSeedReturn;
    const { inside } = needs['field'] as FieldGround;
    const { input, present, guest } = ownMovement(settings, needs, p);
    const densities = present.map((one) => evenPerM2(one.standingPerM2, inside));
    const even = densities.every((one) => one !== null);
    const run = even
      ? evenly(densities as number[], (yield* (needs['even'] as Ask<MovementEven>)())!)
      : yield* moveAlong(input, harvest);
    const channelOf = (one: SpeciesSeed) => present.indexOf(one);
    return done({
      startS: harvest.startS,
      species: seed.species.map((one) => one.species),
      landed: seed.species.map((one) => run.landed[channelOf(one)] ?? input.standing[guest]!),
      ledger: seed.species.map((one) => ({
        ...(run.ledgers[channelOf(one)] ?? EMPTY_LEDGER),
        producedSeeds: one.shedBeforeSeeds + (run.standingSeeds[channelOf(one)] ?? 0),
        shedBeforeSeeds: one.shedBeforeSeeds,
      })),
      response: { landed: run.landed[guest]!, ledger: run.ledgers[guest]! },
      directionShare: run.directionShare,
    });
  },
});

/** Channels in order, the guest last. */
export interface Moved {
  readonly landed: readonly Float64Array[];
  readonly ledgers: readonly Ledger[];
  readonly standingSeeds: ArrayLike<number>;
  readonly directionShare: number | null;
}

/** Along the path; on an assumed one, the mean of both ways of driving it. */
export function* moveAlong(
  input: Omit<MovementInput, 'path' | 'owner'>,
  { path, reversed }: FieldHarvestPath,
): Generator<Progress, Moved, void> {
  const first = yield* moveSeed({ ...input, path: runEmpty(path), owner: path.owner });
  const runs = [first];
  if (reversed) runs.push(yield* moveSeed({ ...input, path: runEmpty(reversed), owner: reversed.owner }));
  const guest = input.standing.length - 1;
  return {
    landed: input.standing.map((_, channel) => meanOf(runs.map((run) => run.landed[channel]!))),
    ledgers: input.standing.map((_, channel) => meanLedger(runs.map((run) => run.ledger[channel]!))),
    standingSeeds: first.standingSeeds,
    directionShare: runs.length === 2 ? differenceShare(runs[0]!.landed, runs[1]!.landed, guest) : null,
  };
}

/** Seeds/m² where they are the same in every cell of the field, else null. */
function evenPerM2(standingPerM2: Float64Array, inside: Uint8Array): number | null {
  const first = standingPerM2[inside.indexOf(1)] ?? 0;
  for (let cell = 0; cell < inside.length; cell++) {
    if (standingPerM2[cell] !== (inside[cell] === 1 ? first : 0)) return null;
  }
  return first;
}

/** The model is linear: seed that stands evenly goes where one seed/m² goes, times its density. */
function evenly(densities: readonly number[], { one, guest, directionShare }: MovementEven): Moved {
  return {
    landed: [...densities.map((perM2) => one.landed.map((seeds) => seeds * perM2)), guest.landed],
    ledgers: [...densities.map((perM2) => scaledLedger(one.ledger, perM2)), guest.ledger],
    standingSeeds: densities.map((perM2) => perM2 * one.standingSeeds),
    directionShare,
  };
}

export function machineSettings(farm: Farm, scope: Scope): MachineSettings {
  const machine = machineOf(farm, harvestOf(farm, scope.field!, scope.season!).machine);
  return {
    residue: machine?.residue ?? 'spread',
    chaffWidthM: machine?.chaffWidthM ?? null,
    strawWidthM: machine?.strawWidthM ?? null,
  };
}

/** What `moveSeed` is given but for the path: a channel for each species that stands here; those that nobody found would carry nothing. */
export function ownMovement(
  settings: MachineSettings,
  needs: Readonly<Record<string, unknown>>,
  p: Values,
): {
  readonly input: WithGuest;
  readonly present: readonly SpeciesSeed[];
  readonly guest: number;
} {
  const present = (needs['seed'] as FieldSeedReturn).species.filter((one) => one.standingSeeds > 0);
  const standing = present.map((one) => one.standingPerM2);
  return { input: withGuest(settings, standing, needs, p), present, guest: present.length };
}

type WithGuest = Omit<MovementInput, 'path' | 'owner'> & { readonly standing: readonly Float64Array[] };

/** The same for any standing seed; the last channel is the guest, a single seed that came in lodged. */
export function withGuest(
  settings: MachineSettings,
  standing: readonly Float64Array[],
  needs: Readonly<Record<string, unknown>>,
  p: Values,
): WithGuest {
  const ground = needs['field'] as FieldGround;
  const { headerWidthM } = needs['path'] as FieldHarvestPath;
  return {
    cells: ground.grid,
    inField: ground.inside,
    standing: [...standing, new Float64Array(ground.inside.length)],
    machine: machineStreams({ ...settings, headerWidthM }, p),
    state: lodged(standing.length + 1, standing.length),
    stepM: ground.grid.cellM / 2,
    stepS: 1,
  };
}

/** A clean machine but for one seed lodged in the last channel. */
function lodged(channels: number, guest: number): MachineState {
  const clean = emptyMachine(channels);
  const storeSeeds = new Float64Array(channels);
  storeSeeds[guest] = 1;
  const state = { ...clean, streams: { ...clean.streams, lodged: { ...clean.streams.lodged, storeSeeds } } };
  if (heldSeeds(state, guest) !== 1) throw new Error('lodged: the guest seed is not aboard');
  return state;
}

/** The path with the machine standing at its end, separator running, until it has run empty. */
export function runEmpty(path: MachinePath): MachinePath {
  const { count } = path;
  if (count === 0) return path;
  const longer = (values: Float64Array, last: number) => {
    const out = new Float64Array(count + 1);
    out.set(values.subarray(0, count));
    out[count] = last;
    return out;
  };
  const flags = (values: Uint8Array, last: number) => {
    const out = new Uint8Array(count + 1);
    out.set(values.subarray(0, count));
    out[count - 1] = last;
    return out;
  };
  const end = count - 1;
  return {
    count: count + 1,
    timeS: longer(path.timeS, path.timeS[end]! + RUN_EMPTY_S),
    xM: longer(path.xM, path.xM[end]!),
    yM: longer(path.yM, path.yM[end]!),
    headingDeg: longer(path.headingDeg, path.headingDeg[end]!),
    cutting: flags(path.cutting, 0),
    running: flags(path.running, 1),
  };
}

function meanOf(arrays: readonly Float64Array[]): Float64Array {
  if (arrays.length === 1) return arrays[0]!;
  return arrays[0]!.map((_, cell) => arrays.reduce((sum, array) => sum + array[cell]!, 0) / arrays.length);
}

function meanLedger(ledgers: readonly Ledger[]): Ledger {
  return ledgers.length === 1 ? ledgers[0]! : scaledLedger(addLedgers(...ledgers), 1 / ledgers.length);
}

function differenceShare(a: readonly Float64Array[], b: readonly Float64Array[], channels: number): number | null {
  let [apart, all] = [0, 0];
  for (let channel = 0; channel < channels; channel++) {
    for (let cell = 0; cell < a[channel]!.length; cell++) {
      apart += Math.abs(a[channel]![cell]! - b[channel]![cell]!) / 2;
      all += a[channel]![cell]!;
    }
  }
  return all === 0 ? null : apart / all;
}
