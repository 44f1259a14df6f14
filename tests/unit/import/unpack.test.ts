import { expect, test } from 'vitest';
import { writeArchive } from '../../../shared/import/archive.ts';
import { asideOf, asideSentence } from '../../../shared/import/not-records.ts';
import { unpack } from '../../../shared/import/unpack.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { sourceOf } from '../../support/bundle.ts';
import { codes, drive } from '../../support/import-text.ts';
import { documentOf } from '../../support/small-farm-host.ts';
import { boundaries, counts, crops, scouting } from '../../support/small-farm.ts';

const text = (content: string) => new TextEncoder().encode(content);
const zip = (files: Readonly<Record<string, string>>) =>
  writeArchive(Object.entries(files).map(([name, content]) => ({ name, bytes: text(content) })));
const opened = (name: string, bytes: Uint8Array) => drive(unpack({ folder: 'in/', source: sourceOf(name, bytes) }));

test('a .zip of boundaries alone is read as it is, one of mixed records is its files, each in its folder', () => {
  expect(opened('fields.zip', zip({ 'a.geojson': boundaries(), 'readme.txt': 'x' }))).toMatchObject({
    value: { is: 'one file' },
  });
  const mixed = opened('all.zip', zip({ 'a/fields.geojson': boundaries(), 'b/crops.csv': crops }));
  if (!mixed.ok || mixed.value.is !== 'records') throw new Error('not unpacked');
  expect(mixed.value.placed.map(({ folder, source }) => [folder, source.name, source.size])).toEqual([
    ['in/all.zip/a/', 'fields.geojson', boundaries().length],
    ['in/all.zip/b/', 'crops.csv', crops.length],
  ]);
  const [first] = mixed.value.placed;
  expect(new TextDecoder().decode([...first!.source.chunks()][0])).toBe(boundaries());
});

test('a farm file is told from records, also where its folder was zipped', () => {
  expect(opened('farm.zip', zip({ 'farm.json': '{}' }))).toMatchObject({ value: { is: 'farm file' } });
  expect(opened('farm.zip', zip({ 'my/farm.json': '{}', 'my/a.csv': crops }))).toMatchObject({
    value: { is: 'farm file' },
  });
});

test('what only bears the name of a .zip, and a cut one, go to the reader that tells what is wrong', () => {
  expect(opened('x.zip', text('Dear Sir'))).toMatchObject({ value: { is: 'one file' } });
  expect(opened('x.zip', zip({ 'crops.csv': crops }).subarray(0, 200))).toMatchObject({ value: { is: 'one file' } });
});

test('a damaged file in a .zip is named, the others come', () => {
  const bytes = zip({ 'crops.csv': crops, 'rounds.csv': scouting(counts('West', [2, 2])) });
  bytes[60] = bytes[60]! ^ 255;
  const outcome = opened('all.zip', bytes);
  expect(outcome.ok).toBe(true);
  expect(codes(outcome)).toEqual(['zip-damaged']);
  expect(outcome.problems[0]!.where?.file).toBe('crops.csv');
  expect(outcome.ok && outcome.value.is === 'records' && outcome.value.placed.length).toBe(1);
});

test('the command line brings in a .zip of mixed records as its files', () => {
  const files = { 'fields.geojson': boundaries(), 'crops.csv': crops };
  const loose = new MemoryHost(files);
  const zipped = new MemoryHost();
  zipped.put('all.zip', zip(files));
  for (const host of [loose, zipped]) host.run('new', 'farm');
  expect(loose.run('add', 'farm', ...Object.keys(files)).code).toBe(0);
  expect(zipped.run('add', 'farm', 'all.zip').code).toBe(0);
  expect(documentOf(zipped, 'farm')).toEqual(documentOf(loose, 'farm'));
});

test('the command line does not add a farm to a farm', () => {
  const host = new MemoryHost();
  host.run('new', 'farm');
  host.put('other.zip', zip({ 'farm.json': '{}' }));
  const { code, err } = host.run('add', 'farm', 'other.zip');
  expect(code).toBe(2);
  expect(err.replace(/\s+/g, ' ')).toContain('records never cross from one farm to another');
});

test('pictures and other strays are known by their ending, or by their first bytes where they have none', () => {
  const start =
    (...bytes: number[]) =>
    () =>
      Uint8Array.from(bytes);
  const never = () => {
    throw new Error('was read');
  };
  expect(
    ['a.JPG', 'b.heic', 'c.mov', 'd.pdf', 'x/.DS_Store', 'x/._crops.csv'].map((one) => asideOf(one, never)),
  ).toEqual(['picture', 'picture', 'film', 'document', 'leftover', 'leftover']);
  expect(asideOf('crops.csv', never)).toBeNull();
  expect(asideOf('IMG_2231', start(0xff, 0xd8, 0xff, 0xe0))).toBe('picture');
  expect(asideOf('scan', start(...text('%PDF-1.7')))).toBe('document');
  expect(asideOf('log', start(...text('time,lon,lat')))).toBeNull();
  expect(asideSentence([])).toBe('');
  expect(asideSentence(['picture'])).toBe('1 picture was left alone: it holds no records.');
  expect(asideSentence([...Array<'picture'>(37).fill('picture'), 'leftover'])).toBe(
    '37 pictures and 1 file that the system left behind were left alone: they hold no records.',
  );
});
