import { describe, expect, it } from 'vitest';
import { countingBound } from '../../../shared/agronomy/infested-area.ts';
import type { Infestation, InfestationInput } from '../../../shared/agronomy/infestation.ts';
import { latentGround } from '../../../shared/agronomy/latent-ground.ts';
import { fieldChain, latentSetting } from '../../../shared/agronomy/latent-setting.ts';
import { scoutingDensity } from '../../../shared/agronomy/scouting-density.ts';
import { fieldGrid } from '../../../shared/agronomy/surface-methods.ts';
import type { ChainResult } from '../../../shared/statistics/latent/chain.ts';
import { latentMapAt, mapInfestation } from '../../../shared/agronomy/infestation.ts';
import { joinChains } from '../../../shared/statistics/latent/posterior.ts';
import { PATCH_DENSITIES } from '../../../shared/agronomy/rating-densities.ts';
import type { ScoutedPlace } from '../../../shared/agronomy/scouting-density.ts';
import { poissonRateInterval, wilsonInterval } from '../../../shared/statistics/intervals.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';
import { run } from '../../support/run.ts';

/** A square field of 400 m in cells of 10 m, with a column of cells outside it to the west and a border cell half in. */
const GRID = { x0M: -10, y0M: 0, columns: 41, rows: 40, cellM: 10 };
const CELLS = GRID.columns * GRID.rows;
const isField = (cell: number) => cell % GRID.columns > 0;
const FIELD: Omit<InfestationInput, 'places'> = {
  grid: GRID,
  inside: Uint8Array.from({ length: CELLS }, (_, cell) => (isField(cell) ? 1 : 0)),
  cellAreaM2: Float64Array.from({ length: CELLS }, (_, cell) => (isField(cell) ? 100 : 0)),
  areaM2: 160_000,
  rating: null,
  patches: [],
  thresholdPerM2: 1,
};
const map = (places: readonly ScoutedPlace[], more: Partial<InfestationInput> = {}): Infestation =>
  run(mapInfestation({ ...FIELD, places, ...more }));
const place = (xM: number, yM: number, count: number, effortM2 = 1): ScoutedPlace => ({ xM, yM, count, effortM2 });
const at = (x: number, y: number) => Math.floor(y / 10) * GRID.columns + Math.floor((x + 10) / 10);
const rounding = { within: 1e-9, because: 'rounding' };
const said = ({ notes }: Infestation) => notes.join('\n');

/** n quadrats on a grid over the field; plants by a density, as random counts. */
function scouted(across: number, densityAt: (x: number, y: number) => number, effortM2 = 1): ScoutedPlace[] {
  const random = stream(3, 'infestation test', across);
  const step = 400 / across;
  return Array.from({ length: across * across }, (_, i) => {
    const [x, y] = [
      ((i % across) + 0.3 + 0.4 * random.uniform()) * step,
      (Math.floor(i / across) + 0.3 + 0.4 * random.uniform()) * step,
    ];
    return place(x, y, random.poisson(densityAt(x, y) * effortM2), effortM2);
  });
}
const patchy = (x: number, y: number) => 0.02 + 12 * Math.exp(-((x - 120) ** 2 + (y - 250) ** 2) / (2 * 70 ** 2));

function lawsOf(one: Infestation): void {
  closeTo(one.knownAreaM2 + one.unknownAreaM2, FIELD.areaM2, rounding);
  one.known.forEach((known, cell) => expect(known === 1).toBe(!Number.isNaN(one.densityPerM2[cell])));
  expect(one.known[0], 'outside the field nothing is known').toBe(0);
  for (const range of [one.meanDensityPerM2, one.infestedAreaM2, one.infestedFraction]) {
    if (range.central === null) expect(range).toEqual({ low: null, central: null, high: null });
    else expect(0 <= range.low && range.low <= range.central && range.central <= range.high).toBe(true);
  }
  const { central: area } = one.infestedAreaM2;
  if (area !== null)
    closeTo(
      area,
      one.infestedFraction.central! * (one.infestedFractionOf === 'known' ? one.knownAreaM2 : FIELD.areaM2),
      rounding,
    );
  expect(one.lowFactor <= 1 && 1 <= one.highFactor).toBe(true);
}

