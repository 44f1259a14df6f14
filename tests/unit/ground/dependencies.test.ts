import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const read = (path: string) => readFileSync(join(root, path), 'utf8');
const { dependencies } = JSON.parse(read('package.json')) as { dependencies: Record<string, string> };

const SOURCES = /\.(ts|svelte)$/;
const shipped = ['src', 'shared'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => SOURCES.test(path))
    .map((path) => read(join(folder, path))),
);

it('every shipped dependency is imported by what is shipped', () => {
  const isUsed = (name: string) => shipped.some((text) => text.includes(`'${name}'`) || text.includes(`'${name}/`));
  expect(Object.keys(dependencies).filter((name) => !isUsed(name))).toEqual([]);
});

it('every shipped dependency stands in the notices with its version', () => {
  const notices = read('public/third-party-notices.txt');
  const missing = Object.entries(dependencies).filter(([name, version]) => !notices.includes(`${name} ${version} (`));
  expect(missing).toEqual([]);
});
