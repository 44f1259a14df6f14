// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { writeArchive } from '../../../shared/import/archive.ts';
import { applyEdit, type Edit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import type { Desk } from '../../../src/state/desk.svelte.ts';
import { Review } from '../../../src/state/review.svelte.ts';
import type { ReviewBench } from '../../../src/worker/review/bench.ts';
import type { ReviewClient } from '../../../src/worker/review/client.ts';
import type { GivenFile, ReviewAsk, ReviewAsks } from '../../../src/worker/review/protocol.ts';
import { drive } from '../../support/import-text.ts';
import { given, newBench } from '../../support/review-bench.ts';
import { boundaries, counts, scouting } from '../../support/small-farm.ts';

/** A desk that does what it is told at once, and a review whose worker answers from the same thread. */
function standing(farm: Farm | null, how: { stopAt?: string; breakAt?: ReviewAsk } = {}) {
  const did: string[] = [];
  const ended: ReviewClient[] = [];
  const desk = {
    farm,
    isLooking: false,
    view: { season: null },
    edit(edit: Edit) {
      did.push(edit.label);
      desk.farm = applyEdit(desk.farm!, edit).farm;
    },
    openFile: async (file: File) => void did.push(`open ${file.size}`),
    studySeason: () => void did.push('study'),
    farms: {
      create: async ({ name }: { name: string }) => {
        did.push(`create ${name}`);
        desk.farm = emptyFarm('new', name);
      },
    },
    saving: { tellAttachments: () => undefined },
    analysis: {
      ask: async (question: string, ask: { files: { name: string }[] } | null) => {
        if (question === 'lost attachments') return [];
        did.push(`keep ${ask!.files.map((one) => one.name).join(', ')}`);
        return [];
      },
    },
  };
  const review = new Review(desk as unknown as Desk, () => {
    const bench: ReviewBench = newBench();
    const client = {
      async ask<K extends ReviewAsk>(what: K, ask: ReviewAsks[K]) {
        if (what === how.breakAt) throw new Error('it broke');
        switch (what) {
          case 'gather':
            return { answer: drive(bench.gather((ask as ReviewAsks['gather']).files)) };
          case 'read': {
            const { item, wishes } = ask as ReviewAsks['read'];
            const read = drive(bench.read(item, wishes));
            return read.name === how.stopAt ? null : { answer: read };
          }
          case 'change': {
            const { farm: into, items, lost } = ask as ReviewAsks['change'];
            return { answer: bench.change(into, items, lost) };
          }
          case 'attachments':
            return { answer: bench.attachments((ask as ReviewAsks['attachments']).items) };
          case 'rows':
            return { answer: bench.rows(...(Object.values(ask) as [number, number, number])) };
        }
      },
      stop: () => undefined,
      end: () => void ended.push(client as unknown as ReviewClient),
    };
    return client as unknown as ReviewClient;
  });
  return { desk, did, ended, review };
}

const own = emptyFarm('own', 'Own Farm');
const files = (): GivenFile[] => [
  given('rounds.csv', scouting(counts('West', [2, 2]))),
  given('b.geojson', boundaries()),
  given('notes.txt', 'Dear Sir,\nhello\n'),
];

describe('the review', () => {
  it('reads what was dropped, says what it would change, and changes nothing', async () => {
    const { desk, did, review } = standing(own);
    await review.take(files());
    expect(review.isOpen).toBe(true);
    expect(review.items.map((one) => [one.name, one.change?.summary ?? null])).toEqual([
      ['rounds.csv', 'a round of 4 observations on 1 field'],
      ['b.geojson', '3 fields'],
      ['notes.txt', null],
    ]);
    expect([did, desk.farm]).toEqual([[], own]);
  });

  it('accepted is one edit, after the bytes were kept; then it is over', async () => {
    const { did, ended, review } = standing(own);
    await review.take(files());
    await review.accept();
    const label = 'Add 3 fields and a round of 4 observations on 1 field';
    expect(did).toEqual(['keep b.geojson, rounds.csv', label]);
    expect([review.isOpen, review.added, ended.length]).toEqual([false, label, 1]);
  });

  it('closed leaves everything as it was, and ends the worker', async () => {
    const { did, ended, review } = standing(own);
    await review.take(files());
    review.close();
    expect([did, review.items, review.isOpen, ended.length]).toEqual([[], [], false, 1]);
  });

  it('takes more that is dropped while it is open, and leaves out what the person unticks', async () => {
    const { did, review } = standing(own);
    await review.take(files().slice(0, 1));
    await review.take(files().slice(1, 2));
    await review.want(review.items[0]!.id, false);
    expect(review.items.map((one) => one.change?.summary ?? null)).toEqual([null, '3 fields']);
    await review.accept();
    expect(did.at(-1)).toBe('Add 3 fields from b.geojson');
  });

  it('puts a person’s files into a farm of their own, not into the invented one, unless told', async () => {
    const { did, review } = standing({ ...own, invented: true });
    await review.take(files());
    expect(review.target).toBe('new farm');
    review.nameNew('Creek Farm');
    await review.accept();
    expect(did[0]).toBe('create Creek Farm');
    expect(did.at(-1)).toMatch(/^Add 3 fields/);
    const other = standing({ ...own, invented: true });
    await other.review.take(files());
    await other.review.aimAt('open farm');
    await other.review.accept();
    expect(other.did[0]).toMatch(/^keep/);
  });

  it('begins a farm where none is open', async () => {
    const { did, review } = standing(null);
    await review.take(files());
    await review.accept();
    expect(did[0]).toBe('create My farm');
  });

  it('opens a farm file that came alone, and offers one that came along', async () => {
    const bytes = writeArchive([{ name: 'farm.json', bytes: new TextEncoder().encode('{}') }]);
    const alone = standing(own);
    await alone.review.take([given('farm.zip', bytes)]);
    expect([alone.did, alone.review.isOpen]).toEqual([[`open ${bytes.length}`], false]);
    const along = standing(own);
    await along.review.take([...files(), given('farm.zip', bytes)]);
    expect([along.did, along.review.farmsAlong.length]).toEqual([[], 1]);
  });

  it('stopped leaves what was not read, which a press reads after all', async () => {
    const how: { stopAt?: string } = { stopAt: 'b.geojson' };
    const { review } = standing(own, how);
    await review.take(files());
    expect(review.items.map((one) => one.review !== null)).toEqual([true, false, false]);
    delete how.stopAt;
    await review.say(review.items[1]!.id, {});
    expect(review.items[1]!.change?.summary).toBe('3 fields');
  });

  it('says what a person said of a file, read anew', async () => {
    const { review } = standing(own);
    await review.take(files());
    await review.say(review.items[0]!.id, { units: { area: 'ft2' } });
    expect(review.items[0]!.review!.columns.find((one) => one.id === 'area')!.taken!.unit).toBe('ft2');
  });

  it('told that something broke, keeps the page and the farm as they are', async () => {
    const { did, review } = standing(own, { breakAt: 'change' });
    await review.take(files());
    expect([review.broken, review.isOpen, did]).toEqual(['it broke', true, []]);
  });
});
