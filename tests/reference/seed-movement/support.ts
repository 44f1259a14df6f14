/** Builds the input of `moveSeed` from a reference case, as the case's README says. Test side only. */

import type { GridShape } from '../../../shared/geometry/types.ts';
import type { MachineStreams, MachineState, StreamId } from '../../../shared/harvest/machine-streams.ts';
import { emptyMachine } from '../../../shared/harvest/machine-streams.ts';
import { moveSeed } from '../../../shared/harvest/seed-movement.ts';
import type { Movement, MovementInput } from '../../../shared/harvest/movement-input.ts';

export interface CaseGrid {
  x0: number;
  y0: number;
  nx: number;
  ny: number;
  cell_m: number;
  sub_cells_per_side: number;
}
export interface CasePatch {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
  seeds_per_m2: number;
}
export interface CasePath {
  t: number[];
  x: number[];
  y: number[];
  heading_deg: number[];
  cutting: number[];
  running: number[];
}
export interface CaseMachine {
  header_m: number;
  header_loss: number;
  exit_behind_m: number;
  step_m: number;
  step_s: number;
  streams: {
    name: string;
    fraction: number;
    delay_s: number;
    tau_s: number;
    exit: 'tank' | 'chaff' | 'straw';
    mill_kill: number;
  }[];
  kernels: Record<
    string,
    { kind: 'uniform' | 'triangular' | 'line'; width_m: number; n: number; offsets_m?: number[] }
  >;
}
export interface CaseGiven {
  grid: CaseGrid;
  boundary_box: [number, number, number, number];
  path: CasePath;
  machine: CaseMachine;
}

/** First segment whose swath holds each sub-cell centre; half-open edges; cutter bar square to the logged heading. */
export function firstCut(sub: GridShape, path: CasePath, headerM: number): Int32Array {
  const owner = new Int32Array(sub.columns * sub.rows).fill(-1);
  for (let k = 0; k + 1 < path.t.length; k++) {
    if (!path.cutting[k] || (path.x[k] === path.x[k + 1] && path.y[k] === path.y[k + 1])) continue;
    const end = (i: number, side: number) => {
      const heading = (path.heading_deg[i]! * Math.PI) / 180;
      return [
        path.x[i]! + (side * Math.cos(heading) * headerM) / 2,
        path.y[i]! - (side * Math.sin(heading) * headerM) / 2,
      ] as const;
    };
    const quad = [end(k, -1), end(k, 1), end(k + 1, 1), end(k + 1, -1)];
    const xs = quad.map(([x]) => x);
    const ys = quad.map(([, y]) => y);
    const first = (low: number, origin: number) => Math.max(0, Math.floor((low - origin) / sub.cellM - 1));
    const last = (high: number, origin: number, count: number) =>
      Math.min(count - 1, Math.ceil((high - origin) / sub.cellM));
    for (let j = first(Math.min(...ys), sub.y0M); j <= last(Math.max(...ys), sub.y0M, sub.rows); j++) {
      for (let i = first(Math.min(...xs), sub.x0M); i <= last(Math.max(...xs), sub.x0M, sub.columns); i++) {
        if (owner[j * sub.columns + i]! >= 0) continue;
        const x = sub.x0M + (i + 0.5) * sub.cellM;
        const y = sub.y0M + (j + 0.5) * sub.cellM;
        const inside = quad.every(([ax, ay], edge) => {
          const [bx, by] = quad[(edge + 1) % 4]!;
          const side = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
          return edge === 0 || edge === 3 ? side >= 0 : side > 0;
        });
        if (inside) owner[j * sub.columns + i] = k;
      }
    }
  }
  return owner;
}

/** @param slices of all kernels (in the cases they agree where both are used) */
export function machineOf(machine: CaseMachine): MachineStreams {
  const { chaff, straw } = machine.kernels;
  const kernel = (one = chaff!) => ({
    shape: one.kind,
    widthM: one.width_m,
    ...(one.offsets_m ? { offsetsM: one.offsets_m } : {}),
  });
  if (straw && straw.n !== chaff!.n) throw new Error('the kernels of this case differ in their slices');
  return {
    headerLossFraction: machine.header_loss,
    streams: machine.streams.map((stream) => ({
      id: stream.name as StreamId,
      share: stream.fraction,
      delayS: stream.delay_s,
      timeConstantS: stream.tau_s,
      exit: stream.exit,
      milled: stream.mill_kill > 0,
    })),
    millKillFraction: Math.max(...machine.streams.map(({ mill_kill }) => mill_kill)),
    cutterBarToExitM: machine.exit_behind_m,
    kernels: { chaff: kernel(chaff), straw: kernel(straw) },
    slices: chaff!.n,
  };
}

export function cellsOf(grid: CaseGrid): GridShape {
  return { x0M: grid.x0, y0M: grid.y0, columns: grid.nx, rows: grid.ny, cellM: grid.cell_m };
}

export function standingOf(grid: CaseGrid, patches: readonly CasePatch[]): Float64Array {
  const standing = new Float64Array(grid.nx * grid.ny);
  for (let j = 0; j < grid.ny; j++) {
    for (let i = 0; i < grid.nx; i++) {
      const x = grid.x0 + (i + 0.5) * grid.cell_m;
      const y = grid.y0 + (j + 0.5) * grid.cell_m;
      for (const patch of patches) {
        if (x >= patch.x0 && x < patch.x1 && y >= patch.y0 && y < patch.y1) {
          standing[j * grid.nx + i]! += patch.seeds_per_m2;
        }
      }
    }
  }
  return standing;
}

/** The input of a run of a case; `channels` of standing seed stand side by side. */
export function inputOf(
  given: CaseGiven,
  channels: readonly (readonly CasePatch[])[],
  state: MachineState = emptyMachine(channels.length),
): MovementInput {
  const { grid, boundary_box: box, path } = given;
  const cells = cellsOf(grid);
  const each = grid.sub_cells_per_side;
  const sub = { ...cells, columns: grid.nx * each, rows: grid.ny * each, cellM: grid.cell_m / each };
  const inField = new Uint8Array(grid.nx * grid.ny);
  for (let j = 0; j < grid.ny; j++) {
    for (let i = 0; i < grid.nx; i++) {
      const x = grid.x0 + (i + 0.5) * grid.cell_m;
      const y = grid.y0 + (j + 0.5) * grid.cell_m;
      inField[j * grid.nx + i] = x > box[0] && x < box[2] && y > box[1] && y < box[3] ? 1 : 0;
    }
  }
  return {
    path: {
      count: path.t.length,
      timeS: Float64Array.from(path.t),
      xM: Float64Array.from(path.x),
      yM: Float64Array.from(path.y),
      headingDeg: Float64Array.from(path.heading_deg),
      cutting: Uint8Array.from(path.cutting),
      running: Uint8Array.from(path.running),
    },
    owner: { grid: sub, segment: firstCut(sub, path, given.machine.header_m) },
    cells,
    inField,
    standing: channels.map((patches) => standingOf(grid, patches)),
    machine: machineOf(given.machine),
    state,
    stepM: given.machine.step_m,
    stepS: given.machine.step_s,
  };
}

/** Drives a movement to its end. */
export function move(input: MovementInput): Movement {
  const steps = moveSeed(input);
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}
