import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { FileCheck } from '../../../shared/analysis/check-file.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { checkSchema } from '../../../shared/model/output/check.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';
import {
  boundaries,
  counts,
  harvestLog,
  placeIn,
  ring,
  scouting,
  SCOUTING_HEADER,
  southOnly,
} from '../../support/small-farm.ts';

/** A farm of three fields with counts on one; every test gives it something bad and something good at once. */
const start = hostWithFarm('farm', {
  'boundaries.geojson': boundaries(),
  'rounds.csv': scouting(counts('West', [3, 2])),
});
const good = scouting(counts('Middle', [2, 2]));
const folder = fileURLToPath(new URL('../../reference/file-interop/', import.meta.url));
const fromDisk = (name: string) => new Uint8Array(readFileSync(folder + name));

const feature = (coordinates: unknown, name = 'Bad') =>
  JSON.stringify({ type: 'Feature', properties: { name }, geometry: { type: 'Polygon', coordinates: [coordinates] } });
const log = harvestLog('West').split('\n');
const withoutColumn = (rows: readonly string[], column: number) =>
  rows
    .map((row) =>
      row
        .split(',')
        .filter((_, index) => index !== column)
        .join(','),
    )
    .join('\n');
const farAway = harvestLog('West').replaceAll('-93.5', '-94.5').replaceAll('-93.49', '-94.49');

/** Text without its folds. */
const flat = (text: string) => text.replace(/\s+/g, ' ');

type Files = Record<string, string | Uint8Array>;
/** Files, what must be said, and where. */
const REFUSED: [string, Files, RegExp, RegExp?][] = [
  ['an empty file', { 'empty.csv': '' }, /empty\.csv is empty/],
  ['a picture', { 'photo.png': Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13) }, /photo\.png/],
  ['a letter', { 'letter.txt': 'Dear Sir,\nthe weather was fine.\nYours\n' }, /letter\.txt/],
  [
    'a table of groceries',
    { 'list.csv': 'item,price,shop\nmilk,1.20,corner\nbread,2.10,corner\n' },
    /list\.csv.*"?item/,
  ],
  ['a cut .zip', { 'cut.zip': fromDisk('broken/cut.zip') }, /cut short/],
  ['a .zip that would grow without end', { 'bomb.zip': fromDisk('broken/bomb.zip') }, /more than/],
  ['a shapefile without its .dbf and .shp', { 'only.prj': fromDisk('good/utm15n.prj') }, /only\.prj/],
  [
    'a shapefile in meters without its .prj',
    { 'm.shp': fromDisk('broken/no-prj-utm.shp'), 'm.dbf': fromDisk('broken/no-prj-utm.dbf') },
    /coordinate system|\.prj|degrees/,
  ],
  [
    'positions in meters in a table',
    { 'm.csv': `${SCOUTING_HEADER}\n2026-08-28,West,458600.1,4649776.2,waterhemp,3,1\n` },
    /458600/,
  ],
  [
    'a log without positions',
    {
      'log.csv': withoutColumn(
        log.map((row) =>
          row
            .split(',')
            .filter((_, i) => i !== 1)
            .join(','),
        ),
        1,
      ),
    },
    /no column gives the position/,
  ],
  ['a log of another field', { 'other.csv': farAway }, /another field.* mi /],
  [
    'counts of another farm',
    { 'other.csv': scouting(counts('West', [2, 2]).map((row) => row.replace('-93.', '-91.'))) },
    /lies in one of the farm's fields/,
  ],
  ['counts that are all negative', { 'minus.csv': scouting(counts('West', [2, 1], () => -3)) }, /-3|negative/, /Row 2/],
  [
    'a boundary that is not closed to an area',
    { 'line.geojson': feature([placeIn('West', 0, 0), placeIn('West', 9, 9), placeIn('West', 0, 0)]) },
    /line\.geojson/,
  ],
  ['GeoJSON that breaks off', { 'cut.geojson': fromDisk('broken/cut.geojson') }, /cut\.geojson/],
];

