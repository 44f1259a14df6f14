/** The other core: a thread over the same file and the same store, joined without an event loop. */
import { availableParallelism } from 'node:os';
import { isMainThread, Worker, workerData } from 'node:worker_threads';
import { prepareFields } from '../../shared/analysis/spread.ts';
import { STEP_IDS } from '../../shared/analysis/step.ts';
import { startRunner } from '../../shared/analysis/study.ts';
import { openFarm } from './farm-store.ts';
import type { Host } from './host.ts';

interface Task {
  readonly farm: string;
  readonly fields: readonly string[];
  /** [0] becomes 1 at the end; then results computed, one number a step in the order of STEP_IDS. */
  readonly shared: SharedArrayBuffer;
}

/** Longest wait for the other thread before going on alone; what it has not stored by then is computed here. */
const PATIENCE_MS = 600_000;

export function startBesides(farm: string, fields: readonly string[]): ReturnType<NonNullable<Host['besides']>> {
  if (!isMainThread || availableParallelism() < 2) return null;
  const shared = new SharedArrayBuffer(4 * (1 + STEP_IDS.length));
  const worker = new Worker(new URL(import.meta.url), { workerData: { farm, fields, shared } satisfies Task });
  worker.on('error', () => undefined);
  return {
    join() {
      const told = new Int32Array(shared);
      Atomics.wait(told, 0, 0, PATIENCE_MS);
      worker.unref();
      return Object.fromEntries(STEP_IDS.map((id, index) => [id, told[1 + index]!]));
    },
  };
}

/** What the thread does: computes its fields into the store. A fault here is met again, and told, by the main thread. */
export function runBesides(host: Host): void {
  const { farm, fields, shared } = workerData as Task;
  const told = new Int32Array(shared);
  try {
    const opened = openFarm(host, farm);
    if (!opened.ok) return;
    const runner = startRunner(opened.value.farm, opened.value.door, opened.value.results);
    const work = prepareFields(runner, fields);
    while (!work.next().done);
    opened.value.shared?.flush('besides');
    STEP_IDS.forEach((id, index) => (told[1 + index] = runner.counts.get(id)?.ran ?? 0));
  } finally {
    Atomics.store(told, 0, 1);
    Atomics.notify(told, 0);
  }
}
