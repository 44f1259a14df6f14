import { describe, expect, it } from 'vitest';
import { counts, moneyRange, percents } from '../../../../src/places/telling/range-words.ts';

describe('short ranges', () => {
  it('say the large word once where both ends have it', () => {
    expect(counts(7.8e9, 580e9)).toBe('7.8 to 580 billion');
    expect(counts(73e6, 100e9)).toBe('73 million to 100 billion');
    expect(counts(6900, 98e6)).toBe('6,900 to 98 million');
    expect(counts(6900, 7200)).toBe('6,900 to 7,200');
    expect(counts(0, 12)).toBe('0 to 12');
  });

  it('collapse where both ends read alike', () => {
    expect(counts(5e6, 5.01e6)).toBe('5 million');
    expect(percents({ low: 0.351, central: 0.352, high: 0.354 })).toBe('35%');
    expect(percents({ low: 0.35, central: 0.5, high: 0.6 })).toBe('35 to 60%');
  });

  it('keep a minus sign beside its money', () => {
    const text = moneyRange({ low: -43_769, central: 544_220, high: 544_220 }, 'us');
    expect(text).toBe('−\u2060$43,769 to $544,220, most likely $544,220');
  });

  it('say what is not known', () => {
    expect(percents({ low: null, central: null, high: null })).toBe('an unknown share');
  });
});