describe('what is refused', () => {
  test.each(REFUSED)(
    '%s: told with its place; the farm is as it was, and the good file beside it is taken',
    (_what, files, said, place) => {
      const host = start.copy();
      for (const [name, content] of Object.entries(files)) host.put(name, content);
      host.put('good.csv', good);
      const before = host.text('farm/farm.json');
      const alone = host.run('add', 'farm', ...Object.keys(files));
      expect(flat(alone.err)).toMatch(said);
      if (place) expect(flat(alone.err)).toMatch(place);
      expect(alone.out).toContain('Nothing was added');
      expect(alone.code).toBe(2);
      expect(host.text('farm/farm.json')).toBe(before);
      expect(host.list('farm/attachments').length).toBe(2);

      const both = host.run('add', 'farm', ...Object.keys(files), 'good.csv');
      expect(both.code).toBe(1);
      expect(both.out).toContain('Added a round of 4 observations on 1 field from good.csv.');
      expect(documentOf(host, 'farm').files.length).toBe(3);
      expect(`${alone.err}${both.err}`).not.toMatch(/undefined|\[object|NaN/);

      const checked = host.run('check', ...Object.keys(files), 'good.csv');
      expect(checked.code).toBeLessThan(2);
      expect(checked.out).toContain('good.csv\n  taken for scouting');
    },
  );

  test('the same file twice, and again under another name', () => {
    const host = start.copy();
    host.put('again.csv', start.files.get('rounds.csv')!);
    host.put('good.csv', good);
    expect(flat(host.run('add', 'farm', 'again.csv').err)).toContain('again.csv is already in the farm as rounds.csv');
    const twice = host.run('add', 'farm', 'good.csv', 'good.csv');
    expect([twice.code, documentOf(host, 'farm').files.length]).toEqual([0, 3]);
  });
  test('tables that name fields the farm has not: row by row, and refused where none is left', () => {
    const host = start.copy();
    host.put('crops.csv', 'field,year,crop,planted\nNord,2026,corn,2026-05-01\n');
    host.put('ratings.csv', 'field,species,rating,date\nNord,waterhemp,few,2026-08-01\n');
    host.put('spray.csv', 'field,date,ingredient,share_of_full_label_rate\nNord,2026-05-01,metribuzin,1\n');
    const { code, err } = host.run('add', 'farm', 'crops.csv', 'ratings.csv', 'spray.csv');
    expect(code).toBe(2);
    for (const name of ['crops.csv', 'ratings.csv', 'spray.csv'])
      expect(flat(err)).toContain(`error: ${name}: Row 2: the farm has no field (or more than one) named "Nord"`);
    expect(documentOf(host, 'farm').files.length).toBe(2);
  });
});

describe('what is taken, and told', () => {
  test('a boundary that crosses itself is mended, and says so', () => {
    const host = new MemoryHost({ 'bow.geojson': fromDisk('broken/bowtie.geojson') });
    host.run('new', 'farm');
    const { code, err } = host.run('add', 'farm', 'bow.geojson');
    expect(code).toBeLessThan(2);
    expect(flat(err)).toMatch(/cross/);
  });
  test('latitude and longitude in each other’s place are never taken in silence', () => {
    const host = start.copy();
    const swapped = counts('Middle', [2, 2]).map((row) => {
      const cells = row.split(',');
      return [cells[0], cells[1], cells[3], cells[2], ...cells.slice(4)].join(',');
    });
    host.put('swapped.csv', scouting(swapped));
    const { err } = host.run('add', 'farm', 'swapped.csv');
    expect(flat(err)).toMatch(/swapped\.csv.*(exchanged|swapped|latitude)/is);
    const corners = ring('West', 0, 0, 50, 50).map(([lon, lat]) => [lat, lon]);
    host.put('swapped.geojson', feature(corners));
    expect(flat(host.run('add', 'farm', 'swapped.geojson').err)).toMatch(/latitude/);
  });
  test('text in a numeric column and one negative count: row and column told, the other rows used', () => {
    const host = start.copy();
    host.put('mixed.csv', scouting(counts('Middle', [4, 1], (_x, _y, n) => ['many', -2, 3, 0][n]!)));
    const { code, out, err } = host.run('add', 'farm', 'mixed.csv');
    expect(code).toBe(1);
    expect(out).toContain('a round of 2 observations');
    expect(flat(err)).toMatch(/Row 2.*many/s);
    expect(flat(err)).toMatch(/Row 3.*-2/s);
  });
  test('a date out of season is told and kept as written', () => {
    const host = start.copy();
    host.put('old.csv', scouting(counts('Middle', [2, 1], southOnly, '2019-08-28')));
    const { err } = host.run('add', 'farm', 'old.csv', '--season', '2026');
    expect(flat(err)).toContain('2019-08-28 is not in the season 2026');
  });
  test('two fields of one name are both kept and told; what names them is not guessed', () => {
    const host = start.copy();
    const other = JSON.parse(boundaries(['East'])) as { features: { properties: { name: string } }[] };
    other.features[0]!.properties.name = 'west ';
    host.put('second.geojson', JSON.stringify(other));
    const { code, err } = host.run('add', 'farm', 'second.geojson');
    expect(code).toBe(0);
    expect(flat(err)).toMatch(/already a field named west/);
    expect(documentOf(host, 'farm').fields.map((one) => one.id)).toEqual(['west', 'middle', 'east', 'west-2']);
    host.put('ratings.csv', 'field,species,rating,date\nWest,waterhemp,few,2026-08-01\n');
    expect(flat(host.run('add', 'farm', 'ratings.csv').err)).toContain('(or more than one) named "West"');
  });
  test('two crops of one field and year: the later planted is used, the other told', () => {
    const host = start.copy();
    host.put('crops.csv', 'field,year,crop,planted\nWest,2026,soybean,2026-06-20\nWest,2026,wheat,2025-10-01\n');
    const { err } = host.run('add', 'farm', 'crops.csv');
    expect(flat(err)).toMatch(/Row 3: West has two crops in 2026; soybean of row 2 is used, wheat is not/);
    host.put('again.csv', 'field,year,crop,planted\nWest,2026,corn,2026-05-01\n');
    expect(flat(host.run('add', 'farm', 'again.csv').err)).toContain('is replaced on West');
    expect(documentOf(host, 'farm').seasons[0]!.crops.map((one) => one.crop)).toEqual(['corn']);
  });
  test('two shapefiles with one projection, also of one name in two folders', () => {
    const host = new MemoryHost();
    for (const of of ['a/fields', 'b/fields'])
      for (const ending of ['shp', 'shx', 'dbf', 'prj']) host.put(`${of}.${ending}`, fromDisk(`good/utm15n.${ending}`));
    // One corner moved by a hair: other bytes, the same .prj.
    const moved = fromDisk('good/utm15n.shp');
    moved[150]! ^= 1;
    host.put('b/fields.shp', moved);
    host.run('new', 'farm');
    const { out } = host.run('add', 'farm', ...[...host.files.keys()].filter((one) => /^[ab]\//.test(one)));
    expect(out.match(/Added/g)?.length).toBe(2);
    expect(host.run('study', 'farm').code).toBeLessThan(2);
    const ids = documentOf(host, 'farm').files.map((one) => one.id);
    expect(new Set(ids).size).toBe(8);
  });
});

describe('a farm that is not whole', () => {
  test.each<[string, (host: MemoryHost) => void, RegExp]>([
    [
      'broken JSON',
      (host) => host.put('farm/farm.json', host.text('farm/farm.json').slice(0, -40)),
      /not readable as JSON in line \d+/,
    ],
    [
      'a wrong type',
      (host) => host.put('farm/farm.json', host.text('farm/farm.json').replace('"seed": 1', '"seed": "one"')),
      /farm\.json: seed/,
    ],
    [
      'a newer schema',
      (host) => host.put('farm/farm.json', host.text('farm/farm.json').replace('"schema": 1', '"schema": 9')),
      /newer version/,
    ],
    ['no farm.json', (host) => host.remove('farm/farm.json'), /holds no farm\.json/],
  ])('%s: nothing is run and nothing is written', (_what, damage, said) => {
    const host = start.copy();
    damage(host);
    host.put('good.csv', good);
    const before = new Map(host.files);
    for (const words of [
      ['study', 'farm'],
      ['add', 'farm', 'good.csv'],
      ['working', 'farm', 'x'],
    ]) {
      const { code, err } = host.run(...words);
      expect(code).toBe(2);
      expect(flat(err)).toMatch(said);
    }
    expect(host.files).toEqual(before);
  });
  test('a missing attachment is told, and the rest is studied', () => {
    const host = start.copy();
    const round = documentOf(host, 'farm').files.find((one) => one.name === 'rounds.csv')!;
    host.remove(`farm/attachments/${round.sha256}`);
    const { code, out, err } = host.run('study', 'farm');
    expect(code).toBe(1);
    expect(flat(err)).toContain('The attachment of rounds.csv is missing. Add the file again.');
    expect(out).toContain('go and look');
    expect(host.run('add', 'farm', 'rounds.csv').out).toContain('rounds.csv');
    expect(host.run('study', 'farm').code).toBe(0);
  });
  test('a farm file with a part that cannot be read is studied without it, and is never written over', () => {
    const host = hostWithFarm('farm.zip', {
      'boundaries.geojson': boundaries(),
      'rounds.csv': scouting(counts('West', [3, 2])),
    });
    const bytes = host.files.get('farm.zip')!.slice();
    const name = new TextEncoder().encode(`attachments/${documentOf(host, 'farm.zip').files[1]!.sha256}`);
    const at = bytes.findIndex((_, i) => name.every((one, k) => bytes[i + k] === one));
    bytes.fill(0, at + name.length + 10, at + name.length + 40);
    host.put('farm.zip', bytes);
    const { code, err } = host.run('study', 'farm.zip');
    expect(code).toBe(1);
    expect(flat(err)).toContain('rounds.csv');
    host.put('good.csv', good);
    const added = host.run('add', 'farm.zip', 'good.csv');
    expect(added.code).toBe(2);
    expect(flat(added.err)).toContain('was not changed');
    expect(host.files.get('farm.zip')).toBe(bytes);
  });
});

test('every broken file of the outside is told or read, and check --json keeps to its schema', () => {
  const names = readdirSync(`${folder}broken`);
  const host = new MemoryHost();
  for (const name of names) host.put(`in/${name}`, fromDisk(`broken/${name}`));
  const checks = host.json<FileCheck[]>('check', ...names.map((name) => `in/${name}`));
  expect(checkSchema.safeParse(checks).error?.issues ?? []).toEqual([]);
  expect(checks.length).toBeGreaterThan(40);
  for (const one of checks) {
    if (one.takenFor === null) expect(one.problems.some((it) => it.level === 'error')).toBe(true);
    for (const { text } of one.problems) expect(text).not.toMatch(/undefined|\[object|TypeError/);
  }
});

test('a study of a farm without anything says what to do', () => {
  const host = new MemoryHost();
  host.run('new', 'farm');
  const { code, out } = host.run('study', 'farm');
  expect(code).toBe(0);
  expect(out).toContain('bring their boundaries in');
  expect(host.json<Study>('study', 'farm').fields).toEqual([]);
});
