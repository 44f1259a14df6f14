import { expect, test } from 'vitest';
import { sprayingsImporter } from '../../../shared/import/sprayings.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';

const HEAD = 'field,date,ingredient,share_of_full_label_rate';

test('a record without the share of the rate is asked for it, never taken as full', () => {
  expect(
    told(readText(sprayingsImporter, 'field,date,ingredient\nHome,2026-05-01,atrazine\n'), 'columns-lacking').hint,
  ).toContain('rate = "=1"');
  expect(
    recordsOf(
      readText(sprayingsImporter, 'field,date,ingredient\nHome,2026-05-01,atrazine\n', { columns: { rate: '=1' } }),
      'sprayings',
    ).sprayings[0]!.rateFraction,
  ).toBe(1);
});
test('a rate in ounces an acre is not a share of the label rate', () => {
  expect(readText(sprayingsImporter, 'field,date,ingredient,rate_oz_ac\nHome,2026-05-01,atrazine,32\n').ok).toBe(false);
});

test('shares and percent', () => {
  const line = (rate: string) => `Home,2026-05-01,S-metolachlor,${rate}\n`;
  expect(recordsOf(readText(sprayingsImporter, `${HEAD}\n${line('0.67')}`), 'sprayings').sprayings).toEqual([
    { fieldName: 'Home', on: '2026-05-01', ingredient: 'S-metolachlor', rateFraction: 0.67, row: 2 },
  ]);
  expect(
    recordsOf(readText(sprayingsImporter, `field,date,ingredient,rate (%)\n${line('67')}`), 'sprayings').sprayings[0]!
      .rateFraction,
  ).toBeCloseTo(0.67, 12);
  expect(
    recordsOf(readText(sprayingsImporter, `${HEAD}\n${line('50')}${line('100')}`), 'sprayings').sprayings.map(
      (one) => one.rateFraction,
    ),
  ).toEqual([0.5, 1]);
});

test('negative rates are refused, rates over the label told, gaps told, each with its row', () => {
  const outcome = readText(
    sprayingsImporter,
    `${HEAD}\nA,2026-05-01,atrazine,-0.5\nB,2026-05-01,atrazine,1.2\nC,,atrazine,1\nD,2026-05-01,,1\nE,2026-05-01,atrazine,\n`,
  );
  expect(told(outcome, 'rate-negative')).toMatchObject({ level: 'error', where: { row: 2 } });
  expect(told(outcome, 'rate-over-full')).toMatchObject({ where: { row: 3 } });
  expect(codes(outcome)).toEqual(expect.arrayContaining(['date-missing', 'ingredient-missing', 'rate-missing']));
  expect(recordsOf(outcome, 'sprayings').sprayings).toHaveLength(1);
});

test('a date outside the season is told', () => {
  expect(codes(readText(sprayingsImporter, `${HEAD}\nA,2025-05-01,atrazine,1\n`, { season: 2026 }))).toContain(
    'date-out-of-season',
  );
});

test('recognizing', () => {
  expect(certainty(sprayingsImporter, `${HEAD}\nA,2025-05-01,atrazine,1\n`)).toBeGreaterThan(0.8);
  expect(certainty(sprayingsImporter, 'field,species,rating,date\nHome,AMATU,few,2026-09-01\n')).toBeLessThan(0.5);
});
