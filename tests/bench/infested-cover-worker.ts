/** A thread of the coverage experiment: a field's number comes in, its results for every number of quadrats and every k go out. */
import { parentPort } from 'node:worker_threads';
import type { CoverTask } from './infested-cover-field.ts';
import { coverOfField } from './infested-cover-field.ts';

parentPort!.on('message', (task: CoverTask) => parentPort!.postMessage({ task, results: coverOfField(task) }));
