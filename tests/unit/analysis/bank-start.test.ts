import { expect, test } from 'vitest';
import { type BankStart, bankStartStep } from '../../../shared/analysis/steps/bank-start.ts';
import { CASES } from '../../../shared/model/range.ts';
import { closeTo } from '../../support/close-to.ts';

const SPECIES = ['palmer-amaranth', 'waterhemp'];

/** A field of one row of cells of 5 m, with plants/m² and landed seeds/m² of each species. */
function bankOf(plantsPerM2: readonly number[][], landedPerM2: readonly number[][]): BankStart {
  const columns = plantsPerM2[0]!.length;
  const cells = (values: readonly number[]) => Float64Array.from(values);
  const work = bankStartStep.run({
    settings: {
      species: SPECIES,
      crop: 'soybean',
      tillage: 'no-till',
      asNow: { passes: [] },
      susceptible: {},
    } as never,
    needs: {
      field: { grid: { x0M: 0, y0M: 0, columns, rows: 1, cellM: 5 }, inside: new Uint8Array(columns).fill(1) },
      infestation: plantsPerM2.map((plants) => ({
        map: { basis: 'surface' },
        strata: null,
        densityPerM2: Object.fromEntries(CASES.map((which) => [which, cells(plants)])),
      })),
      season: { species: [] },
      seed: { species: [] },
      landed: { seeds: landedPerM2.map((seeds) => cells(seeds.map((one) => one * 25))) },
    },
    p: {
      'seedbank.enteringFraction': 1,
      ...Object.fromEntries(
        SPECIES.flatMap((one) => [
          [`${one}.seedbank.survival.no-till`, 1],
          [`${one}.seedbank.emergenceFraction`, 1],
        ]),
      ),
    },
    scope: { field: 'a', season: 2026, case: 'central' },
  });
  for (;;) {
    const turn = work.next();
    if (!turn.done) continue;
    if (!turn.value.ok) throw new Error('refused');
    return turn.value.value as BankStart;
  }
}

test('ground with one weed is never put together with ground that has as much of another', () => {
  const { classes, classOfCell } = bankOf(
    [
      [100, 0, 50],
      [0, 100, 50],
    ],
    [
      [0, 0, 0],
      [0, 0, 0],
    ],
  );
  expect(classes.map((one) => one.bankPerM2)).toEqual([
    [100, 0],
    [0, 100],
    [50, 50],
  ]);
  expect([...classOfCell!]).toEqual([0, 1, 2]);
});

test('the last trace of a spreader’s tail is no weed that is there', () => {
  const { classes } = bankOf(
    [
      [0, 0],
      [100, 100],
    ],
    [
      [1e-300, 0],
      [0, 0],
    ],
  );
  expect(classes).toEqual([{ areaM2: 50, bankPerM2: [0, 100] }]);
});

test('classes keep the seed of the field: their sums are those of the cells', () => {
  const plants = [Array.from({ length: 400 }, (_, i) => Math.exp(Math.sin(i) * 6)), new Array<number>(400).fill(0.3)];
  const landed = [Array.from({ length: 400 }, (_, i) => 1000 * Math.exp(-i / 20)), new Array<number>(400).fill(7)];
  const { classes, leftPerM2, enteredPerM2, areaM2 } = bankOf(plants, landed);
  expect(classes.length).toBeLessThan(300);
  SPECIES.forEach((_, index) => {
    const seeds = classes.reduce((sum, one) => sum + one.bankPerM2[index]! * one.areaM2, 0);
    const wanted = (leftPerM2[index]! + enteredPerM2[index]!) * areaM2;
    closeTo(seeds, wanted, { within: 1e-9 * wanted, because: 'sums in another order' });
  });
});
