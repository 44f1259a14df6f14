import { describe, expect, test } from 'vitest';
import { digestOf } from '../../../shared/analysis/digest.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { takeIn, type IncomingFile } from '../../../shared/analysis/take-in.ts';
import { takeInAll } from '../../../shared/analysis/take-in-all.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadFile, ReadingWishes } from '../../../shared/import/importer.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { sourceOf } from '../../support/bundle.ts';
import { bundleOf, drive } from '../../support/import-text.ts';
import { boundaries, harvestLog, patches, ratings, weather, wholeFarm } from '../../support/small-farm.ts';

function incoming(name: string, text: string, wishes: ReadingWishes = {}): IncomingFile {
  const bytes = new TextEncoder().encode(text);
  const read = drive(readBundle(bundleOf(name, bytes), wishes));
  if (!read.ok) throw new Error(read.problems[0]!.text);
  return { name, sha256: digestOf(bytes), bytes: bytes.length, parts: [], read: read.value, wishes };
}
const start = emptyFarm('farm', 'Farm');
const all = { ...wholeFarm(), 'ratings.csv': ratings, 'patches-2026.geojson': patches };
const files = Object.entries(all).map(([name, text]) => incoming(name, text));
const fileOf = (name: string) => files.find((one) => one.name === name)!;
const nothingLost = () => false;

describe('several files at once', () => {
  test('are one edit whose reverse gives back the farm that was, bit by bit', () => {
    const { edit, farm } = takeInAll(start, files, nothingLost);
    const applied = applyEdit(start, edit!);
    expect(applied.farm).toEqual(farm);
    expect(applyEdit(applied.farm, applied.reverse).farm).toStrictEqual(start);
    expect(edit!.sets.map((one) => one.path.join('/')).sort()).toEqual(
      [...new Set(edit!.sets.map((one) => one.path.join('/')))].sort(),
    );
  });
  test('give the same farm in whatever order they come, up to the order of lists', () => {
    const one = takeInAll(start, files, nothingLost).farm;
    const other = takeInAll(start, [...files].reverse(), nothingLost).farm;
    const sorted = (farm: Farm) => ({
      fields: farm.fields,
      files: [...farm.files].sort((a, b) => (a.id < b.id ? -1 : 1)),
      visits: farm.seasons.flatMap((season) => season.visits.map(({ id, file }) => [id, file])).sort(),
      rounds: farm.rounds.map((round) => [round.season, round.from, round.to, [...round.files].sort()]),
    });
    expect(sorted(other)).toEqual(sorted(one));
  });
  test('are what taking them in one by one gives, boundaries first', () => {
    let farm = start;
    const first = files.filter((one) => one.name === 'boundaries.geojson');
    const order = [
      ...first,
      ...takeInAll(start, files, nothingLost)
        .files.map((one) => one.file)
        .slice(1),
    ];
    for (const file of order) {
      const taken = takeIn(farm, file);
      if (!taken.ok) throw new Error(taken.problems[0]!.text);
      farm = applyEdit(farm, taken.value.edit).farm;
    }
    expect(takeInAll(start, files, nothingLost).farm).toEqual(farm);
  });
  test('are named in the label, three of them and the count of the others', () => {
    expect(takeInAll(start, files, nothingLost).edit!.label).toMatch(
      /^Add 3 fields, 4 crops of 2025, 2026, daily weather of 2026 and \d more$/,
    );
    expect(takeInAll(start, [fileOf('boundaries.geojson'), fileOf('weather.csv')], nothingLost).edit!.label).toContain(
      ' and ',
    );
    expect(takeInAll(start, [incoming('b.geojson', boundaries())], nothingLost).edit!.label).toBe(
      'Add 3 fields from b.geojson',
    );
  });
});

test('a file that is refused leaves the others, and says why; nothing at all is no edit', () => {
  const log = incoming('west.csv', harvestLog('West'));
  const { edit, farm, files: told } = takeInAll(start, [log], nothingLost);
  expect([edit, farm]).toEqual([null, start]);
  expect(told[0]).toMatchObject({ summary: null, problems: [{ code: 'log-of-another-field' }] });
  const twice = takeInAll(start, [fileOf('boundaries.geojson'), log, log], nothingLost);
  expect(twice.files.map((one) => [one.summary, one.problems[0]?.code])).toEqual([
    ['3 fields', undefined],
    [expect.stringContaining('the harvest of West'), undefined],
    [null, 'file-known'],
  ]);
});

test('an attachment that the farm has lost is taken again, and the document stays', () => {
  const { farm } = takeInAll(start, files, nothingLost);
  const again = takeInAll(farm, [files[0]!], (sha256) => sha256 === files[0]!.sha256);
  expect(again.edit).toBeNull();
  expect(again.files[0]).toMatchObject({ summary: 'the attachment that was missing', restored: true });
});

describe('what a person said is read the same way again', () => {
  const readAgain = (name: string, text: string, wishes: ReadingWishes): ReadFile => {
    const file = incoming(name, text, wishes);
    const { farm } = takeInAll(takeInAll(start, [fileOf('boundaries.geojson')], nothingLost).farm, [file], nothingLost);
    const door = { open: () => sourceOf(name, text) };
    const outcome = drive(startRunner(farm, door, memoryStore()).outcome('records', { file: farm.files[1]!.id }));
    if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
    const read = outcome.value as ReadFile;
    expect(read.records).toEqual(file.read.records);
    return read;
  };
  test('a column that was left out stays out', () => {
    const read = readAgain('weather.csv', weather(2026), { columns: { rain: '-' } });
    expect(read.reading.columns['rain']).toBeUndefined();
  });
  test('one station of several stays that one', () => {
    const [header, ...rows] = weather(2026).trim().split('\n');
    const text = [`station,${header}`, ...rows.map((row, n) => `${n % 2 ? 'A1' : 'B2'},${row}`)].join('\n');
    expect(readAgain('weather.csv', text, { columns: { station: 'station=B2' } }).records).toMatchObject({
      station: 'B2',
    });
  });
  test('a unit and one value for all rows', () => {
    const read = readAgain('weather.csv', weather(2026), { columns: { rain: '=2 mm' }, units: { max: 'F' } });
    expect(read.reading.columns).toMatchObject({ max: { unit: 'F', by: 'person' }, rain: { column: '=2 mm' } });
  });
});
