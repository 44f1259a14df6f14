import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../../', import.meta.url));

describe('README and DEVELOPERS', () => {
  for (const name of ['README.md', 'DEVELOPERS.md']) {
    it(`${name} names only paths that exist`, () => {
      const text = readFileSync(join(root, name), 'utf8');
      const paths = [...text.matchAll(/`((?:shared|src|tests|sample-data|public|\.ci)\/[\w./-]*)`/g)].map(
        (match) => match[1]!,
      );
      expect(paths.length).toBeGreaterThan(3);
      expect(paths.filter((path) => !existsSync(join(root, path)))).toEqual([]);
    });
  }

  it('the README names the two commands that package.json has', () => {
    const text = readFileSync(join(root, 'README.md'), 'utf8');
    const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
      scripts: Record<string, string>;
    };
    expect(text).toContain('npm ci && npm start');
    expect(text).toContain('npm ci && npm test');
    expect(scripts['start']).toBeDefined();
    expect(scripts['test']).toBeDefined();
  });
});
