import { describe, expect, it } from 'vitest';
import { MOST_PLACES, modelPlaces } from '../../../../shared/statistics/latent/places.ts';
import { closeTo } from '../../../support/close-to.ts';
import { patchyCounts } from '../../../support/latent-field.ts';

const places = patchyCounts(40);
const sum = (values: Float64Array): number => values.reduce((all, value) => all + value, 0);

describe('what the latent model refuses', () => {
  const with_ = (change: object) => () => modelPlaces({ ...places, ...change });

  it('is no place, and arrays that do not fit', () => {
    const none = new Float64Array(0);
    expect(() => modelPlaces({ xM: none, yM: none, count: none, effortM2: none })).toThrow(/at least one place/);
    expect(with_({ yM: none })).toThrow(/one length/);
  });

  it('is an effort of 0, a count below 0 and a place that lies nowhere, each named', () => {
    const changed = (values: Float64Array, value: number) => values.map((one, i) => (i === 3 ? value : one));
    expect(with_({ effortM2: changed(places.effortM2, 0) })).toThrow(/place 3: expected an effort above 0 m², got 0/);
    expect(with_({ effortM2: changed(places.effortM2, NaN) })).toThrow(/place 3: expected an effort/);
    expect(with_({ count: changed(places.count, -1) })).toThrow(/place 3: expected a count not below 0, got -1/);
    expect(with_({ count: changed(places.count, Infinity) })).toThrow(/place 3/);
    expect(with_({ xM: changed(places.xM, NaN) })).toThrow(/place 3 lies nowhere/);
  });
});

describe('places', () => {
  it('up to 250 stay as they are, in one order', () => {
    const used = modelPlaces(places);
    expect(used.count.length).toBe(40);
    expect(new Set(used.kFactor)).toEqual(new Set([1]));
    expect(used.xM).toEqual(places.xM.slice().sort());
    expect(sum(used.count)).toBe(sum(places.count));
    const turned = {
      xM: places.xM.slice().reverse(),
      yM: places.yM.slice().reverse(),
      count: places.count.slice().reverse(),
      effortM2: places.effortM2.slice().reverse(),
    };
    expect(modelPlaces(turned)).toEqual(used);
  });

  it('of 5000 are grouped into at most 250, without losing a plant or an area', () => {
    const many = patchyCounts(5000);
    const used = modelPlaces(many);
    expect(used.count.length).toBeLessThanOrEqual(MOST_PLACES);
    expect(used.count.length).toBeGreaterThan(200);
    expect(sum(used.count)).toBe(sum(many.count));
    closeTo(sum(used.effortM2), sum(many.effortM2), { within: 1e-9, because: 'sums in another order' });
    expect(Math.min(...used.kFactor)).toBeGreaterThanOrEqual(1);
  });

  it('are grouped alike in a moved frame', () => {
    const many = patchyCounts(600);
    const moved = modelPlaces({ ...many, xM: many.xM.map((x) => x - 512), yM: many.yM.map((y) => y + 4096) });
    const used = modelPlaces(many);
    expect(moved.count).toEqual(used.count);
    expect(moved.kFactor).toEqual(used.kFactor);
  });

  it('all at one spot become one group', () => {
    const spot = new Float64Array(300).fill(7);
    const one = modelPlaces({ xM: spot, yM: spot, count: spot, effortM2: spot.map(() => 0.5) });
    expect(one.count).toEqual(Float64Array.of(2100));
    expect(one.kFactor[0]).toBe(300);
  });
});
