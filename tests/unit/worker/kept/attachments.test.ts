import { describe, expect, it } from 'vitest';
import { digestOf } from '../../../../shared/analysis/digest.ts';
import type { FarmFile } from '../../../../shared/model/farm.ts';
import { Attachments } from '../../../../src/worker/kept/attachments.ts';
import { memoryShelf, type Shelf } from '../../../../src/worker/kept/shelf.ts';

const content = new TextEncoder().encode('a,b\n1,2\n');
const sha256 = digestOf(content);
const file: FarmFile = {
  id: 'f-1',
  sha256,
  name: 'counts.csv',
  bytes: content.length,
  kind: 'scouting',
  reading: { importer: 'scouting', columns: {} },
};
/** A worker reads a blob at once; here the bytes are known. */
const read = (_blob: Blob, from: number, to: number) => content.subarray(from, to);

describe('attachments', () => {
  it('are read under the person’s own name as soon as they are added, and kept under their hash', async () => {
    const shelf = memoryShelf();
    const attachments = new Attachments(shelf, read);
    const adding = attachments.add(sha256, 'counts.csv', new Blob([content]));
    const source = attachments.open(sha256, 'counts.csv')!;
    expect([source.name, source.size, ...source.chunks()]).toEqual(['counts.csv', content.length, content]);
    expect(await adding).toEqual([]);
    expect(await shelf.list()).toEqual([sha256]);
  });

  it('are found again by the document, and what is missing or cut is told by name', async () => {
    const shelf = memoryShelf();
    expect(await new Attachments(shelf, read).find([file])).toMatchObject([
      { code: 'attachment-missing', level: 'warning', where: { file: 'counts.csv' } },
    ]);
    await shelf.put(sha256, new Blob([content.subarray(1)]));
    const cut = new Attachments(shelf, read);
    expect((await cut.find([file]))[0]!.text).toContain('7 bytes instead of 8');
    expect(cut.open(sha256, 'counts.csv')).toBeNull();
    await shelf.put(sha256, new Blob([content]));
    const whole = new Attachments(shelf, read);
    expect(await whole.find([file])).toEqual([]);
    expect(whole.open(sha256, 'counts.csv')?.size).toBe(content.length);
  });

  it('that are held are read from memory, and lie on the shelf once they are kept', async () => {
    const shelf = memoryShelf();
    const fromDisk: number[] = [];
    const attachments = new Attachments(shelf, (blob, from, to) => (fromDisk.push(to), read(blob, from, to)));
    attachments.hold(sha256, content);
    const source = attachments.open(sha256, 'counts.csv')!;
    expect([source.name, source.size, ...source.chunks()]).toEqual(['counts.csv', content.length, content]);
    expect([attachments.bytesInMemory, await shelf.list(), fromDisk]).toEqual([content.length, [], []]);
    expect(await attachments.blobs.get(sha256)!.text()).toBe('a,b\n1,2\n');
    expect(await attachments.keep(sha256, 'counts.csv')).toEqual([]);
    expect([attachments.bytesInMemory, await shelf.list()]).toEqual([0, [sha256]]);
    expect([...attachments.open(sha256, 'counts.csv')!.chunks()]).toEqual([content]);
    expect(fromDisk).toEqual([content.length]);
  });

  it('stay readable where the storage is full, and what to do is told', async () => {
    const full: Shelf = { ...memoryShelf(), put: () => Promise.reject(new DOMException('full', 'QuotaExceededError')) };
    const attachments = new Attachments(full, read);
    expect(await attachments.add(sha256, 'counts.csv', new Blob([content]))).toMatchObject([
      { code: 'storage-full', level: 'error', hint: expect.stringContaining('farm file') },
    ]);
    expect(attachments.open(sha256, 'counts.csv')?.size).toBe(content.length);
    attachments.hold(sha256, content);
    expect(await attachments.keep(sha256, 'counts.csv')).toMatchObject([{ code: 'storage-full' }]);
    expect([...attachments.open(sha256, 'counts.csv')!.chunks()]).toEqual([content]);
  });

  it('that nobody names any more are dropped', async () => {
    const shelf = memoryShelf();
    await shelf.put(sha256, new Blob([content]));
    await shelf.put('0'.repeat(64), new Blob(['old']));
    await new Attachments(shelf, read).keepOnly(new Set([sha256]));
    expect(await shelf.list()).toEqual([sha256]);
  });
});
