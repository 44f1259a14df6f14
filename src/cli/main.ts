import { isMainThread } from 'node:worker_threads';
import { runBesides } from './besides.ts';
import { nodeHost } from './node-host.ts';
import { run } from './run.ts';

if (isMainThread) main();
else runBesides(nodeHost());

function main(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
  try {
    process.exitCode = run(process.argv.slice(2), nodeHost());
  } catch (error) {
    // What the disk refuses is told in a line; anything else is a fault of ours and shows where.
    if (!(error instanceof Error) || !('syscall' in error)) throw error;
    process.stderr.write(`error: ${error.message}\n`);
    process.exitCode = 2;
  }
}
