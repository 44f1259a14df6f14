import { describe, expect, test } from 'vitest';
import { markFind, mergeFinds, takeBackFind } from '../../../../shared/model/edits/finds.ts';
import type { Farm, FarmFile } from '../../../../shared/model/farm.ts';
import { documentFind, type Find, findsOf, newFindId, notedFind } from '../../../../shared/model/field-notes.ts';
import { readFarmText, writeFarmText } from '../../../../shared/model/farm-text.ts';
import { findIn } from '../../../support/finds.ts';
import { after, PALMER, twoFieldFarm, WATERHEMP, WEST } from '../../../support/two-field-farm.ts';

const photo: FarmFile = {
  id: 'f-picture',
  sha256: 'a'.repeat(64),
  name: 'picture.jpg',
  bytes: 3,
  kind: 'photo',
  reading: { importer: 'photo', columns: {} },
};
const first = findIn('West', 10, 10, 1);
const marked = (farm: Farm, find: Find) => after(farm, markFind(farm, find, WATERHEMP, WEST, null));

describe('marking', () => {
  test('a find joins the round of its day, and the next one the same round', () => {
    const one = marked(twoFieldFarm(), first);
    const two = marked(one, findIn('West', 20, 10, 2));
    expect(two.rounds.map((round) => [round.season, round.from, round.to, round.typed.length])).toEqual([
      [2026, '2026-08-29', '2026-08-29', 2],
    ]);
    expect(two.thresholdPerM2).toHaveProperty('waterhemp');
    expect(findsOf(two, 2026).map((find) => find.count)).toEqual([2, 1]);
    expect(findsOf(two, 2025)).toEqual([]);
  });

  test('outside every field it is said in the label of its undo', () => {
    const edit = markFind(twoFieldFarm(), first, PALMER, null, null);
    expect(edit.label).toBe('Mark Palmer amaranth outside every field');
  });

  test('the document that holds finds is read again as it was written, and refuses two of one id', () => {
    const farm = after(twoFieldFarm(), markFind(twoFieldFarm(), { ...first, photo: photo.id }, WATERHEMP, WEST, photo));
    expect(readFarmText(writeFarmText(farm))).toMatchObject({ ok: true, value: farm });
    const round = farm.rounds[0]!;
    const twice = { ...farm, rounds: [{ ...round, typed: [...round.typed, ...round.typed] }] };
    expect(readFarmText(writeFarmText(twice))).toMatchObject({ ok: false, problems: [{ code: 'farm-loose-end' }] });
    expect(readFarmText(writeFarmText({ ...farm, files: [] }))).toMatchObject({ ok: false });
  });

  test('taken back, its picture goes with it, unless another find has the same', () => {
    const farm = after(twoFieldFarm(), markFind(twoFieldFarm(), { ...first, photo: photo.id }, WATERHEMP, WEST, photo));
    const gone = after(farm, takeBackFind(farm, first.id, WATERHEMP));
    expect([gone.rounds[0]!.typed, gone.files]).toEqual([[], []]);
    const second = findIn('West', 20, 10, 2, { photo: photo.id });
    const both = marked(farm, second);
    expect(after(both, takeBackFind(both, first.id, WATERHEMP)).files).toEqual([photo]);
    expect(() => takeBackFind(gone, first.id, WATERHEMP)).toThrow('no find');
  });
});

describe('merging', () => {
  const finds = [first, findIn('West', 20, 10, 2), findIn('East', 5, 5, 3)];
  const merge = (farm: Farm, brought: readonly Find[]) => ({ ...farm, rounds: [...mergeFinds(farm, brought).rounds] });

  test('merged again, nothing changes, and nothing is counted twice', () => {
    const once = merge(twoFieldFarm(), finds);
    const again = mergeFinds(once, finds);
    expect(again.added).toEqual([]);
    expect(again.known).toEqual(finds);
    expect(again.rounds).toEqual(once.rounds);
  });

  test('those of two phones are the same in either order, but for the order in the round', () => {
    const other = [findIn('East', 50, 50, 11), findIn('East', 60, 50, 12)];
    const ids = (farm: Farm) => findsOf(farm, 2026).map((one) => one.id);
    const [ab, ba] = [merge(merge(twoFieldFarm(), finds), other), merge(merge(twoFieldFarm(), other), finds)];
    expect(ids(ab)).toEqual(ids(ba));
    expect(ids(ab)).toHaveLength(5);
  });

  test('a picture that the farm lacked is added to its find, one that it has stays', () => {
    const once = merge(twoFieldFarm(), finds);
    const merged = mergeFinds(once, [{ ...first, photo: photo.id }, finds[1]!]);
    expect([merged.pictured.map((one) => one.id), merged.known]).toEqual([[first.id], [finds[1]]]);
    const pictured = { ...once, rounds: [...merged.rounds] };
    expect(pictured.rounds.flatMap((one) => one.typed).find((one) => one.id === first.id)!.photo).toBe(photo.id);
    const other = mergeFinds(pictured, [{ ...first, photo: 'f-another' }]);
    expect([other.pictured, other.rounds]).toEqual([[], pictured.rounds]);
  });

  test('a find that says something else is told, and the farm keeps its own', () => {
    const once = merge(twoFieldFarm(), finds);
    const altered = { ...first, count: 40 };
    const merged = mergeFinds(once, [altered]);
    expect(merged.differing).toEqual([{ here: first, brought: altered }]);
    expect(merged.rounds).toEqual(once.rounds);
  });

  test('counts that were typed without an id stay untouched', () => {
    const farm = twoFieldFarm();
    const { id: _id, time: _time, ...typed } = first;
    const round = { id: 'r', season: 2026, from: '2026-08-28', to: '2026-08-28', files: [], patches: [], ratings: [] };
    const before = { ...farm, rounds: [{ ...round, typed: [typed] }] };
    expect(merge(before, finds).rounds).toEqual([{ ...round, to: '2026-08-29', typed: [typed, ...finds] }]);
  });
});

describe('as noted', () => {
  test('areas, rows, lower bounds and what was only seen go there and back', () => {
    const alongRow = { lengthM: 3.7, spacingM: 0.762 };
    for (const find of [
      first,
      { ...first, count: { atLeast: 20 }, heightMm: 120, note: 'by the gate' },
      { ...first, count: { present: true }, alongRow, effortM2: alongRow.lengthM * alongRow.spacingM },
    ])
      expect(documentFind(notedFind(find, undefined), undefined)).toEqual(find);
  });

  test('an id is made of the instant and a number that the host draws', () => {
    expect(newFindId('2026-08-29T14:30:00Z', 0)).toBe('20260829T143000Z-00000000');
    expect(newFindId('2026-08-29T14:30:00Z', 1 - 2 ** -53)).toBe('20260829T143000Z-ffffffff');
    expect(() => newFindId('2026-08-29T14:30:00Z', 1)).toThrow('[0, 1)');
  });
});
