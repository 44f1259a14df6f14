/**
 * One field of 200 000 records on one core: the log cleaned, its swaths, newly cut area and yield, and seed moved along it; and the
 * ground its swaths cover beside a union of the same quadrilaterals by GEOS (geos-wasm) in the same run.
 */
import { swathQuads } from '../../shared/harvest/swaths.ts';
import { sweepSwaths } from '../../shared/harvest/sweep.ts';
import { emptyMachine } from '../../shared/harvest/machine-streams.ts';
import { gridOver } from '../../shared/geometry/grid.ts';
import type { FlatMultiPolygon, GridShape } from '../../shared/geometry/types.ts';
import type { HarvestPath } from '../../shared/harvest/harvest-path.ts';
import type { MovementInput } from '../../shared/harvest/movement-input.ts';
import { inventedLog, rectangle, retrace } from '../support/invented-log.ts';
import { run as toEnd } from '../support/run.ts';
import { move } from '../reference/seed-movement/support.ts';
import { Geos } from './geos.ts';
import { field as machineField } from './seed-movement.bench.ts';
import { type Row, row } from './row.ts';

const RECORDS = 200_000;
const TARGET_S = 2;
const TARGET_RATIO = 10;
const REPEATS = 3;
const LOG = { passS: 444, passes: Math.ceil(RECORDS / 459), spacingM: 8.64 };

export async function run(): Promise<{ rows: Row[] }> {
  const log = inventedLog(LOG);
  const [wideM, highM] = [LOG.passS * 1.8, LOG.passes * LOG.spacingM + 9];
  const boundary = rectangle(0, 0, wideM, highM);
  const grid = gridOver([0, 0, wideM, highM], 5);
  const both = () => {
    const path = retrace(log, { boundary, grid });
    const seeds = move(movementOf(path, grid));
    return { path, seeds };
  };
  const { path } = both();
  const whole = leastCpu(both);
  const alone = leastCpu(() => retrace(log, { boundary, grid }));
  console.log(
    `${log.count} records: ${whole.toFixed(2)} s of CPU, ${alone.toFixed(2)} of them for the path and its yield`,
  );
  return {
    rows: [
      row(`${log.count} records: cleaning, swaths, yield and seed movement, CPU`, whole, 's', { atMost: TARGET_S }),
      row('the same without seed movement, CPU', alone, 's'),
      ...(await covered(path, grid, boundary)),
    ],
  };
}

/** Seed of one species on three tenths of the cells, and what a guest seed does beside it, as the study moves them. */
function movementOf(path: HarvestPath, grid: GridShape): MovementInput {
  const cells = grid.columns * grid.rows;
  const { machine } = machineField(8, 1, 0);
  const standing = [
    Float64Array.from({ length: cells }, (_, cell) => (cell % 10 < 3 ? 1000 : 0)),
    new Float64Array(cells),
  ];
  return {
    path,
    owner: path.owner,
    cells: grid,
    inField: new Uint8Array(cells).fill(1),
    standing,
    machine,
    state: emptyMachine(2),
    stepM: grid.cellM / 2,
    stepS: 1,
  };
}

/** Newly cut ground by the owner raster, and the area of the union of the same swaths. */
async function covered(path: HarvestPath, grid: GridShape, boundary: FlatMultiPolygon): Promise<Row[]> {
  const { xM, yM, cutting, swathM } = path;
  const ours = () => {
    const sweep = toEnd(sweepSwaths({ xM, yM, cutting, widthM: swathM, grid, boundary }));
    return sweep.coveredAreaM2 + sweep.coveredOutsideM2;
  };
  const oursM2 = ours();
  const oursS = leastCpu(ours);
  const geos = await Geos.start();
  const { cornersM, areaM2 } = swathQuads(xM, yM, cutting, swathM);
  const swaths: FlatMultiPolygon[] = [];
  for (let k = 0; k < path.count; k++) if (areaM2[k]! > 0) swaths.push([[cornersM.slice(8 * k, 8 * k + 8)]]);
  const before = process.cpuUsage();
  const theirsM2 = geos.unionAreaM2(swaths);
  const theirsS = cpuSince(before);
  const error = Math.abs(oursM2 - theirsM2) / theirsM2;
  console.log(
    `ground covered by ${swaths.length} swaths: ${oursS.toFixed(2)} s here, ${theirsS.toFixed(1)} s by GEOS; ${(oursM2 / 1e4).toFixed(3)} and ${(theirsM2 / 1e4).toFixed(3)} ha, ${(100 * error).toFixed(4)} % apart`,
  );
  return [
    row(`ground covered by ${swaths.length} swaths: CPU time of GEOS over ours`, theirsS / oursS, '', {
      atLeast: TARGET_RATIO,
    }),
    row('the same: areas apart', 100 * error, '%'),
  ];
}

function leastCpu(work: () => unknown): number {
  let least = Infinity;
  for (let repeat = 0; repeat < REPEATS; repeat++) {
    const before = process.cpuUsage();
    work();
    least = Math.min(least, cpuSince(before));
  }
  return least;
}

function cpuSince(before: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}