describe('an infestation', () => {
  it('refuses arrays that do not fit, a threshold of 0, and a place without effort', () => {
    expect(() => map([], { inside: new Uint8Array(3) })).toThrow(/1640 cells/);
    expect(() => map([], { patches: [{ cells: new Uint8Array(3), densityPerM2: PATCH_DENSITIES.thin }] })).toThrow(
      /1640 cells/,
    );
    expect(() => map([], { thresholdPerM2: 0 })).toThrow(/threshold above 0/);
    expect(() => map([place(10, 10, 1, 0)])).toThrow(/effort above 0/);
    expect(() => map([place(10, 10, NaN)])).toThrow(/a count/);
  });

  it('reports progress and can be stopped', () => {
    const steps = mapInfestation({ ...FIELD, places: scouted(8, patchy) });
    expect(steps.next().done).toBe(false);
    expect(steps.return(undefined as never).done).toBe(true);
  });
});

describe('without counts', () => {
  it('a field that nobody looked at is unknown, not clean', () => {
    for (const rating of [null, 'not looked'] as const) {
      const one = map([], { rating });
      lawsOf(one);
      expect(one.basis).toBe('nothing');
      expect(one.meanDensityPerM2.central).toBeNull();
      expect(one.unknownAreaM2).toBe(160_000);
    }
  });

  it('a rating gives assumed numbers over the field and no map', () => {
    const one = map([], { rating: 'patches' });
    lawsOf(one);
    expect([one.basis, one.knownAreaM2, one.infestedFractionOf]).toEqual(['rating', 0, 'field']);
    expect(one.meanDensityPerM2).toEqual({ low: 0.02 * 0.3, central: 0.08 * 2, high: 0.25 * 10 });
    expect(one.infestedFraction, 'its low density is below the threshold').toEqual({
      low: 0,
      central: 0.08,
      high: 0.25,
    });
    expect(map([], { rating: 'none seen' }).meanDensityPerM2).toEqual({ low: 0, central: 0.0005, high: 0.01 });
    expect(map([], { rating: 'few' }).infestedFraction.high).toBe(0);
    expect(said(one)).toMatch(/assumed, without a source/);
  });

  describe('drawn patches', () => {
    const cells = Uint8Array.from({ length: CELLS }, (_, cell) => (cell % GRID.columns <= 10 ? 1 : 0)); // 100 m in the west, and outside
    const thick = { cells, densityPerM2: PATCH_DENSITIES.thick };

    it('hold their class, and the rest is unknown unless the field was rated', () => {
      const one = map([], { patches: [thick] });
      lawsOf(one);
      expect(one.basis).toBe('drawn patches');
      expect([one.densityPerM2[at(50, 200)], one.densityPerM2[at(200, 200)]]).toEqual([10, NaN]);
      expect([one.knownAreaM2, one.infestedAreaM2]).toEqual([40_000, { low: 40_000, central: 40_000, high: 40_000 }]);
      expect(one.lowFactor * 10).toBeCloseTo(3, 12);
      const rated = map([], { patches: [thick], rating: 'patches' });
      lawsOf(rated);
      expect(rated.densityPerM2[at(200, 200)]).toBe(0.0005);
      expect([rated.unknownAreaM2, rated.infestedAreaM2.central]).toEqual([0, 40_000]);
    });

    it('that overlap hold the denser class, in any order', () => {
      const thin = { cells, densityPerM2: PATCH_DENSITIES.thin };
      for (const patches of [
        [thick, thin],
        [thin, thick],
      ])
        expect(map([], { patches }).densityPerM2[at(50, 200)]).toBe(10);
    });

    it('of a class below the threshold are no infested area, on the threshold they are', () => {
      expect(map([], { patches: [{ cells, densityPerM2: PATCH_DENSITIES.thin }] }).infestedAreaM2.high).toBe(0);
      expect(map([], { patches: [{ cells, densityPerM2: PATCH_DENSITIES.medium }] }).infestedAreaM2).toEqual({
        low: 0,
        central: 40_000,
        high: 40_000,
      });
    });

    it('give way to counts close by, and wholly from 8 places on', () => {
      const one = map([place(55, 205, 2), place(300, 300, 0)], { patches: [thick] });
      lawsOf(one);
      expect([one.basis, one.densityPerM2[at(55, 205)], one.densityPerM2[at(55, 105)]]).toEqual([
        'drawn patches',
        2,
        10,
      ]);
      expect(one.densityPerM2[at(300, 300)], 'a zero found does not make the ground known as clean').toBeNaN();
      const many = map(scouted(3, patchy, 4), { patches: [thick] });
      expect(many.basis).not.toBe('drawn patches');
      expect(said(many)).toMatch(/Drawn patches stay on the map/);
    });
  });
});

