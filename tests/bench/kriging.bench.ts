/**
 * Kriging, timed: 1000 places, 40 000 cells, 16 neighbours, beside R gstat on the same numbers in the same run where
 * R and gstat are on the machine. Seeded, warmed, repeated.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ordinaryKriging } from '../../shared/statistics/kriging.ts';
import { stream } from '../../shared/statistics/random.ts';
import type { VariogramModel } from '../../shared/statistics/variogram-model.ts';
import { type Row, row } from './row.ts';

const [PLACES, COLUMNS, CELL_M, NEIGHBOURS, REPEATS] = [1000, 200, 5, 16, 9];
const CELLS = COLUMNS * COLUMNS;
const MODEL: VariogramModel = { kind: 'exponential', nugget: 0.2, partialSill: 0.8, rangeM: 80 };
const TARGET_S = 0.25;

const random = stream(20_261_125, 'kriging bench');
const column = (length: number, value: (i: number) => number) => Float64Array.from({ length }, (_, i) => value(i));
const side = COLUMNS * CELL_M;
const data = {
  xM: column(PLACES, () => side * random.uniform()),
  yM: column(PLACES, () => side * random.uniform()),
  z: column(PLACES, () => random.normal()),
};
const xM = column(CELLS, (i) => ((i % COLUMNS) + 0.5) * CELL_M);
const yM = column(CELLS, (i) => (Math.floor(i / COLUMNS) + 0.5) * CELL_M);

function ours(): { prediction: Float64Array; variance: Float64Array } {
  const out = { prediction: new Float64Array(CELLS), variance: new Float64Array(CELLS) };
  const kriging = ordinaryKriging(data, MODEL, { nugget: 'micro-structure', neighbours: NEIGHBOURS });
  kriging.predict(xM, yM, 0, CELLS, out.prediction, out.variance);
  return out;
}

/** Seconds of gstat and its predictions at the first cells, or null where it is not on the machine. */
function theirs(): { seconds: number[]; first: number[] } | null {
  const folder = mkdtempSync(join(tmpdir(), 'kriging-'));
  try {
    const table = (x: Float64Array, y: Float64Array, z?: Float64Array) =>
      `x,y${z ? ',z' : ''}\n${Array.from(x, (value, i) => `${value},${y[i]}${z ? `,${z[i]}` : ''}`).join('\n')}\n`;
    writeFileSync(join(folder, 'data.csv'), table(data.xM, data.yM, data.z));
    writeFileSync(join(folder, 'cells.csv'), table(xM, yM));
    const program = `suppressPackageStartupMessages({library(sp); library(gstat)})
      d <- read.csv("data.csv"); coordinates(d) <- ~x+y; t <- read.csv("cells.csv"); coordinates(t) <- ~x+y
      m <- vgm(${MODEL.partialSill}, "Exp", ${MODEL.rangeM}, ${MODEL.nugget}); options(digits = 17)
      for (i in 1:3) { s <- system.time(k <- krige(z ~ 1, d, t, m, nmax = ${NEIGHBOURS}, debug.level = 0))[["elapsed"]]; cat("seconds", s, "\\n") }
      cat("first", k[[1]][1:50], "\\n")`;
    const r = spawnSync('Rscript', ['-e', program], { cwd: folder, encoding: 'utf8' });
    if (r.error || r.status !== 0) return null;
    const lines = r.stdout.split('\n').map((line) => line.trim().split(/\s+/));
    const numbers = (name: string) =>
      lines.filter(([word]) => word === name).flatMap((line) => line.slice(1).map(Number));
    return { seconds: numbers('seconds'), first: numbers('first') };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export function run(): { rows: Row[] } {
  const times: number[] = [];
  let last = ours();
  for (let i = 0; i < REPEATS; i++) {
    const start = performance.now();
    last = ours();
    times.push((performance.now() - start) / 1000);
  }
  const best = Math.min(...times);
  const mean = times.reduce((sum, t) => sum + t, 0) / REPEATS;
  const sd = Math.sqrt(times.reduce((sum, t) => sum + (t - mean) ** 2, 0) / (REPEATS - 1));
  console.log(
    `kriging: ${PLACES} places × ${CELLS} cells × ${NEIGHBOURS} neighbours: best ${best.toFixed(3)} s, mean ${mean.toFixed(3)} ± ${sd.toFixed(3)} s (aim ${TARGET_S} s)`,
  );
  const rows = [row('1000 places, 40 000 cells, 16 neighbours', best, 's', { atMost: TARGET_S })];
  const judge = theirs();
  if (!judge) {
    console.log('kriging: R with gstat is not on this machine, nothing to compare with');
    return { rows };
  }
  const gap = judge.first.reduce((most, value, i) => Math.max(most, Math.abs(value - last.prediction[i]!)), 0);
  const theirBest = Math.min(...judge.seconds);
  console.log(
    `kriging: gstat on the same numbers best ${theirBest.toFixed(3)} s: ours takes ${(best / theirBest).toFixed(2)} of its time; largest difference in ${judge.first.length} cells ${gap.toExponential(1)}`,
  );
  rows.push(row('time of gstat over ours', theirBest / best, ''));
  return { rows };
}
