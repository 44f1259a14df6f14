import { describe, expect, it } from 'vitest';
import { nearestHeight, nextHeight } from '../../../src/shell/sheet-heights.ts';

describe('the heights of the sheet on a phone', () => {
  it('go up by presses, and from the top down to the map again', () => {
    expect(nextHeight('low')).toBe('half');
    expect(nextHeight('half')).toBe('full');
    expect(nextHeight('full')).toBe('low');
  });
  it('snap to the nearest where the sheet is let go', () => {
    expect([0.05, 0.34, 0.36, 0.7, 0.72, 1].map(nearestHeight)).toEqual(['low', 'low', 'half', 'half', 'full', 'full']);
  });
});
