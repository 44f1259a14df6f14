import { expect, test } from 'vitest';
import { cropsImporter, toleratesOf } from '../../../shared/import/crops.ts';
import { closeTo } from '../../support/close-to.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';

const HEAD = 'Field,Year,Crop,Planted,Emerged,Mature,Harvested,Row spacing (in),Expected yield (bu/ac),Tolerates';
const LINE = 'Home,2026,corn,2026-05-02,2026-05-12,2026-09-10,2026-10-03,30,190,S-metolachlor; atrazine|glyphosate';

test('a plan without fields, crops or any year is refused and says which', () => {
  expect(told(readText(cropsImporter, 'crop,year\ncorn,2026\n'), 'columns-lacking').text).toContain(
    'no column gives the field',
  );
  expect(told(readText(cropsImporter, 'field,year\nHome,2026\n'), 'columns-lacking').text).toContain(
    'no column gives the crop',
  );
  expect(told(readText(cropsImporter, 'field,crop\nHome,corn\n'), 'columns-lacking').text).toContain(
    'planting date or the year',
  );
});

test('the usual plan', () => {
  const outcome = readText(cropsImporter, `${HEAD}\n${LINE}\n`);
  expect(outcome.problems).toEqual([]);
  const [crop] = recordsOf(outcome, 'crops').crops;
  expect(crop).toMatchObject({
    fieldName: 'Home',
    year: 2026,
    crop: 'corn',
    plantedOn: '2026-05-02',
    emergedOn: '2026-05-12',
    matureOn: '2026-09-10',
    harvestedOn: '2026-10-03',
    row: 2,
    tolerates: ['S-metolachlor', 'atrazine', 'glyphosate'],
  });
  closeTo(crop!.rowSpacingM!, 0.762, { within: 1e-12, because: 'exact factor' });
  closeTo(crop!.expectedYieldKgHa!, (190 * 56 * 0.45359237) / 0.40468564224, {
    within: 1e-8,
    because: 'exact factors in doubles',
  });
});

test('a bushel weighs what the crop of the row weighs, and of an unknown crop nothing', () => {
  const outcome = readText(
    cropsImporter,
    'field,year,crop,yield_bu_ac\nA,2026,corn,100\nB,2026,soybeans,100\nC,2026,sorghum,100\n',
  );
  const [corn, soybean, sorghum] = recordsOf(outcome, 'crops').crops;
  closeTo(soybean!.expectedYieldKgHa! / corn!.expectedYieldKgHa!, 60 / 56, {
    within: 1e-12,
    because: 'ratio of the bushels',
  });
  expect(soybean!.crop).toBe('soybean');
  expect(sorghum!.expectedYieldKgHa).toBeNull();
  expect(codes(outcome)).toEqual(expect.arrayContaining(['crop-unknown', 'bushel-unknown']));
});

test.each([
  ['', null],
  ['NA', null],
  ['none', []],
  ['glyphosate', ['glyphosate']],
  ['a; b |c;', ['a', 'b', 'c']],
] as const)('tolerates "%s" is %o: blank is not stated, "none" is', (text, expected) => {
  expect(toleratesOf(text)).toEqual(expected);
});

test('the year comes from the planting date where no column gives it', () => {
  expect(
    recordsOf(readText(cropsImporter, 'field,crop,planted\nHome,wheat,5/2/2026\n'), 'crops').crops[0],
  ).toMatchObject({ year: 2026, plantedOn: '2026-05-02' });
  expect(
    recordsOf(readText(cropsImporter, 'field,crop,planted,harvested\nHome,wheat,2025-10-01,2026-07-20\n'), 'crops')
      .crops[0]!.year,
  ).toBe(2026);
});

test('blank fields, dates in the wrong order and wrong years are told with their rows', () => {
  const outcome = readText(
    cropsImporter,
    `${HEAD}\n${LINE}\n,2026,corn,,,,,,,\nElbow,2026,corn,2026-05-20,2026-05-12,,,30,,\nCreek,2025,corn,2025-05-01,,,,30,,\n`,
    { season: 2026 },
  );
  expect(told(outcome, 'field-missing')).toMatchObject({ where: { row: 3 } });
  expect(told(outcome, 'dates-out-of-order')).toMatchObject({ where: { row: 4 } });
  expect(told(outcome, 'date-out-of-season')).toMatchObject({ where: { row: 5 } });
  expect(recordsOf(outcome, 'crops').crops).toHaveLength(3);
});

test('recognizing', () => {
  expect(certainty(cropsImporter, `${HEAD}\n${LINE}\n`)).toBeGreaterThan(0.9);
  expect(certainty(cropsImporter, 'field,date,ingredient,share\nHome,2026-05-01,atrazine,1\n')).toBeLessThan(0.5);
});
