import { describe, expect, it } from 'vitest';
import { classAt, classEdges, rampPlace } from '../../../src/map/classes.ts';

const linear = { count: 5, scale: 'linear', unitFactor: 1, least: 0 } as const;
const log = { count: 5, scale: 'log', unitFactor: 1, least: 1 } as const;

describe('classes of a shade', () => {
  it('there is one class where nothing differs', () => {
    expect(classEdges([], linear)).toEqual([]);
    expect(classEdges([7, 7, 7], linear)).toEqual([]);
    expect(rampPlace(classAt([], 7), [])).toBe(0.5);
  });

  it('edges lie near the quantiles, and are round', () => {
    const values = Array.from({ length: 1001 }, (_, i) => i * 0.1);
    expect(classEdges(values, linear)).toEqual([20, 40, 60, 80]);
  });

  it('edges are round in the unit on screen, not in SI', () => {
    const acre = 4046.8564224;
    const values = Array.from({ length: 1001 }, (_, i) => i * 0.1 * acre);
    const edges = classEdges(values, { ...linear, unitFactor: acre });
    expect(edges.map((edge) => edge / acre)).toEqual([20, 40, 60, 80]);
  });

  it('every class holds about as many values as the next: from half to twice its share', () => {
    let state = 7;
    const draw = () => (state = (state * 48271) % 2147483647) / 2147483647;
    const yields = Array.from({ length: 2000 }, () => 3000 + 1500 * (draw() + draw() + draw()));
    const seeds = Array.from({ length: 2000 }, () => Math.exp(12 * draw()));
    for (const [values, rules] of [
      [yields, linear],
      [seeds, log],
    ] as const) {
      const edges = classEdges(values, rules);
      expect(edges).toHaveLength(4);
      const held = [0, 0, 0, 0, 0];
      for (const value of values) held[classAt(edges, value)]!++;
      for (const one of held) {
        expect(one).toBeGreaterThan(200);
        expect(one).toBeLessThan(800);
      }
    }
  });

  it('over many orders edges are 1, 2 or 5 times a power of ten', () => {
    const seeds = Array.from({ length: 500 }, (_, i) => 10 ** (i / 100));
    for (const edge of classEdges(seeds, log)) {
      const lead = edge / 10 ** Math.floor(Math.log10(edge) + 1e-9);
      expect([1, 2, 5]).toContain(Number(lead.toFixed(6)));
    }
  });

  it('edges are finer where those would fall together', () => {
    const bank = [2.1, 14, 42, 44, 112, 361, 403, 450, 584, 1051, 2355];
    // 1, 2, 5 alone would give 50, 100 and 500 twice.
    expect(classEdges(bank, log)).toEqual([40, 100, 400, 500]);
  });

  it('none and as good as none belong to the lowest class and move no edge', () => {
    const seeds = Array.from({ length: 500 }, (_, i) => 10 ** (i / 100));
    const edges = classEdges(seeds, log);
    expect(classEdges([...seeds, ...new Array<number>(5000).fill(0), 1e-12], log)).toEqual(edges);
    expect(classAt(edges, 0)).toBe(0);
  });

  it('ties make fewer classes, never two edges at one place', () => {
    const edges = classEdges([0, 0, 0, 0, 0, 0, 0, 1, 2, 3], linear);
    expect(new Set(edges).size).toBe(edges.length);
    expect(edges.every((edge) => edge > 0)).toBe(true);
  });

  it('the order of values does not matter, a value at an edge is of the class above', () => {
    const values = [5, 1, 9, 3, 7, 2, 8, 4, 6];
    expect(classEdges(values, linear)).toEqual(classEdges([...values].reverse(), linear));
    expect(classAt([10, 20], 10)).toBe(1);
    expect(classAt([10, 20], 9.999)).toBe(0);
    expect(classAt([10, 20], 20)).toBe(2);
  });
});
