import { describe, expect, test } from 'vitest';
import { digestOf } from '../../../shared/analysis/digest.ts';
import { takeIn, type TakenIn } from '../../../shared/analysis/take-in.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { readFarmText, writeFarmText } from '../../../shared/model/farm-text.ts';
import type { Outcome } from '../../../shared/model/problem.ts';
import { bundleOf, codes, drive, told } from '../../support/import-text.ts';
import {
  boundaries,
  counts,
  crops,
  harvestLog,
  patches,
  ratings,
  scouting,
  southOnly,
  sprayings,
  weather,
  wholeFarm,
} from '../../support/small-farm.ts';

function take(farm: Farm, name: string, text: string, wishes: ReadingWishes = {}): Outcome<TakenIn> {
  const bytes = new TextEncoder().encode(text);
  const read = drive(readBundle(bundleOf(name, bytes), wishes));
  if (!read.ok) throw new Error(read.problems[0]!.text);
  return takeIn(farm, { name, sha256: digestOf(bytes), bytes: bytes.length, parts: [], read: read.value, wishes });
}
function taken(farm: Farm, name: string, text: string, wishes: ReadingWishes = {}): Farm {
  const outcome = take(farm, name, text, wishes);
  if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
  return applyEdit(farm, outcome.value.edit).farm;
}
const fields = taken(emptyFarm('farm', 'Farm'), 'boundaries.geojson', boundaries());

