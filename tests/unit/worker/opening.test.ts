import { describe, expect, it } from 'vitest';
import { digestOf } from '../../../shared/analysis/digest.ts';
import type { FarmFile } from '../../../shared/model/farm.ts';
import { Attachments } from '../../../src/worker/kept/attachments.ts';
import { ResultPacks } from '../../../src/worker/kept/result-packs.ts';
import { memoryShelf, type Shelf } from '../../../src/worker/kept/shelf.ts';
import { OpenFarm } from '../../../src/worker/open-farm.ts';
import { takeOut } from '../../../src/worker/opening.ts';
import { twoFieldFarm } from '../../support/two-field-farm.ts';

const contents = ['first', 'second file', 'third'].map((text) => new TextEncoder().encode(text));
const files = contents.map((content, index): FarmFile => ({
  id: `f-${index + 1}`,
  sha256: digestOf(content),
  name: `file ${index + 1}.csv`,
  bytes: content.length,
  kind: 'scouting',
  reading: { importer: 'scouting', columns: {} },
}));
const farm = { ...twoFieldFarm(), files };
const inFile = (whole: readonly FarmFile[]) => ({
  farm,
  contentOf: (file: FarmFile) => Promise.resolve(whole.includes(file) ? contents[files.indexOf(file)]! : null),
});
const opened = (shelf: Shelf) => new OpenFarm(farm, new Attachments(shelf), ResultPacks.inMemory());

describe('a farm file that is taken out', () => {
  it('is readable from memory before anything is written, and kept when asked for', async () => {
    const shelf: Shelf = { ...memoryShelf(), kind: 'private files' };
    const open = opened(shelf);
    const keep = await takeOut(open, inFile(files));
    expect(files.map((file) => open.attachments.open(file.sha256, file.name)?.size)).toEqual([5, 11, 5]);
    expect(await shelf.list()).toEqual([]);
    expect(await keep()).toEqual({ farm: farm.id, where: 'private files', problems: [] });
    expect(await shelf.list()).toEqual(files.map((file) => file.sha256));
    expect(open.attachments.bytesInMemory).toBe(0);
  });

  it('keeps at once what does not fit in memory', async () => {
    const shelf = memoryShelf();
    const open = opened(shelf);
    await takeOut(open, inFile(files), 12);
    expect(await shelf.list()).toEqual([files[1]!.sha256]);
    expect(open.attachments.bytesInMemory).toBe(10);
  });

  it('tells what was missing in it and what could not be kept, by name', async () => {
    const full: Shelf = {
      ...memoryShelf(),
      kind: 'private files',
      put: () => Promise.reject(new DOMException('full', 'QuotaExceededError')),
    };
    const { problems } = await (await takeOut(opened(full), inFile(files.slice(1))))();
    expect(problems.map((one) => [one.code, one.where?.file])).toEqual([
      ['attachment-missing', 'file 1.csv'],
      ['storage-full', 'file 2.csv'],
      ['storage-full', 'file 3.csv'],
    ]);
  });

  it('is kept before the farm is closed', async () => {
    const shelf = memoryShelf();
    const open = opened(shelf);
    const keep = await takeOut(open, inFile(files));
    open.keepFiles = async () => void (await keep());
    await open.close();
    expect(await shelf.list()).toHaveLength(3);
  });
});
