import { describe, expect, it } from 'vitest';
import { toleranceOf, toleranceRefusal } from '../../../shared/agronomy/tolerance.ts';

describe('tolerance', () => {
  it('tells not stated from not tolerated', () => {
    expect(toleranceOf('not stated', 'dicamba', '4')).toBe('not stated');
    expect(toleranceOf([], 'dicamba', '4')).toBe('does not tolerate');
    expect(toleranceOf(['glyphosate'], 'dicamba', '4')).toBe('does not tolerate');
  });

  it('finds an ingredient by name and by its group, however it is written', () => {
    expect(toleranceOf([' Dicamba '], 'dicamba', '4')).toBe('tolerates');
    for (const group of ['4', 'Group 4', 'G4', 'group  4'])
      expect(toleranceOf([group], 'dicamba', '4')).toBe('tolerates');
    expect(toleranceOf(['14'], 'dicamba', '4')).toBe('does not tolerate');
    expect(toleranceOf(['2,4-D'], 'dicamba', '4')).toBe('does not tolerate');
    expect(toleranceOf(['unknown'], 'dicamba', 'unknown')).toBe('does not tolerate');
  });

  it('refuses a hand-off with a reason and what to do, and only then', () => {
    const where = { ingredient: 'dicamba', crop: 'soybean', field: 'North 40' };
    expect(toleranceRefusal('tolerates', where)).toBeNull();
    for (const [tolerance, code] of [
      ['not stated', 'tolerance-not-stated'],
      ['does not tolerate', 'not-tolerated'],
    ] as const) {
      const refusal = toleranceRefusal(tolerance, where)!;
      expect(refusal).toMatchObject({ code, level: 'error' });
      for (const word of Object.values(where)) expect(refusal.text.toLowerCase()).toContain(word.toLowerCase());
      expect(refusal.hint!.length).toBeGreaterThan(20);
    }
  });
});
