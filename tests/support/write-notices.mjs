/** Writes public/third-party-notices.txt: the license text of every package that is shipped. `node tests/support/write-notices.mjs` */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const { dependencies } = JSON.parse(readFileSync('package.json', 'utf8'));
const seen = new Map();

function take(name) {
  if (seen.has(name)) return;
  const folder = join('node_modules', name);
  if (!existsSync(folder)) throw new Error(`${name} is not installed`);
  const { version, license, dependencies: below = {} } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  const file = readdirSync(folder).find((one) => /^licen[sc]e/i.test(one));
  seen.set(
    name,
    `${name} ${version} (${license})\n\n${file ? readFileSync(join(folder, file), 'utf8').trim() : 'No license file in the package.'}`,
  );
  Object.keys(below).forEach(take);
}
// Svelte's compiler brings tools that are not shipped: only Svelte itself is.
for (const name of Object.keys(dependencies)) if (name !== 'svelte') take(name);
const svelte = join('node_modules', 'svelte');
seen.set(
  'svelte',
  `svelte ${JSON.parse(readFileSync(join(svelte, 'package.json'), 'utf8')).version} (MIT)\n\n${readFileSync(join(svelte, 'LICENSE.md'), 'utf8').trim()}`,
);

const rule = `\n\n${'-'.repeat(78)}\n\n`;
writeFileSync(
  'public/third-party-notices.txt',
  `Seedfall ships the following third-party parts.${rule}${[...seen.keys()]
    .sort()
    .map((name) => seen.get(name))
    .join(rule)}\n`,
);
