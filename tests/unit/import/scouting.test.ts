import { describe, expect, test } from 'vitest';
import { scoutingImporter } from '../../../shared/import/scouting.ts';
import { countOf } from '../../../shared/import/count-text.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { closeTo } from '../../support/close-to.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';

const HEAD = 'date,field,longitude,latitude,species,count,quadrat_m2,height_cm';
const row = (
  count: string,
  more: Partial<{ species: string; date: string; lon: string; area: string; height: string }> = {},
) =>
  `${more.date ?? '2026-08-26'},Home,${more.lon ?? '-93.97'},43.92,${more.species ?? 'waterhemp'},${count},${more.area ?? '0.5'},${more.height ?? ''}`;
const read = (lines: string[], wishes: ReadingWishes = {}, head = HEAD) =>
  readText(scoutingImporter, `${[head, ...lines].join('\n')}\n`, wishes, 'round.csv');
const observations = (lines: string[], wishes: ReadingWishes = {}, head = HEAD) =>
  recordsOf(read(lines, wishes, head), 'scouting').observations;

describe('what is refused', () => {
  test('a round without positions, dates, counts, species or ground says which', () => {
    const lacking = (head: string, line: string) => told(read([line], {}, head), 'columns-lacking');
    expect(lacking('date,species,count,quadrat_m2', '2026-08-26,waterhemp,3,1').text).toContain(
      'no column gives the position',
    );
    expect(lacking('lon,lat,species,count,quadrat_m2', '-93.9,43.9,waterhemp,3,1').text).toContain(
      'no column gives the date',
    );
    expect(lacking('date,lon,lat,species,quadrat_m2', '2026-08-26,-93.9,43.9,waterhemp,1').text).toContain(
      'no column gives a count',
    );
    expect(lacking('date,lon,lat,count,quadrat_m2', '2026-08-26,-93.9,43.9,3,1').hint).toContain(
      'species = "=waterhemp"',
    );
    expect(lacking('date,lon,lat,species,count', '2026-08-26,-93.9,43.9,waterhemp,3').hint).toContain(
      'area = "=0.25 m2"',
    );
  });
  test('a round where no row can be used gives no records', () => {
    expect(codes(read([row('-1')]))).toContain('no-records');
  });
});

test('the usual round keeps counts, zeros, effort and height exactly as written', () => {
  const outcome = read([row('3', { height: '90' }), row('0'), row('12', { species: 'Palmer amaranth', area: '1' })]);
  const records = recordsOf(outcome, 'scouting');
  expect(outcome.problems).toEqual([]);
  expect(records.observations).toEqual([
    { at: [-93.97, 43.92], on: '2026-08-26', species: 'waterhemp', effortM2: 0.5, count: 3, heightMm: 900, row: 2 },
    { at: [-93.97, 43.92], on: '2026-08-26', species: 'waterhemp', effortM2: 0.5, count: 0, row: 3 },
    { at: [-93.97, 43.92], on: '2026-08-26', species: 'palmer-amaranth', effortM2: 1, count: 12, row: 4 },
  ]);
  expect(records.bounds).toEqual([-93.97, 43.92, -93.97, 43.92]);
});

