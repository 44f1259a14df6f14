import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { IMPORT_LIMITS, openArchive, writeArchive } from '../../../shared/import/archive.ts';
import type { ArchiveEntry } from '../../../shared/import/archive.ts';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const files = [
  { name: 'farm.json', bytes: bytesOf('{"name":"Invented farm"}') },
  { name: 'attachments/a b–c.csv', bytes: bytesOf('lon,lat\n'.repeat(1000)) },
  { name: 'attachments/packed.zip', bytes: Uint8Array.from({ length: 3000 }, (_, i) => (i * 7919) % 251) },
  { name: 'empty.txt', bytes: new Uint8Array(0) },
];
const entriesOf = (zip: Uint8Array, limits = IMPORT_LIMITS): ArchiveEntry[] => {
  const opened = openArchive(zip, limits);
  if (!opened.ok) throw new Error(opened.problems.map((one) => one.text).join());
  return opened.value;
};
const codesOf = (zip: Uint8Array, limits = IMPORT_LIMITS) => openArchive(zip, limits).problems.map((one) => one.code);

/** Byte of the only entry of a zip's directory. */
function directoryEntry(view: DataView): number {
  let at = view.byteLength - 4;
  while (view.getUint32(at, true) !== 0x02014b50) at--;
  return at;
}

describe('refusals', () => {
  it('bytes that are no zip, and none at all', () => {
    expect(codesOf(bytesOf('lon,lat'))).toEqual(['not-a-zip']);
    expect(codesOf(new Uint8Array(0))).toEqual(['not-a-zip']);
  });

  it('a zip cut anywhere is told, at once, never inflated for ever', () => {
    const zip = writeArchive(files);
    for (let end = 4; end < zip.length; end += 7) {
      expect(openArchive(zip.subarray(0, end)).ok, `cut at ${end} of ${zip.length}`).toBe(false);
    }
  });

  it('names that point outside', () => {
    for (const name of ['../x', 'a/../../x', '/x', 'C:/x', 'C:\\x', '..\\x']) {
      expect(codesOf(zipSync({ [name]: bytesOf('x') }))).toEqual(['zip-path']);
    }
  });

  it('more entries, more bytes or a higher ratio than the limits, before anything is inflated', () => {
    const zip = writeArchive(files);
    expect(codesOf(zip, { ...IMPORT_LIMITS, entries: 3 })).toEqual(['zip-entries']);
    expect(codesOf(zip, { ...IMPORT_LIMITS, totalBytes: 4000 })).toEqual(['zip-size']);
    expect(codesOf(zip, { ...IMPORT_LIMITS, ratio: 20, ratioAboveBytes: 5000 })).toEqual(['zip-ratio']);
    expect(codesOf(zip, { ...IMPORT_LIMITS, ratio: 20 })).toEqual([]);
  });

  it('an entry whose real size is not the one in the directory, however it lies', () => {
    for (const size of [1, 7999, 8001, 100_000]) {
      const zip = zipSync({ 'log.csv': bytesOf('lon,lat\n'.repeat(1000)) });
      const view = new DataView(zip.buffer);
      const entry = directoryEntry(view);
      view.setUint32(entry + 24, size, true);
      const [lied] = entriesOf(zip);
      expect(lied!.read()).toMatchObject({ ok: false, problems: [{ code: 'zip-damaged' }] });
    }
  });

  it('an entry with a flipped byte does not match its checksum', () => {
    const zip = zipSync({ 'a.bin': [files[2]!.bytes, { level: 0 }] });
    zip[100]! ^= 1;
    expect(entriesOf(zip)[0]!.read()).toMatchObject({ ok: false, problems: [{ code: 'zip-damaged' }] });
  });

  it('locked entries and unknown methods of packing', () => {
    const locked = zipSync({ a: bytesOf('abc') });
    const view = new DataView(locked.buffer);
    const entry = directoryEntry(view);
    view.setUint16(entry + 8, 1, true);
    expect(codesOf(locked)).toEqual(['zip-encrypted']);
    view.setUint16(entry + 8, 0, true);
    view.setUint16(entry + 10, 14, true);
    expect(entriesOf(locked)[0]!.read()).toMatchObject({ ok: false, problems: [{ code: 'zip-method' }] });
  });

  it('writing under a name that is unsafe or used twice throws', () => {
    expect(() => writeArchive([{ name: '../x', bytes: bytesOf('') }])).toThrow(/bad name/);
    expect(() => writeArchive([files[0]!, files[0]!])).toThrow(/used twice/);
  });
});

describe('laws', () => {
  it('what is written comes back: names, order and bytes', () => {
    const entries = entriesOf(writeArchive(files));
    expect(entries.map((entry) => entry.name)).toEqual(files.map((file) => file.name));
    entries.forEach((entry, i) => {
      expect(entry.size).toBe(files[i]!.bytes.length);
      expect(entry.read()).toMatchObject({ ok: true, value: files[i]!.bytes });
    });
  });

  it('the same entries give the same bytes, in any time zone', () => {
    const before = process.env['TZ'];
    const zips = ['UTC', 'America/Chicago', 'Asia/Kolkata'].map((zone) => {
      process.env['TZ'] = zone;
      return writeArchive(files);
    });
    if (before === undefined) delete process.env['TZ'];
    else process.env['TZ'] = before;
    expect(zips[1]).toEqual(zips[0]);
    expect(zips[2]).toEqual(zips[0]);
  });

  it('bytes flipped anywhere never throw and never hang', () => {
    const zip = writeArchive(files);
    for (let i = 0; i < zip.length; i++) {
      const bent = zip.slice();
      bent[i]! ^= 0xff;
      const opened = openArchive(bent);
      if (opened.ok) for (const entry of opened.value) entry.read();
    }
  }, 60_000);
});

describe('odd cases', () => {
  it('folders, resource forks and finder files are left out', () => {
    const zip = zipSync({
      'north/': new Uint8Array(0),
      'north/a.shp': bytesOf('a'),
      '__MACOSX/north/._a.shp': bytesOf('b'),
      'north/._a.shp': bytesOf('c'),
      '.DS_Store': bytesOf('d'),
    });
    expect(entriesOf(zip).map((entry) => entry.name)).toEqual(['north/a.shp']);
  });

  it('backslashes of old packers become slashes', () => {
    expect(entriesOf(zipSync({ 'north\\a.shp': bytesOf('a') }))[0]!.name).toBe('north/a.shp');
  });

  it('a view into a larger buffer is read at its own place', () => {
    const zip = writeArchive(files);
    const wide = new Uint8Array(zip.length + 50);
    wide.set(zip, 20);
    expect(entriesOf(wide.subarray(20, 20 + zip.length)).length).toBe(4);
  });
});