describe('a clean round', () => {
  it('is a bound, never a zero and never a map, at any number of quadrats', () => {
    for (const n of [1, 7, 12, 59]) {
      const one = map(Array.from({ length: n }, (_, i) => place(5 + (i % 8) * 50, 5 + Math.floor(i / 8) * 45, 0, 0.5)));
      lawsOf(one);
      expect([one.basis, one.knownAreaM2, one.probabilityAbove]).toEqual(['clean round', 0, null]);
      closeTo(one.infestedFraction.high!, 1 - 0.05 ** (1 / n), rounding);
      closeTo(one.meanDensityPerM2.high!, 2.9957 / (0.5 * n), { within: 1e-4, because: '3.0 over the effort' });
      expect(said(one)).toMatch(/Zero found is not zero there/);
    }
    expect(
      said(map(Array.from({ length: 59 }, (_, i) => place(5 + i, 5, 0)))),
      'methods-spatial §3.5: 59 quadrats',
    ).toMatch(/fewer than 5%/);
  });
});

describe('1–7 places', () => {
  it('hold for the ground within 15 m, and their ratio of sums for the field', () => {
    const one = map([place(100, 100, 6, 2), place(300, 300, 0, 0.5)]);
    lawsOf(one);
    expect([one.basis, one.label, one.variogram, one.pattern]).toEqual(['points', null, null, null]);
    closeTo(one.meanDensityPerM2.central!, 6 / 2.5, rounding);
    expect([one.densityPerM2[at(105, 105)], one.densityPerM2[at(305, 305)], one.densityPerM2[at(100, 130)]]).toEqual([
      3,
      0,
      NaN,
    ]);
    expect(one.infestedAreaM2.central, 'too few for an area').toBeNull();
  });

  it('closer than 30 m apart hold only half way to each other', () => {
    const one = map([place(105, 105, 3), place(121, 105, 1)]);
    expect([one.densityPerM2[at(105, 105)], one.densityPerM2[at(125, 105)], one.densityPerM2[at(95, 105)]]).toEqual([
      3,
      1,
      NaN,
    ]);
  });

  it('have an exact Poisson range, wider the more the counts jump', () => {
    const alike = map([place(50, 50, 3), place(150, 50, 3), place(250, 50, 3)]).meanDensityPerM2;
    const exact = poissonRateInterval(9, 3, 0.9);
    closeTo(alike.low!, exact.low, rounding);
    closeTo(alike.high!, exact.high, rounding);
    const jumping = map([place(50, 50, 9), place(150, 50, 0), place(250, 50, 0)]).meanDensityPerM2;
    expect(jumping.central).toBe(alike.central);
    expect(jumping.low!).toBeLessThan(alike.low!);
    expect(jumping.high!).toBeGreaterThan(2 * alike.high!);
    expect(said(map([place(50, 50, 3)]))).toMatch(/cannot tell how clumped/);
  });

  it('say what they read into "present" and "so many or more"', () => {
    const one = map([
      { ...place(50, 50, 1), presenceOnly: true },
      { ...place(150, 50, 20), atLeast: true },
      { ...place(250, 50, 0), presenceOnly: true },
    ]);
    expect(said(one)).toMatch(/At one place the plant was only marked present/);
    expect(said(one)).toMatch(/At one place the count stopped early/);
    expect([one.places, one.positives]).toEqual([3, 2]);
  });

  it('at the very same spot are one place', () => {
    const one = map([place(50, 50, 1, 1), place(50, 50, 2, 3)]);
    expect([one.places, one.effortM2, one.densityPerM2[at(50, 50)]]).toEqual([1, 4, 0.75]);
  });
});

