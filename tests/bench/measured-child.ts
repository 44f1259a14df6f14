/** A built program in a process of its own: how long it took, the CPU time of all its threads, and its peak memory. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export interface Usage {
  readonly wallS: number;
  readonly cpuS: number;
  /** Most resident memory, as the system counted it. */
  readonly peakMiB: number;
}

const WRAPPER = fileURLToPath(new URL('./usage.mjs', import.meta.url));

/** @throws where the program could not (exit code 2 or a crash); 1 is "done, but something was refused" */
export function runMeasured(program: string, args: readonly string[]): Usage & { readonly stdout: string } {
  const folder = mkdtempSync(join(tmpdir(), 'seedfall-bench-'));
  const usageFile = join(folder, 'usage.json');
  try {
    const start = performance.now();
    const { status, stdout, stderr } = spawnSync(process.execPath, [WRAPPER, usageFile, program, ...args], {
      encoding: 'utf8',
      maxBuffer: 1 << 30,
    });
    const wallS = (performance.now() - start) / 1000;
    if (status !== 0 && status !== 1)
      throw new Error(`${args.join(' ')} ended with ${status}:\n${stderr.slice(-2000)}`);
    const { cpuS, peakMiB } = JSON.parse(readFileSync(usageFile, 'utf8')) as Omit<Usage, 'wallS'>;
    return { wallS, cpuS, peakMiB, stdout };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Several runs one after another as one: times add, memory is the most of any. */
export function addUsage(parts: readonly Usage[]): Usage {
  return {
    wallS: parts.reduce((sum, one) => sum + one.wallS, 0),
    cpuS: parts.reduce((sum, one) => sum + one.cpuS, 0),
    peakMiB: Math.max(...parts.map((one) => one.peakMiB)),
  };
}

/** The least time of several repeats, and the most memory. */
export function bestOf(repeats: readonly Usage[]): Usage {
  return {
    wallS: Math.min(...repeats.map((one) => one.wallS)),
    cpuS: Math.min(...repeats.map((one) => one.cpuS)),
    peakMiB: Math.max(...repeats.map((one) => one.peakMiB)),
  };
}

export function tellUsage({ wallS, cpuS, peakMiB }: Usage): string {
  return `${wallS.toFixed(1)} s, CPU ${cpuS.toFixed(1)} s, peak memory ${peakMiB.toFixed(0)} MiB`;
}
