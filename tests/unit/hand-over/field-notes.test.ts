/** From the phone to the office and back: notes and pictures, by the command line and by the review. */
import { describe, expect, test } from 'vitest';
import { digestOf } from '../../../shared/analysis/digest.ts';
import { fieldNotesFile, type NotesFile } from '../../../shared/hand-over/field-notes.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { markFind } from '../../../shared/model/edits/finds.ts';
import type { Farm, FarmFile } from '../../../shared/model/farm.ts';
import { type Find, findsOf } from '../../../shared/model/field-notes.ts';
import { readFarmText, writeFarmText } from '../../../shared/model/farm-text.ts';
import { findIn } from '../../support/finds.ts';
import { openArchive } from '../../../shared/import/archive.ts';
import { codes } from '../../support/import-text.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { given, onBench } from '../../support/review-bench.ts';
import { twoFieldFarm, WATERHEMP } from '../../support/two-field-farm.ts';

const picture = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, 7);
const photo: FarmFile = {
  id: 'f-on-the-phone',
  sha256: digestOf(picture),
  name: 'IMG 0001.JPG',
  bytes: picture.length,
  kind: 'photo',
  reading: { importer: 'photo', columns: {} },
};
const plain = [findIn('West', 10, 10, 1), findIn('West', 30, 10, 2, { heightMm: 80, note: 'by the gate' })];
const pictured = findIn('East', 10, 10, 3, { photo: photo.id });

function phoneWith(finds: readonly Find[]): Farm {
  return finds.reduce(
    (farm, find) => applyEdit(farm, markFind(farm, find, WATERHEMP, null, find.photo ? photo : null)).farm,
    twoFieldFarm(),
  );
}
function sent(farm: Farm, bytesOf = (_sha256: string): Uint8Array | null => picture): NotesFile {
  const made = fieldNotesFile(farm, findsOf(farm, 2026), bytesOf);
  if (!made.ok) throw new Error(made.problems[0]!.text);
  return made.value;
}
/** What the review would make of the farm. */
function merged(farm: Farm, files: readonly { readonly name: string; readonly bytes: Uint8Array }[]) {
  const { bench, ids, gathered, reviews } = onBench(files.map((one) => given(one.name, one.bytes)));
  const change = bench.change(farm, ids, []);
  return {
    farm: change.edit ? applyEdit(farm, change.edit).farm : farm,
    edit: change.edit,
    items: change.items,
    attachments: bench.attachments(ids),
    gathered,
    reviews,
  };
}

test('without pictures it is one small text file, named by farm and time', () => {
  const file = sent(phoneWith(plain));
  expect([file.name, file.type]).toEqual(['two-field-notes-20260829T143200.json', 'application/json']);
  expect(JSON.parse(new TextDecoder().decode(file.bytes))).toMatchObject({
    farm: { id: 'two', name: 'Two fields' },
    finds: [{ count: 1 }, { count: 2, heightMm: 80, note: 'by the gate' }],
  });
});

test('nothing marked is nothing to send', () => {
  expect(codes(fieldNotesFile(twoFieldFarm(), [], () => null))).toEqual(['no-finds']);
});