describe('8–19 places', () => {
  const nine = [2, 0, 0, 5, 1, 0, 0, 0, 3].map((count, i) =>
    place(60 + (i % 3) * 100, 60 + Math.floor(i / 3) * 100, count),
  );

  it('make a sketch within the grown hull, and an area from the share of quadrats', () => {
    const one = map(nine);
    lawsOf(one);
    expect([one.basis, one.label, one.variogram, one.probabilityAbove]).toEqual(['sketch', 'sketch', null, null]);
    const { low, high } = wilsonInterval(4, 9, 0.9);
    expect(one.infestedFraction).toEqual({ low, central: 4 / 9, high });
    // hull 60 … 260, spacing 100: known to 50 m beyond, round about the corners
    expect([one.known[at(160, 160)], one.known[at(15, 160)], one.known[at(5, 160)], one.known[at(15, 15)]]).toEqual([
      1, 1, 0, 0,
    ]);
    expect(said(one)).toMatch(/Fewer than 20 places/);
  });

  it('never leave what was counted', () => {
    const { densityPerM2 } = map(nine);
    for (const d of densityPerM2) if (!Number.isNaN(d)) expect(d >= 0 && d <= 5).toBe(true);
  });

  it('are the answer too where 20 and more hold fewer than 3 finds', () => {
    const places = scouted(6, () => 0);
    const one = map([{ ...places[0]!, count: 4 }, ...places.slice(1)]);
    expect([one.basis, one.label, one.positives]).toEqual(['sketch', 'sketch', 1]);
    expect(said(one)).toMatch(/Only 1 of 36 quadrats had plants/);
  });
});

