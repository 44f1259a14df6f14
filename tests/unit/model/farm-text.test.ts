import { describe, expect, test } from 'vitest';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { readFarmText, writeFarmText } from '../../../shared/model/farm-text.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import { boundaries } from '../../support/small-farm.ts';

const empty = emptyFarm('farm', 'Farm');
const square = (JSON.parse(boundaries(['West'])) as { features: { geometry: { coordinates: [number, number][][] } }[] })
  .features[0]!.geometry.coordinates;
const farm: Farm = {
  ...empty,
  fields: [{ id: 'west', name: 'West', ours: true, frameOrigin: [-93.5, 42], boundary: [square], exclusions: [] }],
  rounds: [
    { id: 'r', season: 2026, from: '2026-08-01', to: '2026-08-02', files: [], typed: [], patches: [], ratings: [] },
  ],
};
const told = (text: string): readonly Problem[] => {
  const read = readFarmText(text);
  if (read.ok) throw new Error('it was read');
  return read.problems;
};
const with_ = (change: (one: Record<string, never>) => void): string => {
  const copy = structuredClone(farm) as unknown as Record<string, never>;
  change(copy);
  return JSON.stringify(copy);
};

describe('what is refused', () => {
  test('broken JSON, with the line', () => {
    const [one] = told('{\n "schema": 1,\n "id" "farm"\n}');
    expect(one).toMatchObject({ code: 'farm-not-json', where: { file: 'farm.json', row: 3 } });
    expect(one!.text).toContain('in line 3');
  });
  test.each(['', 'null', '[]', '17', '"farm"'])('a document that is %j', (text) => {
    expect(told(text)[0]!.level).toBe('error');
  });
  test('a newer schema, which is not tried', () => {
    expect(told(with_((one) => Object.assign(one, { schema: 2 })))).toMatchObject([{ code: 'farm-newer' }]);
  });
  test('a wrong type, with its path', () => {
    const problems = told(with_((one) => Object.assign(one['fields']![0]!, { name: 7 })));
    expect(problems).toMatchObject([{ code: 'farm-invalid', where: { id: 'fields/0/name' } }]);
    expect(problems[0]!.text).toContain('fields/0/name');
  });
  test('a member that is not known, which would be lost on saving', () => {
    const problems = told(with_((one) => Object.assign(one['fields']![0]!, { leaseEnd: 2030 })));
    expect(problems).toMatchObject([{ code: 'farm-member-unknown', where: { id: 'fields/0/leaseEnd' } }]);
  });
  test('five thousand wrong members are told in twenty-one lines', () => {
    const text = with_((one) => Object.assign(one, { fields: Array.from({ length: 5000 }, () => 7) }));
    expect(told(text).length).toBe(21);
  });

  const visit = { id: 'v', field: 'west', machine: 'combine' };
  const season = { year: 2026, weather: [], prices: {}, crops: [], visits: [], sprayed: [], sightings: [] };
  const rate = { pass: 'p', product: 'none', perArea: 1, unit: 'L/ha', rateMeans: 'product' };
  const choice = { season: 2026, target: { field: 'west' }, program: 'as-now', rates: [] };
  const round = farm.rounds[0]!;
  test.each<[string, Partial<Record<keyof Farm, unknown>>, string]>([
    ['a round', { rounds: [{ ...round, files: ['f-1'] }] }, 'names the file f-1'],
    [
      'a rating',
      { rounds: [{ ...round, ratings: [{ field: 'nord', species: 'waterhemp', rating: 'few' }] }] },
      'the field nord',
    ],
    ['a visit’s field', { seasons: [{ ...season, visits: [{ ...visit, field: 'nord' }] }] }, 'the field nord'],
    ['a visit’s machine', { seasons: [{ ...season, visits: [visit] }] }, 'the machine combine'],
    ['weather', { seasons: [{ ...season, weather: ['f-1'] }] }, 'the file f-1'],
    ['a field’s file', { fields: [{ ...farm.fields[0], from: { file: 'f-1', feature: 1 } }] }, 'the file f-1'],
    ['a choice’s program', { plan: [{ ...choice, program: 'best' }] }, 'the program best'],
    ['a choice’s field', { plan: [{ ...choice, target: { field: 'nord' } }] }, 'the field nord'],
    ['a choice’s zone', { plan: [{ ...choice, target: { zone: 'nord-A' } }] }, 'the zone nord-A'],
    ['a choice’s product', { plan: [{ ...choice, rates: [rate] }] }, 'the product none'],
    ['what must be treated', { planning: { ...empty.planning, mustTreat: ['nord'] } }, 'the field nord'],
    ['two rounds of one id', { rounds: [round, round] }, 'two rounds have the id r'],
    ['no program as-now', { programs: [] }, 'as-now is missing'],
  ])('%s that leads nowhere', (_what, change, said) => {
    expect(
      told(JSON.stringify({ ...farm, ...change }))
        .map((one) => one.text)
        .join(' '),
    ).toContain(said);
  });
});

test('a farm comes back equal, and equal farms are equal bytes', () => {
  const read = readFarmText(writeFarmText(farm));
  expect(read).toEqual({ ok: true, value: farm, problems: [] });
  expect(read.ok && writeFarmText(read.value)).toBe(writeFarmText(farm));
});

test('a zone that a study proposed may stand in the plan', () => {
  const plan = [{ season: 2026, target: { zone: 'west-A' }, program: 'as-now', rates: [] }];
  expect(readFarmText(JSON.stringify({ ...farm, plan })).ok).toBe(true);
});