describe('counts', () => {
  test.each([
    ['more than 20', { atLeast: 20 }],
    ['>20', { atLeast: 20 }],
    ['> 20', { atLeast: 20 }],
    ['20+', { atLeast: 20 }],
    ['20 or more', { atLeast: 20 }],
    ['≥20', { atLeast: 20 }],
    ['present', { present: true }],
    ['x', { present: true }],
    ['none', { present: false }],
    ['absent', { present: false }],
    ['7', 7],
    ['NA', null],
    ['', null],
    ['lots', 'unreadable'],
  ])('"%s" is read as %o', (text, expected) => {
    expect(countOf(text, 46)).toEqual(expected);
  });
  test('a negative count is refused with its row, the others stay', () => {
    const outcome = read([row('3'), row('-4'), row('>-2')]);
    expect(told(outcome, 'count-negative')).toMatchObject({ level: 'error', where: { row: 3, column: 'count' } });
    expect(codes(outcome)).toContain('not-a-count');
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 3, unusedRows: 2 });
  });
  test('a fractional count is told and kept', () => {
    const outcome = read([row('2.5')]);
    expect(told(outcome, 'count-fractional').where).toMatchObject({ row: 2 });
    expect(recordsOf(outcome, 'scouting').observations[0]!.count).toBe(2.5);
  });
  test('text for a count is an error of its row', () => {
    expect(told(read([row('3'), row('many')]), 'not-a-count').text).toContain('"many"');
  });
  test('a blank count is no zero', () => {
    expect(told(read([row('3'), row('')]), 'count-missing').hint).toContain('Write 0');
  });
  test('presence alone, with 1 and 0 or words', () => {
    const head = 'date,lon,lat,species,present,quadrat_m2';
    const seen = observations(
      [
        '2026-08-26,-93.9,43.9,waterhemp,1,1',
        '2026-08-26,-93.9,43.9,waterhemp,no,1',
        '2026-08-26,-93.9,43.9,waterhemp,yes,1',
      ],
      {},
      head,
    );
    expect(seen.map((one) => one.count)).toEqual([{ present: true }, { present: false }, { present: true }]);
  });
});

describe('ground looked at', () => {
  const ground = (head: string, cells: string, wishes: ReadingWishes = {}) =>
    observations([`2026-08-26,-93.9,43.9,waterhemp,3,${cells}`], wishes, `date,lon,lat,species,count,${head}`)[0]!
      .effortM2;
  const exact = { within: 1e-12, because: 'exact factors in doubles' };
  test('quadrats in any unit', () => {
    closeTo(ground('Quadrat (ft2)', '10'), 0.9290304, exact);
    closeTo(ground('quadrat_cm2', '2500'), 0.25, exact);
    closeTo(ground('area walked (ac)', '2'), 2 * 4046.8564224, { within: 1e-9, because: 'exact factors in doubles' });
  });
  test('several throws add their ground', () => {
    closeTo(ground('throws,quadrat_m2', '4,0.25'), 1, exact);
  });
  test('a length of row times the spacing, from a column or from a person', () => {
    closeTo(ground('row_length_m,row_spacing_m', '3,0.762'), 2.286, exact);
    closeTo(ground('row_ft,Row spacing (in)', '10,30'), 3.048 * 0.762, exact);
    closeTo(ground('row_length_m', '3', { rowSpacingM: 0.38 }), 1.14, exact);
  });
  test('a length of row without the spacing is asked for, never assumed', () => {
    const outcome = read(['2026-08-26,-93.9,43.9,waterhemp,3,3'], {}, 'date,lon,lat,species,count,row_length_m');
    expect(told(outcome, 'row-spacing-missing')).toMatchObject({ level: 'error', where: { row: 2 } });
    expect(outcome.ok).toBe(false);
  });
  test('one size said for all rows', () => {
    const [one] = observations(
      ['2026-08-26,-93.9,43.9,waterhemp,3'],
      { columns: { area: '=0.25 m2' } },
      'date,lon,lat,species,count',
    );
    expect(one!.effortM2).toBe(0.25);
  });
  test('no ground, negative ground and 200 ha a stop are errors of their rows', () => {
    const outcome = read([row('1'), row('1', { area: '' }), row('1', { area: '-1' }), row('1', { area: '2000000' })]);
    expect(outcome.problems.filter((one) => one.code === 'ground-missing')).toHaveLength(2);
    expect(codes(outcome)).toContain('ground-range');
  });
  test('a unit that nothing tells is assumed aloud', () => {
    expect(codes(read(['2026-08-26,-93.9,43.9,waterhemp,3,0.25'], {}, 'date,lon,lat,species,count,quadrat'))).toContain(
      'unit-assumed',
    );
  });
});