describe('at the office', () => {
  test('the finds come in as they were marked; again, nothing changes', () => {
    const phone = phoneWith(plain);
    const file = sent(phone);
    const once = merged(twoFieldFarm(), [file]);
    expect(findsOf(once.farm, 2026)).toEqual(findsOf(phone, 2026));
    expect(once.items[0]!.summary).toBe('2 finds of field notes on 1 field');
    const again = merged(once.farm, [file]);
    expect([again.edit, codes(again.items[0]!)]).toEqual([null, ['file-known']]);
  });

  test('sent again with more, only what is new comes in', () => {
    const once = merged(twoFieldFarm(), [sent(phoneWith(plain))]);
    const more = merged(once.farm, [sent(phoneWith([...plain, findIn('East', 9, 9, 5)]))]);
    expect(more.items[0]!.summary).toBe('1 find of field notes on 2 fields');
    expect(codes(more.items[0]!)).toEqual(['finds-known']);
    expect(findsOf(more.farm, 2026).map((one) => one.count)).toEqual([5, 2, 1]);
    // Spelled otherwise it is another file, and still nothing of it is new.
    const bytes = new TextEncoder().encode(
      JSON.stringify(JSON.parse(new TextDecoder().decode(sent(phoneWith(plain)).bytes))),
    );
    const respelled = merged(more.farm, [{ name: 'again.json', bytes }]);
    expect([respelled.edit, codes(respelled.items[0]!)]).toEqual([null, ['finds-known']]);
  });

  test('two phones in one drop are merged', () => {
    const other = phoneWith([findIn('East', 40, 40, 21), findIn('East', 50, 40, 22)]);
    const both = merged(twoFieldFarm(), [sent(phoneWith(plain)), sent(other)]);
    expect(findsOf(both.farm, 2026)).toHaveLength(4);
    expect(both.farm.files.map((one) => [one.kind, one.reading.importer])).toEqual([
      ['scouting', 'field-notes'],
      ['scouting', 'field-notes'],
    ]);
  });

  test('a find that was changed on the way is told; the farm keeps its own', () => {
    const once = merged(twoFieldFarm(), [sent(phoneWith(plain))]);
    const altered = sent(phoneWith([{ ...plain[0]!, count: 40 }, findIn('East', 9, 9, 5)]));
    const second = merged(once.farm, [{ ...altered, name: 'altered.json' }]);
    const told = second.items[0]!.problems.find((one) => one.code === 'find-differs')!;
    expect(told.text).toContain('count is 1 here and 40 there');
    expect(findsOf(second.farm, 2026).map((one) => one.count)).toEqual([5, 2, 1]);
  });

  test('pictures come in the same zip, whole, and are no records of their own', () => {
    const file = sent(phoneWith([...plain, pictured]));
    expect(file.name).toMatch(/\.zip$/);
    const came = merged(twoFieldFarm(), [file]);
    expect([came.gathered.items.length, came.gathered.aside]).toEqual([1, '']);
    expect(came.reviews[0]!.problems).toEqual([]);
    const find = findsOf(came.farm, 2026)[0]!;
    const kept = came.farm.files.find((one) => one.id === find.photo)!;
    expect([kept.kind, kept.sha256, kept.name]).toEqual(['photo', photo.sha256, `${pictured.id}.jpg`]);
    expect(came.attachments.map((one) => one.sha256)).toContain(photo.sha256);
    expect(merged(came.farm, [file]).edit).toBeNull();
  });

  test('a picture that stayed behind, or is not on the phone any more, is told', () => {
    const notes = new TextEncoder().encode(
      JSON.stringify({
        format: 'seedfall field notes',
        version: 1,
        farm: { id: 'two', name: 'Two fields' },
        finds: [
          { ...pictured, effortM2: undefined, effort: { areaM2: 1 }, photo: { name: 'a.jpg', sha256: photo.sha256 } },
        ],
      }),
    );
    const came = merged(twoFieldFarm(), [{ name: 'notes.json', bytes: notes }]);
    expect(codes(came.items[0]!)).toEqual(['photo-missing']);
    expect(findsOf(came.farm, 2026)[0]!.photo).toBeUndefined();
    const made = fieldNotesFile(phoneWith([pictured]), [pictured], () => null);
    expect([made.ok, codes(made)]).toEqual([true, ['photo-missing']]);
  });

  test('a picture that comes after its find is known already is added to it, by the same notes or by others; again, nothing changes', () => {
    const { name, bytes } = sent(phoneWith([...plain, pictured]));
    const entries = openArchive(bytes);
    if (!entries.ok) throw new Error('no zip');
    const json = entries.value.find((one) => one.name.endsWith('.json'))!.read();
    if (!json.ok) throw new Error('no notes');
    // The text alone came first, as it lies in the zip, or spelled otherwise.
    const respelled = new TextEncoder().encode(JSON.stringify(JSON.parse(new TextDecoder().decode(json.value))));
    for (const first of [json.value, respelled]) {
      const without = merged(twoFieldFarm(), [{ name: 'notes.json', bytes: first }]).farm;
      expect(findsOf(without, 2026)[0]!.photo).toBeUndefined();
      const came = merged(without, [{ name, bytes }]);
      expect(came.items[0]!.summary).toBe('1 picture of finds that were here');
      const find = findsOf(came.farm, 2026)[0]!;
      expect(came.farm.files.find((one) => one.id === find.photo)).toMatchObject({
        kind: 'photo',
        sha256: photo.sha256,
      });
      expect(findsOf(came.farm, 2026).map(({ photo: _photo, ...same }) => same)).toEqual(findsOf(without, 2026));
      expect(readFarmText(writeFarmText(came.farm))).toMatchObject({ ok: true, value: came.farm });
      expect(applyEdit(came.farm, applyEdit(without, came.edit!).reverse).farm).toEqual(without);
      expect(merged(came.farm, [{ name, bytes }]).edit).toBeNull();
    }
  });

  test('a picture that was changed on the way is not added later either', () => {
    const { name, bytes } = sent(phoneWith([pictured]));
    const came = merged(twoFieldFarm(), [{ name, bytes }]).farm;
    const without = {
      ...came,
      files: came.files.filter((one) => one.kind !== 'photo').map(({ parts: _parts, ...one }) => one),
      rounds: came.rounds.map((round) => ({ ...round, typed: round.typed.map(({ photo: _photo, ...one }) => one) })),
    };
    const altered = sent(phoneWith([pictured]), () => Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 9));
    const again = merged(without, [altered]);
    expect([again.edit, codes(again.items[0]!)]).toEqual([null, ['photo-missing', 'finds-known']]);
  });

  test('notes of another farm are asked about; far from every field they are refused', () => {
    const elsewhere = { ...phoneWith(plain), id: 'other', name: 'Other' };
    expect(codes(merged(twoFieldFarm(), [sent(elsewhere)]).items[0]!)).toEqual(['notes-of-another-farm']);
    const away = sent(phoneWith([{ ...plain[0]!, at: [10, 50] }]));
    expect(codes(merged(twoFieldFarm(), [away]).items[0]!)).toEqual(['outside-all-fields']);
  });

  test('a find that its phone put 200 m off is kept, and told with the field that it may belong to', () => {
    const off = findIn('West', 60, 320, 4, { accuracyM: 250 });
    const came = merged(twoFieldFarm(), [sent(phoneWith([...plain, off]))]);
    const told = came.items[0]!.problems.find((one) => one.code === 'find-outside')!;
    expect(told.text).toMatch(/lies 656 ft outside West/);
    expect(told.text).toContain('It may have been in West: its position is good to 820 ft.');
    expect(findsOf(came.farm, 2026)).toHaveLength(3);
  });
});

test('the command line takes the same file, and keeps the picture', () => {
  const host = new MemoryHost({ 'farm/farm.json': JSON.stringify(twoFieldFarm()) });
  const file = sent(phoneWith([...plain, pictured]));
  host.put(file.name, file.bytes);
  const added = host.run('add', 'farm', file.name);
  expect(added.out).toContain('Added 3 finds of field notes on 2 fields');
  expect([...host.files.keys()]).toContain(`farm/attachments/${photo.sha256}`);
  expect(host.run('add', 'farm', file.name)).toMatchObject({ code: 2 });
  expect(host.run('check', file.name).out).toContain('Field notes of Two fields: 3 finds');
});
