/** Built programs and the sample farm for the benchmarks, all under .cache/bench. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
export const workFolder = resolve(root, '.cache/bench');
export const commandLine = join(workFolder, 'cli/seedfall.mjs');

/** The command line as `npm run build:cli` builds it, in a folder of its own. */
export async function buildCommandLine() {
  await build({
    root,
    configFile: join(root, 'vite.cli.config.ts'),
    logLevel: 'warn',
    build: { outDir: join(workFolder, 'cli'), emptyOutDir: true },
  });
}

/** One program of the benchmarks in one file. */
export async function buildProgram(entry, name) {
  await build({
    root,
    configFile: false,
    logLevel: 'warn',
    publicDir: false,
    ssr: { noExternal: true },
    build: {
      ssr: join(root, entry),
      target: 'node20',
      outDir: join(workFolder, name),
      emptyOutDir: true,
      minify: false,
      rolldownOptions: { output: { entryFileNames: `${name}.mjs`, codeSplitting: false } },
    },
  });
  return join(workFolder, name, `${name}.mjs`);
}

/** The sample farm as `seedfall sample` writes it; made anew when the command line changed. */
export function sampleFolder() {
  const made = join(
    workFolder,
    `sample-${createHash('sha256').update(readFileSync(commandLine)).digest('hex').slice(0, 12)}`,
  );
  if (existsSync(join(made, 'farm.json'))) return made;
  for (const old of readdirSync(workFolder).filter((name) => name.startsWith('sample-'))) {
    rmSync(join(workFolder, old), { recursive: true });
  }
  const unfinished = `${made}.unfinished`;
  const { status, stderr } = spawnSync(process.execPath, [commandLine, 'sample', unfinished], { encoding: 'utf8' });
  if (status !== 0) throw new Error(`the sample farm was not made: ${stderr}`);
  renameSync(unfinished, made);
  return made;
}
