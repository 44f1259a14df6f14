import { describe, expect, it } from 'vitest';
import { arrowShape } from '../../../src/charts/arrow-shape.ts';

const points = (path: string) =>
  path
    .slice(1, -1)
    .split('L')
    .map((one) => one.split(' ').map(Number) as [number, number]);
const apart = (a: readonly number[], b: readonly number[]) => Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!);

describe('an arrow', () => {
  it('is as wide as it is told along its shaft', () => {
    const outline = points(arrowShape([0, 0], [200, 0], 10, 12).path);
    for (let k = 0; k <= 16; k++) expect(apart(outline[k]!, outline[outline.length - 1 - k]!)).toBeCloseTo(10, 0);
  });

  it('keeps clear of both ends, and of ways there and back neither lies on the other', () => {
    const there = arrowShape([0, 0], [200, 0], 4, 12);
    const back = arrowShape([200, 0], [0, 0], 4, 12);
    for (const point of points(there.path)) {
      expect(apart(point, [0, 0])).toBeGreaterThan(8);
      expect(apart(point, [200, 0])).toBeGreaterThan(8);
    }
    expect(apart(there.middle, back.middle)).toBeGreaterThan(20);
  });

  it('is drawn even between neighbors', () => {
    const { path } = arrowShape([0, 0], [14, 3], 6, 12);
    expect(path).not.toContain('NaN');
  });
});
