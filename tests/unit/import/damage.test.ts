import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import type { Importer } from '../../../shared/import/importer.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import { readAll, sourceOf } from '../../support/bundle.ts';

/**
 * The law that holds for every file somebody may send: whatever is cut, flipped or overwritten, a reader ends, never throws,
 * and either refuses with a reason or gives records that account for every feature.
 */
const folder = fileURLToPath(new URL('../../reference/file-interop/good/', import.meta.url));
const seeded = (seed: number) => () => (seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0) / 2 ** 32;

function damage(bytes: Uint8Array, random: () => number): Uint8Array {
  const bent = bytes.slice();
  const at = () => Math.floor(random() * bent.length);
  const kind = random();
  if (kind < 0.25) return bent.subarray(0, at());
  if (kind < 0.5) bent[at()]! ^= 1 << Math.floor(random() * 8);
  else if (kind < 0.75)
    for (let i = at(), end = Math.min(bent.length, i + 8); i < end; i++) bent[i] = Math.floor(random() * 256);
  else bent.fill(random() < 0.5 ? 0 : 255, at(), at());
  return bent;
}

const sets: [string, Importer, string[]][] = [
  ['wgs84.shp', shapefileImporter, ['shp', 'shx', 'dbf', 'prj', 'cpg'].map((ending) => `wgs84.${ending}`)],
  ['utm15n.shp', shapefileImporter, ['shp', 'dbf', 'prj'].map((ending) => `utm15n.${ending}`)],
  ['zipped.zip', shapefileImporter, ['zipped.zip']],
  ['rfc7946.geojson', geojsonImporter, ['rfc7946.geojson']],
];

it('the files are there', () => expect(readdirSync(folder).length).toBeGreaterThan(25));

it.each(sets)(
  '%s, damaged 300 times over, is refused or read, and accounted for',
  (name, importer, files) => {
    const contents = files.map((file) => new Uint8Array(readFileSync(folder + file)));
    const random = seeded(2026);
    let refusals = 0;
    for (let round = 0; round < 300; round++) {
      const which = Math.floor(random() * files.length);
      const parts = files.map((file, i) => sourceOf(file, i === which ? damage(contents[i]!, random) : contents[i]!));
      const outcome = readAll(importer, { name, parts }, {}, 1000);
      for (const one of outcome.problems) {
        expect(one.text).not.toMatch(/undefined|\[object|Infinity,/);
        expect(one.where?.file).toBeDefined();
      }
      if (!outcome.ok) {
        refusals++;
        expect(outcome.problems.some((one) => one.level === 'error')).toBe(true);
        continue;
      }
      const { reading, records } = outcome.value;
      if (!('features' in records)) throw new Error(`read ${records.kind}`);
      expect(reading.rows - reading.unusedRows).toBe(records.features.length);
      if (reading.unusedRows > 0) expect(outcome.problems.length).toBeGreaterThan(0);
      for (const feature of records.features) {
        expect(feature.areaM2).toBeGreaterThan(0);
        for (const corner of feature.polygon.flat(2)) expect(corner.every(Number.isFinite)).toBe(true);
      }
    }
    expect(refusals).toBeGreaterThan(0);
    expect(refusals).toBeLessThan(300);
  },
  60_000,
);
