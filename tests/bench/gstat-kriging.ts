/** The same kriging by R's gstat, timed by R itself. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { KrigingData } from '../../shared/statistics/kriging-data.ts';
import type { VariogramModel } from '../../shared/statistics/variogram-model.ts';

export interface GstatRun {
  readonly version: string;
  readonly wallS: number[];
  readonly cpuS: number[];
  readonly prediction: Float64Array;
  readonly variance: Float64Array;
}

const REPEATS = 3;

/** null where R, gstat or sp is not on the machine. @param model exponential */
export function gstatKriging(
  data: KrigingData,
  model: VariogramModel,
  neighbours: number,
  xM: Float64Array,
  yM: Float64Array,
): GstatRun | null {
  const folder = mkdtempSync(join(tmpdir(), 'kriging-'));
  try {
    const columns = { x: data.xM, y: data.yM, z: data.z, tx: xM, ty: yM };
    for (const [name, values] of Object.entries(columns))
      writeFileSync(join(folder, name), new Uint8Array(values.buffer));
    const program = `suppressPackageStartupMessages({library(sp); library(gstat)})
      bin <- function(f) readBin(f, "double", file.size(f) / 8)
      d <- data.frame(x = bin("x"), y = bin("y"), z = bin("z")); coordinates(d) <- ~x+y
      t <- data.frame(x = bin("tx"), y = bin("ty")); coordinates(t) <- ~x+y
      m <- vgm(${model.partialSill}, "Exp", ${model.rangeM}, ${model.nugget})
      for (i in 1:${REPEATS}) { s <- system.time(k <- krige(z ~ 1, d, t, m, nmax = ${neighbours}, debug.level = 0)); cat("seconds", s[["elapsed"]], s[["user.self"]] + s[["sys.self"]], "\\n") }
      cat("version", as.character(packageVersion("gstat")), "\\n"); writeBin(as.double(k[[1]]), "p"); writeBin(as.double(k[[2]]), "v")`;
    const r = spawnSync('Rscript', ['-e', program], { cwd: folder, encoding: 'utf8' });
    if (r.error || r.status !== 0) return null;
    const lines = r.stdout.split('\n').map((line) => line.trim().split(/\s+/));
    const seconds = lines.filter(([word]) => word === 'seconds');
    const numbers = (name: string) => new Float64Array(new Uint8Array(readFileSync(join(folder, name))).buffer);
    return {
      version: lines.find(([word]) => word === 'version')![1]!,
      wallS: seconds.map((one) => Number(one[1])),
      cpuS: seconds.map((one) => Number(one[2])),
      prediction: numbers('p'),
      variance: numbers('v'),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}
