import { describe, expect, test } from 'vitest';
import { type SeedWorth, seedWorthStep, worthOf, worthPerSeed } from '../../../shared/analysis/steps/seed-worth.ts';
import { NO_TILL } from '../../../shared/agronomy/seedbank.ts';
import { closeTo } from '../../support/close-to.ts';

const PRICE_KG = 0.4;
const YIELD_KG_HA = 3000;
const I = 10;
const CELL_M2 = 25;

interface Given {
  readonly years?: number;
  readonly bankPerM2?: number;
  /** Share of one seed that falls in each cell. */
  readonly landed?: readonly number[];
  readonly priceKg?: number | null;
  readonly seedsPerPlant?: number;
}

/** A row of cells with one weed in one crop: every seed emerges, every seedling lives, no seed stays in the ground. */
function worthIn({
  years = 1,
  bankPerM2 = 0,
  landed = [0.5, 0.5],
  priceKg = PRICE_KG,
  seedsPerPlant = 0,
}: Given = {}): SeedWorth {
  const weed = {
    I,
    A: 100,
    competingPerSeedling: 1,
    biology: {
      emergenceFraction: 1,
      survivalShallow: 0,
      survivalDeep: 0,
      fatalGerminationFraction: 0,
      tillage: NO_TILL,
      enteringFraction: 1,
    },
    year: {
      cohorts: [{ share: 1, residualControl: 0, postControl: 0, survival: 1, relativeFecundity: 1 }],
      seedsPerPlant,
      crowding: 0,
      returnedFraction: 1,
      broughtInPerM2: 0,
    },
  };
  const cells = landed.length;
  const work = seedWorthStep.run({
    settings: {
      program: { id: 'as-now', name: 'as now', assumed: false, passes: [] },
      species: ['waterhemp'],
      years: Array.from({ length: years }, (_, t) => ({
        year: 2027 + t,
        crop: 'soybean',
        priceKg,
        expectedYieldKgHa: YIELD_KG_HA,
      })),
      discountFraction: 0,
    },
    needs: {
      field: { grid: { x0M: 0, y0M: 0, columns: cells, rows: 1, cellM: 5 }, inside: new Uint8Array(cells).fill(1) },
      own: { response: { landed: Float64Array.from(landed) } },
      start: {
        classes: [{ areaM2: cells * CELL_M2, bankPerM2: [bankPerM2] }],
        classOfCell: new Uint16Array(cells),
        areaM2: cells * CELL_M2,
      },
      effect: { crops: { soybean: { outside: [weed], inZone: null } } },
      zones: { zones: [], zoneOfCell: new Uint16Array(cells) },
    },
    p: { 'seedbank.enteringFraction': 0.5 },
    scope: { field: 'a', season: 2026, case: 'central' },
  });
  for (;;) {
    const turn = work.next();
    if (!turn.done) continue;
    if (!turn.value.ok) throw new Error('refused');
    return turn.value.value as SeedWorth;
  }
}

const moneyPerM2 = (YIELD_KG_HA / 10_000) * PRICE_KG;

describe('what a seed that rides in costs', () => {
  test('is, for few seeds on clean ground in one year, the loss that a plant causes where it is alone', () => {
    // 100 seeds, half of them viable in the ground: 50 plants, each I per cent of a square meter's yield.
    const one = worthOf(worthIn(), 0, 100)!;
    closeTo(one, 50 * (I / 100) * moneyPerM2, {
      within: 0.2 * one,
      because: 'one plant on a square metre is no longer alone: the hyperbola bends by a tenth',
    });
    const spread = worthOf(worthIn({ landed: Array.from({ length: 1000 }, () => 0.001) }), 0, 100)!;
    closeTo(spread, 50 * (I / 100) * moneyPerM2, { within: 1e-3 * spread, because: 'one plant in 500 m²' });
  });

  test('rises with the seed, never faster than at the first, and comes to rest at the whole yield', () => {
    const worth = worthIn();
    const amounts = [1, 50, 100, 200, 1e3, 5e4, 1e6, 1e9, 1e12];
    const money = amounts.map((seeds) => worthOf(worth, 0, seeds)!);
    const each = amounts.map((seeds) => worthPerSeed(worth, 0, seeds)!);
    for (let k = 1; k < amounts.length; k++) {
      expect(money[k]!).toBeGreaterThanOrEqual(money[k - 1]!);
      expect(each[k]!).toBeLessThanOrEqual(each[k - 1]! * (1 + 1e-12));
    }
    expect(worthOf(worth, 0, 0)).toBe(0);
    closeTo(money.at(-1)!, 2 * CELL_M2 * moneyPerM2, { within: 1e-3, because: 'the most that can be lost' });
  });

  test('is less where much lies already, and less where it falls in one place', () => {
    const of = (given: Given) => worthPerSeed(worthIn(given), 0, 1000)!;
    expect(of({ bankPerM2: 20 })).toBeLessThan(0.5 * of({}));
    expect(of({ landed: [1, 0] })).toBeLessThan(of({ landed: [0.5, 0.5] }));
  });

  test('grows over the years that are looked ahead, where the weed sets seed', () => {
    const of = (years: number) => worthPerSeed(worthIn({ years, seedsPerPlant: 2 }), 0, 10)!;
    expect(of(2) / of(1)).toBeGreaterThan(1.5);
    expect(of(3)).toBeGreaterThan(of(2));
  });

  test('is not told where a price is missing', () => {
    const worth = worthIn({ priceKg: null });
    expect(worth.money).toBeNull();
    expect(worthPerSeed(worth, 0, 100)).toBeNull();
  });
});
