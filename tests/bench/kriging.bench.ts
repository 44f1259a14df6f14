/**
 * Local ordinary kriging, built and timed in threads as a page would run it: 1000 places, 40 000 cells, 16 neighbours on one
 * core beside R gstat on the same numbers in the same run, and shared by two threads; then its growth with the cells. Seeded,
 * warmed, repeated.
 */
import { Worker } from 'node:worker_threads';
import { stream } from '../../shared/statistics/random.ts';
import type { VariogramModel } from '../../shared/statistics/variogram-model.ts';
import { buildProgram } from './built.mjs';
import { gstatKriging, type GstatRun } from './gstat-kriging.ts';
import type { KrigingJob, Share, ShareDone } from './kriging-worker.ts';
import { type Row, row } from './row.ts';
import { growthExponent, summary, tell, type Timing } from './timing.ts';

const [PLACES, SIDE_M, CELLS, NEIGHBOURS, REPEATS, WARM] = [1000, 1000, 40_000, 16, 9, 3];
const SIZES = [20_000, 40_000, 80_000];
const MODEL: VariogramModel = { kind: 'exponential', nugget: 0.2, partialSill: 0.8, rangeM: 80 };
const [TIMES_GSTAT, TIMES_ONE_THREAD, MOST_GROWTH, MOST_MIB] = [3, 1.6, 1.1, 16];
const [PREDICTION_WITHIN, VARIANCE_WITHIN] = [1e-8, 1e-7];

const random = stream(20_261_125, 'kriging bench');
const column = (length: number, value: (i: number) => number) => Float64Array.from({ length }, (_, i) => value(i));
const data = {
  xM: column(PLACES, () => SIDE_M * random.uniform()),
  yM: column(PLACES, () => SIDE_M * random.uniform()),
  z: column(PLACES, () => random.normal()),
};

/** So many cells over the same ground, row by row. */
function cellsOf(count: number): Share {
  const columns = Math.round(Math.sqrt(count));
  const rows = Math.ceil(count / columns);
  return {
    xM: column(count, (i) => (((i % columns) + 0.5) * SIDE_M) / columns),
    yM: column(count, (i) => ((Math.floor(i / columns) + 0.5) * SIDE_M) / rows),
  };
}

const largestGap = (a: Float64Array, b: Float64Array) =>
  a.reduce((most, value, i) => Math.max(most, Math.abs(value - b[i]!)), 0);
const least = (numbers: readonly number[]) => Math.min(...numbers);
const ms = (seconds: number) => `${(1000 * seconds).toFixed(0)} ms`;

