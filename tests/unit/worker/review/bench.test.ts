import { describe, expect, test } from 'vitest';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { writeArchive } from '../../../../shared/import/archive.ts';
import { applyEdit } from '../../../../shared/model/edit.ts';
import type { Farm } from '../../../../shared/model/farm.ts';
import { emptyFarm } from '../../../../shared/model/new-farm.ts';
import { ReviewBench } from '../../../../src/worker/review/bench.ts';
import { fileFault } from '../../../../src/worker/review/file-fault.ts';
import { drive } from '../../../support/import-text.ts';
import { MemoryHost } from '../../../support/memory-host.ts';
import { given, onBench } from '../../../support/review-bench.ts';
import { documentOf } from '../../../support/small-farm-host.ts';
import {
  boundaries,
  counts,
  harvestLog,
  patches,
  ratings,
  scouting,
  weather,
  wholeFarm,
} from '../../../support/small-farm.ts';

const start = emptyFarm('farm', 'farm');
const interop = fileURLToPath(new URL('../../../reference/file-interop/', import.meta.url));
const fromDisk = (name: string) => new Uint8Array(readFileSync(interop + name));
const all = { ...wholeFarm(), 'ratings.csv': ratings, 'patches-2026.geojson': patches };
const allGiven = Object.entries(all).map(([name, text]) => given(name, text));

describe('the same files on the command line and under review', () => {
  const parity = (files: Readonly<Record<string, string | Uint8Array>>) => {
    const host = new MemoryHost(files);
    host.run('new', 'farm');
    host.run('add', 'farm', ...Object.keys(files));
    const told = documentOf(host, 'farm');
    const { bench, ids } = onBench(Object.entries(files).map(([name, content]) => given(name, content)));
    const { edit } = bench.change(start, ids, []);
    return { told, farm: edit ? applyEdit(start, edit).farm : start };
  };
  test('give the same document', () => {
    const { told, farm } = parity(all);
    expect(farm).toEqual(told);
    expect(farm.files.length).toBe(Object.keys(all).length);
  });
  test('also of a shapefile in parts beside others, and of a zip of mixed records', () => {
    const parts = ['shp', 'shx', 'dbf', 'prj', 'cpg'].map(
      (one) => [`utm15n.${one}`, fromDisk(`good/utm15n.${one}`)] as const,
    );
    const zip = writeArchive(
      Object.entries({ 'a/fields.geojson': boundaries(), 'b/weather.csv': weather(2026) }).map(([name, text]) => ({
        name,
        bytes: new TextEncoder().encode(text),
      })),
    );
    const { told, farm } = parity({ 'all.zip': zip, ...Object.fromEntries(parts) });
    expect(farm).toEqual(told);
    expect(farm.files.map((one) => one.name)).toEqual(
      expect.arrayContaining(['fields.geojson', 'weather.csv', 'utm15n.shp', 'utm15n.dbf']),
    );
  });
  test('also where some are refused', () => {
    const { told, farm } = parity({
      'notes.txt': 'Dear Sir,\nhello\n',
      'log.csv': harvestLog('West'),
      'b.geojson': boundaries(['East']),
    });
    expect(farm).toEqual(told);
    expect(farm.files.map((one) => one.name)).toEqual(['b.geojson']);
  });
});

describe('what was dropped', () => {
  test('is put together by folder, and the same name in two folders is two files', () => {
    const { gathered } = onBench([
      given('north/fields.shp', fromDisk('good/utm15n.shp')),
      given('north/fields.dbf', fromDisk('good/utm15n.dbf')),
      given('south/fields.prj', fromDisk('good/utm15n.prj')),
    ]);
    expect(gathered.items.map(({ folder, name }) => folder + name)).toEqual(['north/fields.shp', 'south/fields.prj']);
  });
  test('a folder of pictures is one calm sentence, and nothing else', () => {
    const { gathered } = onBench(Array.from({ length: 37 }, (_, n) => given(`photos/IMG_${n}.JPG`, 'x')));
    expect(gathered).toEqual({ items: [], aside: '37 pictures were left alone: they hold no records.', farmFiles: [] });
  });
  test('a farm file is told from records', () => {
    const farm = writeArchive([{ name: 'farm.json', bytes: new TextEncoder().encode('{}') }]);
    const { gathered } = onBench([given('rounds.csv', scouting(counts('West', [2, 2]))), given('my-farm.zip', farm)]);
    expect([gathered.items.map((one) => one.name), gathered.farmFiles]).toEqual([['rounds.csv'], [1]]);
  });
  test('a broken zip is refused with what to do', () => {
    const { review } = onBench([given('cut.zip', fromDisk('broken/cut.zip'))]);
    expect(review('cut.zip')).toMatchObject({
      isRead: false,
      problems: [{ code: 'zip-damaged', hint: 'Copy or download it again.' }],
    });
  });
  test('the same file twice is added once, and told', () => {
    const text = scouting(counts('West', [2, 2]));
    const { bench, ids, id } = onBench([
      given('b.geojson', boundaries()),
      given('rounds.csv', text),
      given('rounds (1).csv', text),
    ]);
    const change = bench.change(start, ids, []);
    expect(change.items.find((one) => one.id === id('rounds (1).csv'))).toMatchObject({
      summary: null,
      problems: [
        { code: 'file-twice', text: 'rounds (1).csv is the same file as rounds.csv, byte for byte: it is added once.' },
      ],
    });
    expect(applyEdit(start, change.edit!).farm.files.length).toBe(2);
    expect(bench.attachments(ids).length).toBe(2);
  });
  test('a file that the farm has is told, and nothing changes', () => {
    const { bench, ids } = onBench([given('b.geojson', boundaries())]);
    const farm = applyEdit(start, bench.change(start, ids, []).edit!).farm;
    const again = bench.change(farm, ids, []);
    expect(again.edit).toBeNull();
    expect(again.items[0]!.problems[0]!.code).toBe('file-known');
  });
  test('a large file that is no record is refused by its first bytes', () => {
    let readTo = 0;
    const huge = { size: 500 * 2 ** 20 } as Blob;
    const bench = new ReviewBench((_blob, from, to) => {
      readTo = Math.max(readTo, to);
      return new Uint8Array(to - from).map((_, n) => (from + n) % 251);
    });
    const { items } = drive(bench.gather([{ folder: '', name: 'disk-image.bin', blob: huge }]));
    const review = drive(bench.read(items[0]!.id, {}));
    expect(review.isRead).toBe(false);
    expect(readTo).toBeLessThan(4 * 2 ** 20);
  });
});

