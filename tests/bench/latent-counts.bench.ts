/**
 * The latent count model on a 40 ha field shown at 5 m, timed: the preview, both chains, and the map's pixels at a moved threshold. A chain has a thread of its
 * own in the app; here they run one after the other on one, so each chain's time, and the longer one with the joining, is
 * what two threads would take. Seeded, warmed, repeated.
 */
import { latentMapAt } from '../../shared/agronomy/infestation.ts';
import { latentGrid, probabilityOnDisplay } from '../../shared/agronomy/latent-grid.ts';
import { groundAt, latentGround } from '../../shared/agronomy/latent-ground.ts';
import { scoutingDensity } from '../../shared/agronomy/scouting-density.ts';
import type { ChainResult, LatentInput } from '../../shared/statistics/latent/chain.ts';
import { latentChain } from '../../shared/statistics/latent/chain.ts';
import { joinChains } from '../../shared/statistics/latent/posterior.ts';
import { latentPreview } from '../../shared/statistics/latent/preview.ts';
import { patchyCounts } from '../support/latent-field.ts';
import { run as toEnd } from '../support/run.ts';
import { surfacePixels } from '../../src/map/surface-pixels.ts';
import { type Row, row } from './row.ts';
import { summary, tell } from './timing.ts';

const REPEATS = 3;
const PREVIEW_TARGET_S = 0.5;
const SIZES = [
  { places: 60, targetS: 1.5 },
  { places: 200, targetS: 6 },
];
const THRESHOLD_TARGET_S = 0.05;

const grid = { x0M: 0, y0M: 0, columns: 160, rows: 100, cellM: 5 };
const field = { grid, inside: new Uint8Array(grid.columns * grid.rows).fill(1) };
const latent = latentGrid(field);
const cellAreaM2 = new Float64Array(field.inside.length).fill(grid.cellM ** 2);

/** Times on the clock and on the processor of one piece of work, several times. */
function timed<Result>(work: () => Result): { result: Result; wall: number[]; cpu: number[] } {
  let result = work();
  const [wall, cpu]: [number[], number[]] = [[], []];
  for (let i = 0; i < REPEATS; i++) {
    const before = process.cpuUsage();
    const start = performance.now();
    result = work();
    wall.push((performance.now() - start) / 1000);
    const used = process.cpuUsage(before);
    cpu.push((used.user + used.system) / 1e6);
  }
  return { result, wall, cpu };
}

function measure(size: number, targetS: number): Row[] {
  const input: LatentInput = { places: patchyCounts(size), cells: latent.cells };
  const preview = timed(() =>
    probabilityOnDisplay(field, latent, latentPreview(input.places, latent.cells, 1).probability),
  );
  const chains = [0, 1].map((chain) => timed(() => toEnd(latentChain(input, { seed: 1, chain }))));
  const [first, second] = chains.map(({ result }) => result) as [ChainResult, ChainResult];
  const { count, effortM2, xM, yM } = input.places;
  const places = Array.from(count, (one, at) => ({ xM: xM[at]!, yM: yM[at]!, count: one, effortM2: effortM2[at]! }));
  const density = scoutingDensity(places);
  const setting = { field, grid: latent, input, followsPath: false };
  const joining = timed(() => {
    const ground = latentGround(setting, density, cellAreaM2, joinChains(first, second));
    return { ground, range: groundAt(ground, 1).range };
  });
  const about = { ...field, cellAreaM2, areaM2: 40e4, places, rating: null, patches: [] };
  const color = (chance: number) => (chance < 0.5 ? '#eeccdd' : '#552244');
  const moved = timed(() => {
    const { probabilityAbove } = latentMapAt({ ...about, thresholdPerM2: 1.5 }, joining.result.ground);
    const shown = { origin: [0, 0] as const, grid, values: Float32Array.from(probabilityAbove!) };
    return surfacePixels(shown, field.inside, { color, isFull: () => true, isShown: () => true });
  });
  const { range90M2, centralM2, saying } = joining.result.range;
  const ha = (m2: number | null): string => (m2 === null ? 'none' : (m2 / 1e4).toFixed(1));
  console.log(
    `latent counts: ${size} places, ${latent.cells.xM.length} model cells, ${latent.cells.coarse.length} coarse`,
  );
  console.log(`  preview   ${tell(summary(preview.wall, preview.cpu))}`);
  chains.forEach(({ wall, cpu }, chain) => console.log(`  chain ${chain}   ${tell(summary(wall, cpu))}`));
  console.log(`  joining   ${tell(summary(joining.wall, joining.cpu))}`);
  console.log(`  threshold ${tell(summary(moved.wall, moved.cpu))}`);
  console.log(`  ${ha(centralM2)} ha (${ha(range90M2.low)} to ${ha(range90M2.high)}) of 40 ha, ${saying}`);
  const least = (numbers: number[]): number => Math.min(...numbers);
  const longer = Math.max(...chains.map(({ wall }) => least(wall))) + least(joining.wall);
  const longerCpu = Math.max(...chains.map(({ cpu }) => least(cpu))) + least(joining.cpu);
  return [
    row(`${size} places: preview`, least(preview.wall), 's', { atMost: PREVIEW_TARGET_S }),
    row(`${size} places: the longer chain and the joining`, longer, 's', { atMost: targetS }),
    row(`${size} places: the same, CPU`, longerCpu, 's'),
    row(`${size} places: a moved threshold, to the map's pixels`, least(moved.wall), 's', {
      atMost: THRESHOLD_TARGET_S,
    }),
  ];
}

export function run(): { rows: Row[] } {
  return { rows: SIZES.flatMap(({ places, targetS }) => measure(places, targetS)) };
}