describe('what is refused', () => {
  test('a log before its field', () => {
    const outcome = take(emptyFarm('farm', 'Farm'), 'log.csv', harvestLog('West'));
    expect(outcome.ok).toBe(false);
    expect(told(outcome, 'log-of-another-field').hint).toBe('Add the boundaries first.');
  });
  test('a log of ground far away, in the units of the farm', () => {
    // One degree north of the fields: 69.0 mi, 111.1 km (a degree of a meridian at 42°, WGS 84).
    const far = harvestLog('West').replace(/\b42(?=\.\d{4})/g, '43');
    const text = (farm: Farm) => told(take(farm, 'log.csv', far), 'log-of-another-field').text;
    expect(text({ ...fields, display: 'us' })).toMatch(/, 69 mi from the log's middle/);
    expect(text({ ...fields, display: 'metric' })).toMatch(/, 111 km from the log's middle/);
  });
  test('tables by field name before the fields', () => {
    for (const [name, text] of [
      ['crops.csv', crops],
      ['ratings.csv', ratings],
      ['sprayings.csv', sprayings],
    ] as const)
      expect(codes(take(emptyFarm('farm', 'Farm'), name, text))).toEqual(['no-fields-yet']);
  });
  test('patches without a date in a file without a year', () => {
    expect(told(take(fields, 'patches.geojson', patches), 'season-missing').hint).toContain('--season');
  });
});

describe('a round', () => {
  test('may come before the boundaries, and says that it waits for them', () => {
    const outcome = take(emptyFarm('farm', 'Farm'), 'rounds.csv', scouting(counts('West', [2, 2])));
    expect(outcome.ok).toBe(true);
    expect(told(outcome, 'no-fields-yet').level).toBe('note');
  });
  test('within three weeks is one round; later it is another; each keeps its days', () => {
    const on = (day: string) => scouting(counts('West', [2, 2], southOnly, day));
    let farm = taken(fields, 'first.csv', on('2026-06-10'));
    farm = taken(farm, 'second.csv', on('2026-06-30'));
    farm = taken(farm, 'late.csv', on('2026-08-28'));
    expect(farm.rounds.map(({ id, from, to, files }) => [id, from, to, files.length])).toEqual([
      ['round-2026', '2026-06-10', '2026-06-30', 2],
      ['round-2026-2', '2026-08-28', '2026-08-28', 1],
    ]);
  });
  test('of patches takes its season from the wish, else from the name, and says which', () => {
    expect(taken(fields, 'patches.geojson', patches, { season: 2025 }).rounds[0]!.season).toBe(2025);
    const named = take(fields, 'patches-2026.geojson', patches);
    expect(told(named, 'season-from-name').text).toContain('2026');
  });
  test('gives each species that it names a threshold, and keeps one that a person set', () => {
    const own = { ...fields, thresholdPerM2: { waterhemp: 0.2 } };
    expect(taken(own, 'rounds.csv', scouting(counts('West', [2, 2]))).thresholdPerM2).toEqual({ waterhemp: 0.2 });
    expect(taken(fields, 'rounds.csv', scouting(counts('West', [2, 2]))).thresholdPerM2).toEqual({ waterhemp: 1 });
  });
});

describe('a harvest', () => {
  const planned = 'field,year,crop,planted,harvested\nWest,2026,soybean,2026-05-08,2026-10-05\n';
  test('known by its date in the crop plan is a visit, which the log then fills', () => {
    const dated = taken(fields, 'crops.csv', planned);
    expect(dated.seasons[0]!.visits).toEqual([
      { id: 'harvest-2026-west', field: 'west', machine: 'combine', startedOn: '2026-10-05' },
    ]);
    const [visit, ...more] = taken(dated, 'log.csv', harvestLog('West')).seasons[0]!.visits;
    expect(visit).toMatchObject({ id: 'harvest-2026-west', startedOn: '2026-10-03' });
    expect(visit!.file).toBeDefined();
    expect(more).toEqual([]);
  });
  test('is one visit whichever of plan and log comes first', () => {
    const logFirst = taken(taken(fields, 'log.csv', harvestLog('West')), 'crops.csv', planned);
    const planFirst = taken(taken(fields, 'crops.csv', planned), 'log.csv', harvestLog('West'));
    expect(logFirst.seasons).toEqual(planFirst.seasons);
    expect(logFirst.machines).toEqual(planFirst.machines);
  });
  test('of a second log on the same field is a second visit', () => {
    const farm = taken(taken(fields, 'a.csv', harvestLog('West')), 'b.csv', harvestLog('West', '2026-10-06'));
    expect(farm.seasons[0]!.visits.map((one) => one.id)).toEqual(['harvest-2026-west', 'harvest-2026-west-2']);
  });
});

describe('laws', () => {
  const files = Object.entries({
    ...wholeFarm(),
    'ratings.csv': ratings,
    'patches-2026.geojson': patches,
    'old.csv': weather(2025),
  });
  const inOrder = [...files].sort(
    ([a], [b]) => Number(b.startsWith('boundaries')) - Number(a.startsWith('boundaries')),
  );

  test('undoing each taking-in gives back the farm that was, and redoing it the farm that is', () => {
    let farm = emptyFarm('farm', 'Farm');
    for (const [name, text] of inOrder) {
      const outcome = take(farm, name, text);
      if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
      const before = structuredClone(farm);
      const { farm: after, reverse } = applyEdit(farm, outcome.value.edit);
      expect(farm).toStrictEqual(before);
      const { farm: back, reverse: again } = applyEdit(after, reverse);
      expect(back).toStrictEqual(before);
      expect(applyEdit(back, again).farm).toStrictEqual(after);
      expect(reverse.label).toBe(`Add ${outcome.value.summary} from ${name}`);
      farm = after;
    }
    expect(farm.files.length).toBe(files.length);
  });
  test('the document is whole after every step: read again, it is equal', () => {
    let farm = emptyFarm('farm', 'Farm');
    for (const [name, text] of inOrder) {
      farm = taken(farm, name, text);
      expect(readFarmText(writeFarmText(farm))).toEqual({ ok: true, value: farm, problems: [] });
    }
  });
});

test('ids are made of letters and digits of any script, without marks', () => {
  const named = (name: string) => boundaries(['West']).replace('"West"', JSON.stringify(name));
  const id = (name: string) => taken(emptyFarm('farm', 'Farm'), 'b.geojson', named(name)).fields[0]!.id;
  expect(id('Über dem Weg')).toBe('uber-dem-weg');
  expect(id('  №7 / Peña ')).toBe('no7-pena');
  expect(id('北田')).toBe('北田');
  expect(id('—')).toBe('field');
  expect(id('x'.repeat(90)).length).toBe(40);
});

describe('a harvest log', () => {
  const withCrop = (crop: string) =>
    harvestLog('West')
      .trim()
      .split('\n')
      .map((line, row) => `${line},${row === 0 ? 'crop' : crop}`)
      .join('\n');

  test('that names its crop states it where the season knows none, and says so', () => {
    const outcome = take(fields, 'log.csv', withCrop('corn'));
    expect(told(outcome, 'crop-from-log').text).toContain('corn');
    const farm = taken(fields, 'log.csv', withCrop('corn'));
    expect(farm.seasons[0]!.crops).toMatchObject([{ field: 'west', crop: 'corn', tolerates: 'not stated' }]);
  });
  test('that names another crop than the plan leaves the plan as it is, and warns', () => {
    const planned = taken(fields, 'crops.csv', crops);
    const before = planned.seasons.find((one) => one.year === 2026)!.crops;
    const other = before.find((one) => one.field === 'west')!.crop === 'corn' ? 'soybean' : 'corn';
    expect(told(take(planned, 'log.csv', withCrop(other)), 'crop-differs').level).toBe('warning');
    const after = taken(planned, 'log.csv', withCrop(other)).seasons.find((one) => one.year === 2026)!.crops;
    expect(after).toEqual(before);
  });
  test('that counts seconds without a date asks for its season, and then takes it', () => {
    const undated = harvestLog('West', '1970-01-01');
    expect(told(take(fields, 'log.csv', undated), 'season-missing').hint).toContain('--season');
    const farm = taken(fields, 'log.csv', undated, { season: 2026 });
    expect(farm.seasons.map((one) => one.year)).toEqual([2026]);
    expect(farm.seasons[0]!.visits[0]!.startedOn).toBeUndefined();
  });
});
