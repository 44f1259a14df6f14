/** A thread of its own that predicts a run of cells whenever it is asked, built as a page's worker is: `kriging.bench.ts` starts it. */
import { parentPort, workerData } from 'node:worker_threads';
import { type KrigingOptions, ordinaryKriging } from '../../shared/statistics/kriging.ts';
import type { KrigingData } from '../../shared/statistics/kriging-data.ts';
import type { VariogramModel } from '../../shared/statistics/variogram-model.ts';

export interface KrigingJob {
  readonly data: KrigingData;
  readonly model: VariogramModel;
  readonly options: KrigingOptions;
}
export interface Share {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
}
export interface ShareDone {
  readonly prediction: Float64Array;
  readonly variance: Float64Array;
  readonly wallS: number;
  /** Of the whole process. */
  readonly cpuS: number;
  /** What the predictor holds beside its results. */
  readonly heldBytes: number;
}

const { data, model, options } = workerData as KrigingJob;
parentPort!.on('message', ({ xM, yM }: Share) => {
  const held = process.memoryUsage().arrayBuffers;
  const before = process.cpuUsage();
  const start = performance.now();
  const prediction = new Float64Array(xM.length);
  const variance = new Float64Array(xM.length);
  const kriging = ordinaryKriging(data, model, options);
  kriging.predict(xM, yM, 0, xM.length, prediction, variance);
  const wallS = (performance.now() - start) / 1000;
  const used = process.cpuUsage(before);
  const done: ShareDone = {
    prediction,
    variance,
    wallS,
    cpuS: (used.user + used.system) / 1e6,
    heldBytes: process.memoryUsage().arrayBuffers - held - 2 * prediction.byteLength,
  };
  parentPort!.postMessage(done, [prediction.buffer, variance.buffer]);
});
