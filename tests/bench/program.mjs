/** One benchmark in a process of its own: `node program.mjs FILE`, started by run.mjs, to which its rows go. */
import { fileURLToPath } from 'node:url';
import { runnerImport } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
const { module } = await runnerImport(process.argv[2], { root, configFile: false, logLevel: 'error' });
const result = await module.run();
process.send?.(result?.rows ?? []);