describe('species', () => {
  test('EPPO codes, common and Latin names are understood, unknown ones are told', () => {
    const names = [
      'AMATU',
      'amata',
      'Tall waterhemp',
      'Amaranthus tuberculatus',
      'A. palmeri',
      'pigweed',
      'Marestail',
      'dandelion',
    ];
    const outcome = read(names.map((species) => row('1', { species })));
    expect(recordsOf(outcome, 'scouting').observations.map((one) => one.species)).toEqual([
      'waterhemp',
      'waterhemp',
      'waterhemp',
      'waterhemp',
      'palmer-amaranth',
      'pigweed',
      'horseweed',
    ]);
    expect(told(outcome, 'species-unknown')).toMatchObject({ where: { row: 9 } });
  });
  test('one column a species: blank is not counted, 0 is', () => {
    const outcome = read(
      ['2026-08-26,-93.9,43.9,1,3,,0', '2026-08-26,-93.9,43.9,1,NA,20+,1'],
      {},
      'date,lon,lat,quadrat_m2,AMATU,Palmer amaranth count,CHEAL',
    );
    expect(recordsOf(outcome, 'scouting').observations.map((one) => [one.species, one.count, one.row])).toEqual([
      ['waterhemp', 3, 2],
      ['common-lambsquarters', 0, 2],
      ['palmer-amaranth', { atLeast: 20 }, 3],
      ['common-lambsquarters', 1, 3],
    ]);
    expect(codes(outcome)).toContain('species-by-column');
  });
  test('codes of species unknown here are left out aloud', () => {
    expect(
      told(read(['2026-08-26,-93.9,43.9,1,3,1'], {}, 'date,lon,lat,quadrat_m2,AMATU,SECCE'), 'species-columns-unknown')
        .text,
    ).toContain('"SECCE"');
  });
});

describe('dates', () => {
  test('a date outside the season is told and kept', () => {
    const outcome = read([row('1'), row('2', { date: '2025-08-26' })], { season: 2026 });
    expect(told(outcome, 'date-out-of-season')).toMatchObject({
      text: 'Row 3: 2025-08-26 is not in the season 2026.',
      where: { row: 3, column: 'date' },
    });
    expect(recordsOf(outcome, 'scouting').observations).toHaveLength(2);
  });
  test('a round wholly outside the season is told once more', () => {
    expect(codes(read([row('1', { date: '2024-08-26' })], { season: 2026 }))).toContain('season-wrong');
  });
  test('no date and no day of the calendar: the row is not used', () => {
    const outcome = read([row('1'), row('1', { date: '' }), row('1', { date: '2026-02-30' })]);
    expect(outcome.problems.filter((one) => one.code === 'date-missing')).toHaveLength(2);
    expect(told(outcome, 'not-a-date').text).toContain('2026-02-30');
  });
  test('day-first dates are told by a day over 12', () => {
    expect(observations([row('1', { date: '26/08/2026' }), row('1', { date: '5/8/26' })]).map((one) => one.on)).toEqual(
      ['2026-08-26', '2026-08-05'],
    );
  });
});

test('a point without a position is told and not used; two counts at one place both stay', () => {
  const outcome = read([row('1', { lon: '' }), row('1', { lon: '0' }).replace('43.92', '0'), row('2'), row('3')]);
  expect(outcome.problems.filter((one) => one.code === 'position-missing')).toHaveLength(2);
  expect(recordsOf(outcome, 'scouting').observations.map((one) => one.count)).toEqual([2, 3]);
});

test('semicolons, decimal commas and Windows line ends', () => {
  const text = 'Datum;Lon;Lat;Species;Plants;Quadrat (m2)\r\n2026-08-26;-93,97;43,92;AMATU;3;0,25\r\n'.replace(
    'Datum',
    'Date',
  );
  expect(recordsOf(readText(scoutingImporter, text), 'scouting').observations[0]).toMatchObject({
    at: [-93.97, 43.92],
    effortM2: 0.25,
  });
});

test('recognizing: long, wide and lost positions; not a rating list', () => {
  expect(certainty(scoutingImporter, `${HEAD}\n${row('1')}\n`)).toBeGreaterThan(0.8);
  expect(certainty(scoutingImporter, 'date,lon,lat,AMATU,quadrat_m2\n2026-08-26,-93.9,43.9,1,1\n')).toBeGreaterThan(
    0.6,
  );
  expect(certainty(scoutingImporter, 'date,species,count\n2026-08-26,AMATU,1\n')).toBe(0.5);
  expect(certainty(scoutingImporter, 'field,species,rating\nHome,AMATU,few\n')).toBeLessThan(0.5);
});
