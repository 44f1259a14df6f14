import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../../', import.meta.url));

/** Who may import whom: part → parts that it may import (its own always). A name with a slash and dot is one file. */
const MAY: Readonly<Record<string, readonly string[]>> = {
  'shared/units': [],
  'shared/geometry': ['shared/units'],
  'shared/statistics': ['shared/units', 'shared/geometry/point-index.ts'],
  'shared/model': ['shared/geometry', 'shared/units'],
  'shared/import': [
    'shared/model',
    'shared/geometry',
    'shared/units',
    'shared/agronomy/species.ts',
    'shared/agronomy/species-names.ts',
    'shared/agronomy/crops.ts',
  ],
  'shared/export': [
    'shared/model',
    'shared/geometry',
    'shared/units',
    'shared/agronomy/species.ts',
    'shared/agronomy/crops.ts',
  ],
  'shared/agronomy': ['shared/model', 'shared/geometry', 'shared/statistics', 'shared/units'],
  'shared/harvest': ['shared/model', 'shared/geometry', 'shared/statistics', 'shared/units', 'shared/agronomy'],
  'shared/zones': ['shared/model', 'shared/geometry', 'shared/statistics', 'shared/units', 'shared/agronomy'],
  'shared/scouting': ['shared/model', 'shared/geometry', 'shared/statistics', 'shared/units', 'shared/agronomy'],
  'shared/analysis': [
    'shared/units',
    'shared/geometry',
    'shared/statistics',
    'shared/model',
    'shared/import',
    'shared/agronomy',
    'shared/harvest',
    'shared/zones',
    'shared/scouting',
  ],
  // What goes out is written, and read back: the one part that needs both.
  'shared/hand-over': [
    'shared/units',
    'shared/geometry',
    'shared/model',
    'shared/agronomy',
    'shared/zones',
    'shared/export',
    'shared/import',
  ],
  'sample-data': ['shared'],
  'src/worker': ['shared'],
  'src/cli': ['shared', 'sample-data'],
  'src/state': ['shared', 'src/worker'],
  'src/ui': ['shared/units'],
  'src/map': ['src/state', 'src/ui', 'shared'],
  'src/charts': ['src/state', 'src/ui', 'shared'],
  'src/places': ['src/state', 'src/ui', 'src/map', 'src/charts', 'shared'],
  'src/shell': ['src/state', 'src/ui', 'src/map', 'src/charts', 'src/places', 'shared'],
};

const sources = ['shared', 'src', 'sample-data']
  .flatMap((top) => readdirSync(root + top, { recursive: true, encoding: 'utf8' }).map((path) => `${top}/${path}`))
  .filter((path) => /\.(ts|svelte)$/.test(path) && !path.endsWith('.d.ts'))
  .sort();

function partOf(path: string): string | null {
  return Object.keys(MAY).find((part) => path.startsWith(`${part}/`)) ?? null;
}

function importsOf(path: string): { local: string[]; packages: string[] } {
  const text = readFileSync(join(root, path), 'utf8');
  const names = [...text.matchAll(/(?:from|import)\s*\(?\s*['"]([^'"]+)['"]/g)].map((match) => match[1]!);
  const local = names
    .filter((name) => name.startsWith('.'))
    .map((name) => normalize(join(dirname(path), name)).replaceAll('\\', '/'));
  return { local, packages: names.filter((name) => !name.startsWith('.')) };
}

describe('who may import whom', () => {
  it('every file stands in a part that the table knows, or at the top of src', () => {
    expect(sources.filter((path) => partOf(path) === null && !/^src\/[^/]+$/.test(path))).toEqual([]);
  });

  it('no arrow turns', () => {
    const turned = sources.flatMap((path) => {
      const part = partOf(path);
      if (part === null) return [];
      return importsOf(path)
        .local.filter(
          (target) =>
            !target.startsWith(`${part}/`) &&
            !MAY[part]!.some((allowed) => target === allowed || target.startsWith(`${allowed}/`)),
        )
        .map((target) => `${path} → ${target}`);
    });
    expect(turned).toEqual([]);
  });

  it('a place takes nothing from another place: what several tell or have typed stands in folders of its own', () => {
    const placeOf = (path: string) => /^src\/places\/([^/]+)\//.exec(path)?.[1] ?? null;
    const FOR_ALL = ['telling', 'typing'];
    const crossing = sources.flatMap((path) => {
      const own = placeOf(path);
      if (own === null) return [];
      return importsOf(path)
        .local.filter((target) => ![null, own, ...FOR_ALL].includes(placeOf(target)))
        .map((target) => `${path} → ${target}`);
    });
    expect(crossing).toEqual([]);
  });

  it('the core never imports the doors, and takes nothing from Node', () => {
    const wrong = sources
      .filter((path) => path.startsWith('shared/'))
      .flatMap((path) => {
        const { local, packages } = importsOf(path);
        return [
          ...local.filter((one) => one.startsWith('src/')),
          ...packages.filter((one) => one.startsWith('node:') || one === 'svelte'),
        ].map((one) => `${path} → ${one}`);
      });
    expect(wrong).toEqual([]);
  });

  it('a third-party library is imported by one file of the core', () => {
    const users = new Map<string, string[]>();
    for (const path of sources.filter((one) => one.startsWith('shared/'))) {
      for (const name of new Set(
        importsOf(path).packages.map((one) =>
          one
            .split('/')
            .slice(0, one.startsWith('@') ? 2 : 1)
            .join('/'),
        ),
      )) {
        users.set(name, [...(users.get(name) ?? []), path]);
      }
    }
    // The schemas of the document, of field notes and of the output are written in the same schema language.
    const schemas = ['shared/model/farm.ts', 'shared/model/field-notes.ts', 'shared/model/output-schema.ts'];
    expect(users.get('zod')!.filter((path) => !path.startsWith('shared/model/output/'))).toEqual(schemas);
    users.delete('zod');
    expect([...users.entries()].filter(([, paths]) => paths.length > 1)).toEqual([]);
  });

  it('no folder hides what it holds', () => {
    expect(sources.filter((path) => /\/(utils|helpers|types|services)\//.test(path))).toEqual([]);
  });
});