describe('a file that cannot be read any more', () => {
  test('is told with what to do; a fault of the program is not', () => {
    const gone = new DOMException('gone', 'NotReadableError');
    expect(fileFault(gone, 'log.csv')).toMatchObject({ code: 'file-unreadable', hint: 'Drop it again.' });
    expect(fileFault(new RangeError('Invalid array length'), 'log.csv').code).toBe('file-large');
    expect(() => fileFault(new TypeError('x'), 'log.csv')).toThrow(TypeError);
  });
  test('leaves the others as they are', () => {
    const [lost, found] = [{ size: 10 } as Blob, given('b.geojson', boundaries())];
    const bytes = new TextEncoder().encode(boundaries());
    const bench = new ReviewBench((blob, from, to) => {
      if (blob === lost) throw new DOMException('gone', 'NotReadableError');
      return bytes.subarray(from, to);
    });
    const { items } = drive(bench.gather([{ folder: '', name: 'a.csv', blob: lost }, found]));
    const reviews = items.map((one) => drive(bench.read(one.id, {})));
    expect(reviews.map((one) => [one.name, one.isRead])).toEqual([
      ['a.csv', false],
      ['b.geojson', true],
    ]);
    expect(reviews[0]!.problems[0]!.code).toBe('file-unreadable');
  });
});

describe('what a person says against a guess', () => {
  test('is read anew, and what it brings changes with it', () => {
    const wide = scouting(counts('West', [2, 2])).replace('quadrat_m2', 'frame');
    const { bench, id, ids } = onBench([given('b.geojson', boundaries()), given('rounds.csv', wide)]);
    const item = id('rounds.csv');
    const areaOf = (farm: Farm) => farm.files.find((one) => one.name === 'rounds.csv')!.reading.columns['area'];
    const review = drive(bench.read(item, { units: { area: 'ft2' } }));
    expect(review.columns.find((one) => one.id === 'area')!.taken).toMatchObject({ unit: 'ft2', by: 'person' });
    const farm = applyEdit(start, bench.change(start, ids, []).edit!).farm;
    expect(areaOf(farm)).toMatchObject({ column: 'frame', unit: 'ft2', by: 'person' });
  });
  test('can make of a table what it was not taken for', () => {
    const { bench, id, review } = onBench([given('list.csv', 'where,weed,how bad\nWest,waterhemp,few\n')]);
    expect(review('list.csv')).toMatchObject({ isRead: false, kind: null });
    const again = drive(bench.read(id('list.csv'), { as: 'ratings', columns: { field: 'where', rating: 'how bad' } }));
    expect(again).toMatchObject({ isRead: true, kind: 'ratings' });
  });
  test('left out, a file brings nothing', () => {
    const { bench, id } = onBench(allGiven);
    const { items, edit } = bench.change(start, [id('boundaries.geojson')], []);
    expect(items.map((one) => one.summary)).toEqual(['3 fields']);
    expect(edit!.label).toBe('Add 3 fields from boundaries.geojson');
  });
});

test('each part is kept under its hash, byte for byte', async () => {
  const { bench, ids } = onBench(allGiven);
  const kept = bench.attachments(ids);
  const farm = applyEdit(start, bench.change(start, ids, []).edit!).farm;
  expect(kept.map((one) => one.sha256).sort()).toEqual(farm.files.map((one) => one.sha256).sort());
  for (const { name, blob } of kept) expect(await blob.text()).toBe(all[name as keyof typeof all]);
});
