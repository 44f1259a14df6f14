import { describe, expect, it } from 'vitest';
import { digestOf } from '../../../shared/analysis/digest.ts';
import { writeArchive } from '../../../shared/import/archive.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { writeFarmText } from '../../../shared/model/farm-text.ts';
import { openFarmFile } from '../../../src/worker/farm-file.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);
const content = utf8('a,b\n1,2\n');
const sha256 = digestOf(content);
const farm: Farm = {
  ...emptyFarm('willow', 'Willow (invented)'),
  files: [
    {
      id: 'f-1',
      sha256,
      name: 'counts.csv',
      bytes: content.length,
      kind: 'scouting',
      reading: { importer: 'scouting', columns: {} },
    },
  ],
};
const document = { name: 'farm.json', bytes: utf8(writeFarmText(farm)) };
const attachment = { name: `attachments/${sha256}`, bytes: content };

function codes(bytes: Uint8Array) {
  return openFarmFile('mine.zip', bytes).problems.map((one) => one.code);
}

describe('opening a farm file', () => {
  it('refuses what is not a zip, by name, and says what a farm file is', () => {
    const opened = openFarmFile('counts.csv', content);
    expect(opened.ok).toBe(false);
    expect(opened.problems).toMatchObject([
      {
        code: 'not-a-zip',
        level: 'error',
        where: { file: 'counts.csv' },
        hint: expect.stringContaining('seedfall new'),
      },
    ]);
  });

  it('refuses a zip without a farm.json, and one whose farm.json is no farm', () => {
    expect(codes(writeArchive([attachment]))).toEqual(['farm-missing']);
    expect(codes(writeArchive([{ name: 'farm.json', bytes: utf8('{') }]))).toEqual(['farm-not-json']);
    expect(codes(writeArchive([{ name: 'farm.json', bytes: utf8('{"schema":99}') }]))).toEqual(['farm-newer']);
    expect(codes(writeArchive([{ name: 'farm.json', bytes: utf8('{"schema":1}') }]))).toContain('farm-invalid');
  });

  it('opens the document and gives its attachments byte for byte', async () => {
    const opened = openFarmFile('mine.zip', writeArchive([document, attachment]));
    if (!opened.ok) throw new Error(opened.problems[0]!.text);
    expect(opened.problems).toEqual([]);
    expect(opened.value.farm).toEqual(farm);
    expect(await opened.value.contentOf(farm.files[0]!)).toEqual(content);
    expect(await opened.value.contentOf({ ...farm.files[0]!, sha256: '0'.repeat(64) })).toBeNull();
  });

  it('does not take a file whose content is not what its name says', async () => {
    const other = { ...attachment, bytes: utf8('a,b\n9,2\n') };
    const opened = openFarmFile('mine.zip', writeArchive([document, other]));
    expect(opened.ok && (await opened.value.contentOf(farm.files[0]!))).toBeNull();
  });

  it('opens a zipped folder, whose files all stand under its name', async () => {
    const within = [document, attachment].map((one) => ({ ...one, name: `willow/${one.name}` }));
    const opened = openFarmFile('mine.zip', writeArchive(within));
    expect(opened.ok && (await opened.value.contentOf(farm.files[0]!))).toEqual(content);
  });

  it('tells which attachments are missing or cut, and opens all the same', () => {
    expect(codes(writeArchive([document]))).toEqual(['attachment-missing']);
    const cut = openFarmFile('mine.zip', writeArchive([document, { ...attachment, bytes: content.subarray(1) }]));
    expect(cut).toMatchObject({ ok: true, problems: [{ code: 'attachment-missing', where: { file: 'counts.csv' } }] });
  });
});
