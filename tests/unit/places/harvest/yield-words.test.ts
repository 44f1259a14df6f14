import { describe, expect, it } from 'vitest';
import { rowsInWords } from '../../../../src/places/harvest/yield-words.ts';

describe('the rows of flagged records', () => {
  it('are told as stretches', () => {
    expect(rowsInWords([14, 90, 91, 92, 1200], 0)).toBe('Rows of the file: 14, 90 to 92, 1,200.');
  });

  it('end where nobody would read on, and say how many are left', () => {
    const apart = Array.from({ length: 30 }, (_, at) => 10 * at + 2);
    expect(rowsInWords(apart, 0)).toBe('Rows of the file: 2, 12, 22, 32, 42, 52, 62, 72 and 22 stretches more.');
  });

  it('without a place are counted', () => {
    expect(rowsInWords([], 3)).toBe('3 records without a place.');
    expect(rowsInWords([5], 1)).toBe('Rows of the file: 5. 1 record without a place.');
  });
});
