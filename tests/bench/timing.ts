/** Repeated timing: the best of several runs is what the program costs; the rest is what else ran on the machine. */

export interface Timing {
  readonly minS: number;
  readonly meanS: number;
  readonly sdS: number;
  /** Least CPU time, every thread of the process counted; other work on the machine hardly enters. */
  readonly cpuS: number;
}

export interface Job {
  readonly name: string;
  run(): unknown;
}

/** Runs of one job in a row: the first may pay for the garbage that another job left. */
const IN_A_ROW = 3;

/**
 * Times jobs in turn, some runs of each at a time, so that a busy minute falls on all of them; each is run once before, to warm.
 * @param least how often each is timed at least
 */
export function timeInTurn(jobs: readonly Job[], least: number): Timing[] {
  const wall = jobs.map((): number[] => []);
  const cpu = jobs.map((): number[] => []);
  for (const job of jobs) job.run();
  for (let timed = 0; timed < least; timed += IN_A_ROW) {
    jobs.forEach((job, index) => {
      for (let k = 0; k < IN_A_ROW; k++) {
        const before = process.cpuUsage();
        const start = performance.now();
        job.run();
        wall[index]!.push((performance.now() - start) / 1000);
        const used = process.cpuUsage(before);
        cpu[index]!.push((used.user + used.system) / 1e6);
      }
    });
  }
  return jobs.map((_, index) => summary(wall[index]!, cpu[index]!));
}

export function summary(wallS: readonly number[], cpuS: readonly number[]): Timing {
  const meanS = wallS.reduce((sum, one) => sum + one, 0) / wallS.length;
  const squares = wallS.reduce((sum, one) => sum + (one - meanS) ** 2, 0);
  return {
    minS: Math.min(...wallS),
    meanS,
    sdS: wallS.length > 1 ? Math.sqrt(squares / (wallS.length - 1)) : 0,
    cpuS: Math.min(...cpuS),
  };
}

export function tell(timing: Timing): string {
  const ms = (seconds: number) => (1000 * seconds).toFixed(seconds < 0.1 ? 1 : 0);
  return `min ${ms(timing.minS)} ms, mean ${ms(timing.meanS)} ± ${ms(timing.sdS)} ms, CPU ${ms(timing.cpuS)} ms`;
}

/** Exponent b of cost = a sizeᵇ, by least squares on the logarithms: 1 is linear. */
export function growthExponent(sizes: readonly number[], costs: readonly number[]): number {
  const x = sizes.map(Math.log);
  const y = costs.map(Math.log);
  const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const [mx, my] = [mean(x), mean(y)];
  let [up, down] = [0, 0];
  x.forEach((one, i) => {
    up += (one - mx) * (y[i]! - my);
    down += (one - mx) ** 2;
  });
  return up / down;
}
