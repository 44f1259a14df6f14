/** Runs a built program as if it had been started itself, and leaves beside it what it took: node usage.mjs FILE PROGRAM ARGS… */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const [node, , usageFile, program, ...args] = process.argv;
process.argv = [node, program, ...args];
process.on('exit', () => {
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  writeFileSync(usageFile, JSON.stringify({ cpuS: (userCPUTime + systemCPUTime) / 1e6, peakMiB: maxRSS / 1024 }));
});
await import(pathToFileURL(program).href);
