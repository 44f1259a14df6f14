/**
 * The sample farm as one farm file, `sample/farm.zip`: made by the same program as the command line's, emitted by the build and
 * served in development. Kept under .cache/ with the digest of every module that made it, so that a second build is quick.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { type Plugin, runnerImport } from 'vite';
import type { assembleSample as AssembleSample } from './sample-data/assemble.ts';
import type { writeArchive as WriteArchive } from './shared/import/archive.ts';
import type { writeFarmText as WriteFarmText } from './shared/model/farm-text.ts';

const FILE_NAME = 'sample/farm.zip';

interface Kept {
  /** Modules that the file was made by, relative to the root. */
  readonly modules: readonly string[];
  readonly digest: string;
}

export function sampleFarm(): Plugin {
  let root = '';
  let making: Promise<Uint8Array> | null = null;
  const file = () => (making ??= madeOrKept(root));
  return {
    name: 'sample-farm',
    configResolved(config) {
      root = config.root;
    },
    buildStart() {
      // Under way while the pages are bundled.
      if (this.environment.mode === 'build') file().catch(() => undefined);
    },
    async generateBundle() {
      this.emitFile({ type: 'asset', fileName: FILE_NAME, source: await file() });
    },
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        if (request.url?.split('?')[0] !== `/${FILE_NAME}`) return next();
        file().then((bytes) => {
          response.setHeader('Content-Type', 'application/zip');
          response.setHeader('Content-Length', bytes.length);
          response.end(bytes);
        }, next);
      });
    },
  };
}

async function madeOrKept(root: string): Promise<Uint8Array> {
  const folder = join(root, '.cache', 'sample');
  const [zip, note] = [join(folder, 'farm.zip'), join(folder, 'made-by.json')];
  if (existsSync(zip) && existsSync(note)) {
    const kept = JSON.parse(readFileSync(note, 'utf8')) as Kept;
    if (kept.digest === digestOf(root, kept.modules)) return readFileSync(zip);
  }
  const { bytes, modules } = await make(root);
  mkdirSync(folder, { recursive: true });
  writeFileSync(zip, bytes);
  writeFileSync(note, JSON.stringify({ modules, digest: digestOf(root, modules) } satisfies Kept, null, 1));
  return bytes;
}

async function make(root: string): Promise<{ bytes: Uint8Array; modules: string[] }> {
  const modules = new Set<string>();
  const load = async <T>(path: string): Promise<T> => {
    const loaded = await runnerImport<T>(join(root, path), { root, configFile: false, logLevel: 'error' });
    modules.add(path);
    for (const one of loaded.dependencies) modules.add(relative(root, join(root, relative(root, one))));
    return loaded.module;
  };
  const { assembleSample } = await load<{ assembleSample: typeof AssembleSample }>('sample-data/assemble.ts');
  const { writeArchive } = await load<{ writeArchive: typeof WriteArchive }>('shared/import/archive.ts');
  const { writeFarmText } = await load<{ writeFarmText: typeof WriteFarmText }>('shared/model/farm-text.ts');

  const work = assembleSample();
  let turn = work.next();
  while (!turn.done) turn = work.next();
  const { farm, attachments } = turn.value;
  const bytes = writeArchive([
    { name: 'farm.json', bytes: new TextEncoder().encode(writeFarmText(farm)) },
    ...attachments.map((one) => ({ name: `attachments/${one.sha256}`, bytes: one.bytes })),
  ]);
  return { bytes, modules: [...modules].sort() };
}

function digestOf(root: string, modules: readonly string[]): string {
  const hash = createHash('sha256').update(readFileSync(join(root, 'package-lock.json')));
  for (const path of modules) {
    const full = join(root, path);
    hash.update(`\n${path}\n`).update(existsSync(full) ? readFileSync(full) : 'gone');
  }
  return hash.digest('hex');
}
