import { nodeHost } from './node-host.ts';
import { run } from './run.ts';

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
