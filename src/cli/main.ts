import { nodeHost } from './node-host.ts';
import { run } from './run.ts';

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});
process.exitCode = run(process.argv.slice(2), nodeHost());
