import { expect, test } from 'vitest';
import { ratingOf, ratingsImporter } from '../../../shared/import/ratings.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';

test('a list without fields, ratings or species is refused and says which', () => {
  expect(told(readText(ratingsImporter, 'species,rating\nAMATU,few\n'), 'columns-lacking').text).toContain(
    'no column gives the field',
  );
  expect(told(readText(ratingsImporter, 'field,species\nHome,AMATU\n'), 'columns-lacking').text).toContain(
    'no column gives a rating',
  );
  expect(told(readText(ratingsImporter, 'field,rating\nHome,few\n'), 'columns-lacking').hint).toContain('=pigweed');
});

test.each([
  ['none seen', 'none seen'],
  ['0', 'none seen'],
  ['clean', 'none seen'],
  ['Few', 'few'],
  ['light', 'few'],
  ['patchy', 'patches'],
  ['patches', 'patches'],
  ['heavy', 'throughout'],
  ['everywhere', 'throughout'],
  ['throughout', 'throughout'],
  ['not looked', 'not looked'],
  ['', 'not looked'],
  ['rather bad', null],
] as const)('"%s" is %s', (text, rating) => {
  expect(ratingOf(text)).toBe(rating);
});

test('the usual list: blanks are "not looked", no date is null', () => {
  const outcome = readText(
    ratingsImporter,
    'field,species,rating,date\nCorner,waterhemp,patches,2026-09-03\nOld Lane,waterhemp,,\n',
  );
  expect(outcome.problems).toEqual([]);
  expect(recordsOf(outcome, 'ratings').ratings).toEqual([
    { fieldName: 'Corner', species: 'waterhemp', rating: 'patches', on: '2026-09-03', row: 2 },
    { fieldName: 'Old Lane', species: 'waterhemp', rating: 'not looked', on: null, row: 3 },
  ]);
});

test('a header that says pigweed needs no species column, nor do columns that name a species', () => {
  expect(recordsOf(readText(ratingsImporter, 'field,pigweed rating\nHome,few\n'), 'ratings').ratings[0]!.species).toBe(
    'pigweed',
  );
  const wide = recordsOf(
    readText(ratingsImporter, 'field,waterhemp,Palmer amaranth\nHome,few,clean\n'),
    'ratings',
  ).ratings;
  expect(wide.map((one) => [one.species, one.rating])).toEqual([
    ['waterhemp', 'few'],
    ['palmer-amaranth', 'none seen'],
  ]);
});

test('one species said for all', () => {
  expect(
    recordsOf(readText(ratingsImporter, 'field,rating\nHome,few\n', { columns: { species: '=AMATU' } }), 'ratings')
      .ratings[0]!.species,
  ).toBe('waterhemp');
});

test('unknown words, unknown species and missing fields are told with their rows', () => {
  const outcome = readText(
    ratingsImporter,
    'field,species,rating\nHome,waterhemp,so so\nElbow,dandelion,few\n,waterhemp,few\nCreek,waterhemp,few\n',
  );
  expect(told(outcome, 'rating-unknown')).toMatchObject({ level: 'error', where: { row: 2 } });
  expect(told(outcome, 'species-unknown')).toMatchObject({ where: { row: 3 } });
  expect(told(outcome, 'field-missing')).toMatchObject({ where: { row: 4 } });
  expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 4, unusedRows: 3 });
});

test('a date outside the season is told', () => {
  expect(
    codes(readText(ratingsImporter, 'field,species,rating,date\nHome,AMATU,few,2025-09-01\n', { season: 2026 })),
  ).toContain('date-out-of-season');
});

test('recognizing', () => {
  expect(certainty(ratingsImporter, 'field,species,rating,date\nHome,AMATU,few,2026-09-01\n')).toBeGreaterThan(0.7);
  expect(certainty(ratingsImporter, 'date,lon,lat,field,species,rating\n')).toBeLessThan(0.5);
});
