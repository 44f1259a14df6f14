/** The service worker of the built page: `sw.js`, with the list of the page's files and a hash of them all. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { build, type Plugin } from 'vite';

/** Not needed by the page itself: fonts for browsers that cannot compute a farm, published documents. */
const NOT_KEPT = /\.woff$|\.map$|^schema\/|^sw\.js$|^third-party-notices\.txt$/;

export function offline(): Plugin {
  let root = '';
  let publicDir = '';
  return {
    name: 'offline',
    apply: 'build',
    enforce: 'post',
    configResolved(config) {
      root = config.root;
      publicDir = config.publicDir;
    },
    generateBundle: {
      order: 'post',
      async handler(_options, bundle) {
        const files = new Map<string, string | Uint8Array>();
        for (const one of Object.values(bundle)) files.set(one.fileName, one.type === 'chunk' ? one.code : one.source);
        for (const name of readdirSync(publicDir, { recursive: true, encoding: 'utf8' })) {
          if (/\.[a-z]+$/.test(name)) files.set(name.replaceAll('\\', '/'), readFileSync(join(publicDir, name)));
        }
        const names = [...files.keys()].filter((name) => !NOT_KEPT.test(name)).sort();
        const hash = createHash('sha256');
        for (const name of names) hash.update(`\n${name}\n`).update(files.get(name)!);
        const program = await serviceWorker(root);
        const version = hash.update(program).digest('hex').slice(0, 16);
        // The page itself is asked for by its folder.
        const asked = names.map((name) => (name === 'index.html' ? './' : name));
        const told = `const PAGE_FILES = ${JSON.stringify(asked)};\nconst PAGE_HASH = ${JSON.stringify(version)};\n`;
        this.emitFile({ type: 'asset', fileName: 'sw.js', source: told + program });
      },
    },
  };
}

async function serviceWorker(root: string): Promise<string> {
  const built = await build({
    root,
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    build: {
      write: false,
      target: 'es2022',
      lib: { entry: join(root, 'src/worker/service-worker.ts'), formats: ['iife'], name: 'serviceWorker' },
    },
  });
  const [{ output }] = built as { output: { code?: string }[] }[] as [{ output: { code?: string }[] }];
  return output[0]!.code!;
}