export async function run(): Promise<{ rows: Row[] }> {
  const program = await buildProgram('tests/bench/kriging-worker.ts', 'kriging-worker');
  const job: KrigingJob = { data, model: MODEL, options: { nugget: 'micro-structure', neighbours: NEIGHBOURS } };
  const workers = [0, 1].map(() => new Worker(program, { workerData: job }));
  try {
    const cells = cellsOf(CELLS);
    const before = await timed(workers[0]!, cells);
    const theirs = gstatKriging(data, MODEL, NEIGHBOURS, cells.xM, cells.yM);
    const { timing, last } = await timed(workers[0]!, cells);
    const ours = { minS: Math.min(before.timing.minS, timing.minS), cpuS: Math.min(before.timing.cpuS, timing.cpuS) };
    console.log(
      `${PLACES} places, ${CELLS} cells, ${NEIGHBOURS} neighbours, one core, before gstat: ${tell(before.timing)}`,
    );
    console.log(`the same after gstat: ${tell(timing)}`);
    return {
      rows: [
        row('1000 places, 40 000 cells, 16 neighbours, one core', ours.minS, 's'),
        ...besideGstat(theirs, ours, last),
        ...(await byThreads(workers, cells, last)),
        ...(await growth(workers[0]!)),
      ],
    };
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}

function ask(worker: Worker, share: Share): Promise<ShareDone> {
  return new Promise((resolve, reject) => {
    worker.once('error', reject);
    worker.once('message', (done: ShareDone) => {
      worker.off('error', reject);
      resolve(done);
    });
    worker.postMessage(share);
  });
}

/** Several runs of the same cells on one thread, after some to warm it. */
async function timed(worker: Worker, cells: Share): Promise<{ timing: Timing; last: ShareDone; heldMiB: number }> {
  for (let warm = 0; warm < WARM; warm++) await ask(worker, cells);
  const runs: ShareDone[] = [];
  for (let repeat = 0; repeat < REPEATS; repeat++) runs.push(await ask(worker, cells));
  const timing = summary(
    runs.map((one) => one.wallS),
    runs.map((one) => one.cpuS),
  );
  return { timing, last: runs.at(-1)!, heldMiB: Math.max(...runs.map((one) => one.heldBytes)) / 2 ** 20 };
}

function besideGstat(
  theirs: GstatRun | null,
  ours: Pick<Timing, 'minS' | 'cpuS'>,
  { prediction, variance }: ShareDone,
): Row[] {
  if (!theirs) {
    console.log('SKIPPED: R with gstat (Debian: r-cran-gstat) is not on this machine, nothing to compare with');
    return [];
  }
  const gaps = [largestGap(prediction, theirs.prediction), largestGap(variance, theirs.variance)] as const;
  const [byCpu, byClock] = [least(theirs.cpuS) / ours.cpuS, least(theirs.wallS) / ours.minS];
  console.log(
    `gstat ${theirs.version} on the same numbers: min ${ms(least(theirs.wallS))}, CPU ${ms(least(theirs.cpuS))}: ${byClock.toFixed(2)} times as long, ${byCpu.toFixed(2)} times as much CPU`,
  );
  console.log(
    `largest differences from gstat in ${CELLS} cells: prediction ${gaps[0].toExponential(1)}, variance ${gaps[1].toExponential(1)}`,
  );
  return [
    row('times as fast as gstat, by the clock', byClock, '', { atLeast: TIMES_GSTAT }),
    row('times as fast as gstat, by CPU', byCpu, '', { atLeast: TIMES_GSTAT }),
    row('largest difference from gstat, prediction', gaps[0], '', { atMost: PREDICTION_WITHIN }),
    row('largest difference from gstat, variance', gaps[1], '', { atMost: VARIANCE_WITHIN }),
  ];
}

/**
 * The cells in as many runs as there are threads, one thread beside two, in turn; from the question to the last answer. Where
 * other work takes a core, two threads cannot be seen side by side: the shares are also run one after the other.
 */
async function byThreads(workers: readonly Worker[], cells: Share, whole: ShareDone): Promise<Row[]> {
  const seconds: [number[], number[]] = [[], []];
  const alone: [whole: number[], first: number[], second: number[]] = [[], [], []];
  for (let repeat = 0; repeat <= REPEATS; repeat++) {
    for (const threads of [1, 2] as const) {
      const start = performance.now();
      const shares = await Promise.all(
        workers.slice(0, threads).map((worker, part) => ask(worker, partOf(cells, part, threads))),
      );
      // The first round warms.
      if (repeat > 0) seconds[threads - 1]!.push((performance.now() - start) / 1000);
      shares.forEach((share, part) => {
        const expected = partOf({ xM: whole.prediction, yM: whole.variance }, part, threads);
        const gap = largestGap(share.prediction, expected.xM) + largestGap(share.variance, expected.yM);
        if (gap > 0) throw new Error(`share ${part} of ${threads} differs from the whole by ${gap}`);
      });
    }
  }
  for (let repeat = 0; repeat < REPEATS; repeat++) {
    alone[0].push((await ask(workers[0]!, cells)).cpuS);
    for (const part of [0, 1] as const) alone[part + 1]!.push((await ask(workers[part]!, partOf(cells, part, 2))).cpuS);
  }
  const [one, two] = [least(seconds[0]), least(seconds[1])];
  const shared = least(alone[0]) / Math.max(least(alone[1]), least(alone[2]));
  console.log(`on one thread ${ms(one)}, on two ${ms(two)}: ${(one / two).toFixed(2)} times as fast`);
  console.log(
    `one after the other: the whole ${ms(least(alone[0]))} CPU, its halves ${ms(least(alone[1]))} and ${ms(least(alone[2]))}: two free cores would be ${shared.toFixed(2)} times as fast`,
  );
  return [
    row('two threads over one, by the clock', one / two, '', { atLeast: TIMES_ONE_THREAD }),
    row('the whole over its longer half, by CPU', shared, '', { atLeast: TIMES_ONE_THREAD }),
  ];
}

function partOf({ xM, yM }: Share, part: number, parts: number): Share {
  const at = (edge: number) => Math.round((edge * xM.length) / parts);
  return { xM: xM.slice(at(part), at(part + 1)), yM: yM.slice(at(part), at(part + 1)) };
}

/** Time and memory by the number of cells over the same ground and places. */
async function growth(worker: Worker): Promise<Row[]> {
  const runs = [];
  for (const size of SIZES) {
    const one = await timed(worker, cellsOf(size));
    runs.push(one);
    console.log(
      `${size} cells: ${tell(one.timing)}, ${((1e6 * one.timing.cpuS) / size).toFixed(2)} µs CPU a cell; beside its results it holds ${one.heldMiB.toFixed(1)} MiB`,
    );
  }
  const exponent = growthExponent(
    SIZES,
    runs.map((one) => one.timing.cpuS),
  );
  console.log(`cost grows with the cells to the power ${exponent.toFixed(2)}`);
  return [
    row('growth with the cells, 20 000 to 80 000: power', exponent, '', { atMost: MOST_GROWTH }),
    row('held beside the results at 80 000 cells', runs.at(-1)!.heldMiB, 'MiB', { atMost: MOST_MIB }),
  ];
}
