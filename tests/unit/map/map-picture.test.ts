import { describe, expect, it } from 'vitest';
import { wrapped } from '../../../src/map/map-picture.ts';

const letters = (text: string) => text.length;

describe('lines beneath a saved map', () => {
  it('break between words, no wider than the sheet, and lose none', () => {
    const text = 'Of the weed seed within 60 ft of the place, most grew on West within 60 ft of it.';
    const lines = wrapped(text, 24, letters);
    expect(lines.length).toBeGreaterThan(3);
    expect(Math.max(...lines.map(letters))).toBeLessThanOrEqual(24);
    expect(lines.join(' ')).toBe(text);
  });

  it('stay one line where there is room, and a word that is too long stands alone', () => {
    expect(wrapped('West, season 2026', 40, letters)).toEqual(['West, season 2026']);
    expect(wrapped('a Donaudampfschiff b', 5, letters)).toEqual(['a', 'Donaudampfschiff', 'b']);
  });
});
