import { describe, expect, it } from 'vitest';
import { roundTold } from '../../../../shared/scouting/round-told.ts';
import { clumpingInWords } from '../../../../src/places/infestation/round-words.ts';

const told = (counts: readonly number[]) =>
  roundTold({
    rating: null,
    patches: [],
    places: counts.map((count, at) => ({ xM: 20 * at, yM: 0, count, effortM2: 1 })),
  });

describe('clumping in words', () => {
  it('gives k with its range', () => {
    const words = clumpingInWords(told([0, 0, 3, 1, 0, 12, 0, 0, 2, 0, 0, 7, 0, 1, 0, 0, 0, 25, 4, 0]));
    expect(words).toBe('0.19 (0.084 to 0.39)');
  });

  it('has no upper end where the counts may be clumped or not', () => {
    expect(clumpingInWords(told([3, 5, 2, 8, 4, 6, 1, 3, 0, 7, 5, 4, 2, 9, 3, 4, 6, 2, 5, 3]))).toBe(
      '15 (3.1 or more: perhaps none)',
    );
  });

  it('is not told from a few finds, and not asked for where none was found', () => {
    expect(clumpingInWords(told([0, 0, 0, 0, 9]))).toBe('not to be told');
    expect(clumpingInWords(told([0, 0, 0]))).toBe('');
  });
});