describe('20 places and more', () => {
  const places = scouted(9, patchy);
  const one = map(places);

  it('make a surface with chances, a variogram and a range', () => {
    lawsOf(one);
    expect([one.basis, one.label, one.places]).toEqual(['surface', null, 81]);
    expect(one.densityPerM2[at(120, 250)]!).toBeGreaterThan(4);
    expect(one.densityPerM2[at(350, 50)]!).toBeLessThan(0.5);
    expect(one.probabilityAbove![at(120, 250)]!).toBeGreaterThan(0.95);
    expect(one.variogram!.practicalRangeM).toBeGreaterThan(50);
    expect(one.pattern!.word).toBe('patchy');
    expect(said(one)).toMatch(/93 to 98 times in 100/);
    expect([one.latent!.saying, one.latent!.krigedM2 === null]).toEqual(['plain', false]);
  });

  it('have an infested area that is the sum of the chances, and the truth in its range', () => {
    let sum = 0;
    one.probabilityAbove!.forEach((p, cell) => (sum += one.known[cell] ? 100 * p : 0));
    closeTo(one.infestedAreaM2.central!, sum, { within: 1e-6, because: 'rounding' });
    let truth = 0;
    one.known.forEach(
      (known, cell) =>
        (truth +=
          known && patchy(GRID.x0M + ((cell % 41) + 0.5) * 10, (Math.floor(cell / 41) + 0.5) * 10) >= 1 ? 100 : 0),
    );
    expect(one.infestedAreaM2.low! <= truth && truth <= one.infestedAreaM2.high!).toBe(true);
  });

  it('have the ratio of sums as the mean, beside the surface’s own', () => {
    const plants = places.reduce((sum, p) => sum + p.count, 0);
    closeTo(one.meanDensityPerM2.central!, plants / 81, rounding);
    expect(one.surfaceMeanPerM2).not.toBe(one.meanDensityPerM2.central);
    closeTo(one.lowFactor * one.meanDensityPerM2.central!, one.meanDensityPerM2.low!, rounding);
  });

  it('stay within what was counted, and say where they had to be held', () => {
    const most = Math.max(...places.map((p) => p.count / p.effortM2));
    for (const d of one.densityPerM2) if (!Number.isNaN(d)) expect(d >= 0 && d <= most).toBe(true);
  });

  it('know nothing far from every quadrat', () => {
    const corner = places.filter((p) => p.xM < 220 && p.yM > 150);
    const part = map(corner);
    lawsOf(part);
    expect(part.basis).toBe('surface');
    expect(part.known[at(390, 15)]).toBe(0);
    expect(part.unknownAreaM2).toBeGreaterThan(40_000);
  });

  it('do not depend on the order of the places', () => {
    const turned = map([...places].reverse());
    closeTo(turned.infestedAreaM2.central!, one.infestedAreaM2.central!, {
      within: 1e-3,
      because: 'sums in another order, m²',
    });
    expect(turned.known).toEqual(one.known);
    turned.densityPerM2.forEach((d, cell) => {
      if (one.known[cell]) closeTo(d, one.densityPerM2[cell]!, { within: 1e-6, because: 'sums in another order' });
    });
  });

  it('below 50 are still a sketch', () => {
    expect(map(scouted(6, patchy))).toMatchObject({ basis: 'surface', label: 'sketch' });
  });

  it('that are noise about one density everywhere have the whole field, or none of it, in their range', () => {
    const random = stream(8, 'no structure');
    const dense = map(places.map((p) => ({ ...p, count: random.uniform() < 0.3 ? 6 : 0 })));
    lawsOf(dense);
    expect(dense.infestedFraction.high, '1.8 plants/m² everywhere').toBe(1);
    const thin = map(places.map((p) => ({ ...p, count: random.uniform() < 0.1 ? 2 : 0 })));
    lawsOf(thin);
    expect(thin.infestedFraction.low!, '0.2 plants/m² everywhere').toBeLessThan(1e-3);
    expect(thin.infestedFraction.high!).toBeLessThan(0.5);
  });

  describe('with chains that', () => {
    const setting = latentSetting(fieldGrid(FIELD), scoutingDensity(places));
    const [first, second] = ([0, 1] as const).map((chain) => run(fieldChain(setting, chain)));
    // They ran on already: nothing is run anew.
    const mapBy = (given: Pick<InfestationInput, 'places'> & Partial<InfestationInput>, ...chains: ChainResult[]) =>
      run(
        mapInfestation(
          { ...FIELD, ...given },
          {
            *chain(chain) {
              yield [0, 1];
              return { ...chains[chain]!, parts: 2 };
            },
            *direction() {
              yield [0, 1];
              return null;
            },
          },
        ),
      );

    it('were found are as good as with those that are run', () => {
      expect(mapBy({ places }, first!, second!)).toEqual(one);
    });

    it('have run say at once what every threshold would, and nothing else changes', () => {
      const ground = latentGround(setting, scoutingDensity(places), FIELD.cellAreaM2, joinChains(first!, second!));
      const shares: number[] = [];
      for (const thresholdPerM2 of [0.5, 1, 4]) {
        const moved = latentMapAt({ ...FIELD, places, thresholdPerM2 }, ground);
        const anew = mapBy({ places, thresholdPerM2 }, first!, second!);
        expect(moved.probabilityAbove).toEqual(anew.probabilityAbove);
        expect(moved.infestedAreaM2).toEqual(anew.infestedAreaM2);
        expect(moved.densityPerM2).toEqual(one.densityPerM2);
        expect(moved.notes).toEqual(anew.notes);
        shares.push(moved.infestedFraction.central!);
      }
      expect(shares, 'less ground is above a higher threshold').toEqual([...shares].sort((a, b) => b - a));
      const fine = latentMapAt({ ...FIELD, places, thresholdPerM2: 0.1 }, ground);
      expect(fine.infestedAreaM2.central, 'quadrats too small to tell').toBeNull();
      expect(said(fine)).toMatch(/quadrats are too small for this threshold/);
    });

    it('cannot agree have counting alone, and say so', () => {
      // As if the second had found e⁹ times as many plants everywhere.
      const mu = second!.mu.map((m) => m + 9);
      const apart = mapBy({ places }, first!, { ...second!, mu, surface: second!.surface.map((m) => m + 9) });
      lawsOf(apart);
      expect([apart.basis, apart.probabilityAbove]).toEqual(['points', null]);
      expect(said(apart)).toMatch(/two runs of the latent count model do not agree/);
    });

    it('hang on the direction of the harvest path where plants stand in line with it', () => {
      const strips = scouted(10, (_x, y) => (Math.abs((y % 130) - 65) < 22 ? 6 : 0.02));
      const along = (direction: number | null) =>
        run(
          mapInfestation(
            { ...FIELD, places: strips },
            {
              *chain() {
                yield [0, 1];
                return null;
              },
              *direction() {
                yield [0, 1];
                return direction;
              },
            },
          ),
        );
      const east = along(0);
      lawsOf(east);
      expect([east.latent!.followsPath, east.latent!.saying]).toEqual([true, 'strips']);
      expect(said(east)).toMatch(/in line with the combine’s passes/);
      expect(said(east)).toMatch(/Strips narrower/);
      expect(along(Math.PI / 2).latent!.followsPath).toBe(false);
      expect(along(null).latent!.followsPath).toBe(false);
    });

    it('tell of no ground but the counts’ own have a mean and no surface, and say so', () => {
      const blind = (chain: ChainResult) => ({ ...chain, variance: chain.variance.map(() => 1) });
      const lone = mapBy({ places }, blind(first!), blind(second!));
      lawsOf(lone);
      expect([lone.basis, lone.probabilityAbove, lone.infestedFractionOf]).toEqual(['points', null, 'field']);
      expect(lone.method).toMatch(/no surface is drawn/);
      expect(said(lone)).toMatch(/No spatial structure/);
    });
  });

  it('have a quick look while their chains run, which says what it is', () => {
    const quick = run(mapInfestation({ ...FIELD, places }, 'quick look'));
    lawsOf(quick);
    expect([quick.basis, quick.latent]).toEqual(['surface', null]);
    expect(said(quick)).toMatch(/A quick look/);
    const { low, high } = quick.infestedAreaM2;
    expect(low! < one.infestedAreaM2.central! && one.infestedAreaM2.central! < high!).toBe(true);
  });

  it('with fewer than 8 finds join the counting bound and say how little that is', () => {
    const few = map(
      places.map((p) => ({ ...p, count: (p.xM - 120) ** 2 + (p.yM - 250) ** 2 < 62 ** 2 ? p.count : 0 })),
    );
    lawsOf(few);
    expect([few.basis, few.label]).toEqual(['surface', 'few finds']);
    expect(few.positives).toBeGreaterThanOrEqual(3);
    expect(few.positives).toBeLessThan(8);
    expect(said(few)).toMatch(new RegExp(`Only ${few.positives} of 81 quadrats had plants: somewhere between`));
    const { low } = countingBound(few.positives, new Float64Array(81).fill(1), few.dispersion!.k, 1);
    expect(few.infestedFraction.low!).toBeLessThanOrEqual(low);
  });

  it('say when the quadrats are small for the threshold, and refuse an area where they are too small', () => {
    const small = map(places, { thresholdPerM2: 0.4 });
    expect(said(small)).toMatch(/too small for this threshold.*not to be relied on/);
    expect(small.infestedAreaM2.central).not.toBeNull();
    const refused = map(places, { thresholdPerM2: 0.1 });
    lawsOf(refused);
    expect([refused.infestedAreaM2.central, refused.probabilityAbove]).toEqual([null, null]);
    expect(said(refused)).toMatch(/No method can tell.*set the threshold to 0.5 plants/);
    expect(said(one)).not.toMatch(/too small/);
  });

  it('count a border cell whose centre lies outside the field', () => {
    const inside = FIELD.inside.slice();
    const cellAreaM2 = FIELD.cellAreaM2.slice();
    inside[at(125, 255)] = 0;
    cellAreaM2[at(125, 255)] = 30;
    expect(map(places, { inside, cellAreaM2 }).known[at(125, 255)]).toBe(1);
  });
});

describe('a small regular grid of counts', () => {
  it('carries a surface, though few distances between its places are short', () => {
    const places = [...Array(25).keys()].map((n) => {
      const [x, y] = [40 + 80 * (n % 5), 40 + 80 * Math.floor(n / 5)];
      return place(x, y, Math.round(2 * patchy(x, y)), 2);
    });
    const found = map(places);
    expect(found.basis).toBe('surface');
    lawsOf(found);
  });
});
