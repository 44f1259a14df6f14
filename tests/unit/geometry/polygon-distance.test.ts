import { describe, expect, it } from 'vitest';
import { distanceToPolygonM } from '../../../shared/geometry/polygon-distance.ts';
import { closeTo } from '../../support/close-to.ts';

const square = [[Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10), Float64Array.of(4, 4, 4, 6, 6, 6, 6, 4)]];

describe('distance to a polygon', () => {
  it('is nothing inside, straight out beside an edge, and to the corner beyond it', () => {
    expect(distanceToPolygonM(square, 2, 2)).toBe(0);
    closeTo(distanceToPolygonM(square, 15, 5), 5, { within: 1e-12, because: 'arithmetic' });
    closeTo(distanceToPolygonM(square, 13, 14), 5, { within: 1e-12, because: 'a 3-4-5 triangle' });
  });

  it('reaches from the middle of a hole to its rim', () => {
    closeTo(distanceToPolygonM(square, 5, 5), 1, { within: 1e-12, because: 'arithmetic' });
  });
});
