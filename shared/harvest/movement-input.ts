/** What a movement of seed is given and what it gives; and what it refuses. */
import type { GridShape } from '../geometry/types.ts';
import type { Ledger } from './ledger.ts';
import type { MachineLoad } from './machine-load.ts';
import { assertMachine, STREAM_IDS } from './machine-streams.ts';
import type { MachineState, MachineStreams } from './machine-streams.ts';

/** Arrays share an index of records; `cutting[k]` and `running[k]` belong to the segment from record k to k + 1. */
export interface MachinePath {
  readonly count: number;
  readonly timeS: Float64Array;
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly headingDeg: Float64Array;
  readonly cutting: Uint8Array;
  readonly running: Uint8Array;
}

export interface MovementInput {
  readonly path: MachinePath;
  /** Sub-cells: which segment was first to cut each, −1 none. */
  readonly owner: { readonly grid: GridShape; readonly segment: Int32Array };
  /** The map's cells; the owner's grid nests in them. */
  readonly cells: GridShape;
  /** 1 inside the field. Seed that falls elsewhere has landed outside. */
  readonly inField: Uint8Array;
  /** Seeds/m² on the plant at harvest per cell, one array a channel (a channel is one species); NaN is unknown. */
  readonly standing: readonly (Float64Array | Float32Array)[];
  readonly machine: MachineStreams;
  /** What the machine holds on arrival; not changed. */
  readonly state: MachineState;
  /** Longest sub-step: at most half a cell, at most 1 s. */
  readonly stepM: number;
  readonly stepS: number;
  /** Whether what is aboard is written down at each record. */
  readonly recordLoad?: boolean;
  /**
   * Of a movement of at least this seed over the same path: its clock goes on where that one's did, so that both tell of one drive.
   * Where it is given, a machine that holds less than rounding is left alone. Without it the machine goes by its own seed.
   */
  readonly drive?: MachineDrive;
}

/** Which segments of the path the machine worked through, one element a segment: what a way backward has to repeat. */
export interface MachineDrive {
  /** 1 where its clock went on. */
  readonly passed: Uint8Array;
  /** 1 where seed entered. */
  readonly fed: Uint8Array;
}

export interface Movement {
  /** Seeds a cell, header loss included; one array a channel. */
  readonly landed: Float64Array[];
  /**
   * One a channel, from the standing crop on: `producedSeeds` and `shedBeforeSeeds` are 0, for the caller to fill
   * (produced = standing + shed before).
   */
  readonly ledger: Ledger[];
  readonly state: MachineState;
  /** Seed on the plants at harvest, one number a channel. */
  readonly standingSeeds: Float64Array;
  /** Cells inside the field with unknown standing seed, counted as 0; one number a channel. */
  readonly unknownCells: Int32Array;
  /** At each record of the path; null unless asked for. */
  readonly load: MachineLoad | null;
  readonly drive: MachineDrive;
}

/** @throws where arrays do not fit each other, a number is not finite, or the machine is none */
export function assertInput({
  path,
  owner,
  cells,
  inField,
  standing,
  machine,
  state,
  stepM,
  stepS,
  drive,
}: MovementInput): void {
  const refuse = (what: string): never => {
    throw new Error(`moveSeed: ${what}`);
  };
  assertMachine(machine);
  const cellCount = cells.columns * cells.rows;
  if (standing.length === 0) refuse('expected at least one channel of standing seed');
  if (state.channels !== standing.length)
    refuse(`the machine holds ${state.channels} channels, ${standing.length} stand`);
  for (const map of standing) if (map.length !== cellCount) refuse(`expected ${cellCount} cells, got ${map.length}`);
  if (inField.length !== cellCount) refuse(`expected inField of ${cellCount} cells, got ${inField.length}`);
  if (owner.segment.length !== owner.grid.columns * owner.grid.rows) refuse('owner does not fill its grid');
  if (!(stepM > 0 && stepS > 0)) refuse(`expected sub-steps above 0, got ${stepM} m, ${stepS} s`);
  for (const array of [path.timeS, path.xM, path.yM, path.headingDeg]) {
    if (array.length < path.count) refuse(`expected ${path.count} records, got ${array.length}`);
    for (let k = 0; k < path.count; k++) if (!Number.isFinite(array[k])) refuse(`record ${k} has a number ${array[k]}`);
  }
  if (path.cutting.length < path.count - 1 || path.running.length < path.count - 1)
    refuse('a segment lacks its switches');
  if (drive) assertDriveOf(drive, path);
  for (const id of STREAM_IDS) {
    if (state.streams[id].storeSeeds.length !== standing.length)
      refuse(`the state of ${id} is not of ${standing.length} channels`);
  }
}

/** @throws where it is a drive of another path */
export function assertDriveOf({ passed, fed }: MachineDrive, { count }: MachinePath): void {
  const segments = Math.max(0, count - 1);
  if (passed.length === segments && fed.length === segments) return;
  throw new Error(`MachineDrive: ${passed.length} segments of ${segments}`);
}
