import { describe, expect, it } from 'vitest';
import { asTyped, neededNumber, type NumberRule, typedNumber } from '../../../shared/units/typed-number.ts';
import { closeTo } from '../../support/close-to.ts';

const spacing: NumberRule = { what: 'Row spacing', unit: 'in', least: 4, most: 60 };
const share: NumberRule = { what: 'Share of the full label rate', unit: '%', least: 0, most: 200, above: true };
const value = (text: string, rule = spacing) => {
  const typed = typedNumber(text, rule);
  return 'wrong' in typed ? typed.wrong : typed.value;
};

describe('a number as a person types it', () => {
  it('is refused in the person’s own unit, with what was typed and what is meant', () => {
    expect(value('wide')).toBe('“wide” is no number. Row spacing is 4 to 60 in.');
    expect(value('300')).toBe('Row spacing is 4 to 60 in. It cannot be 300.');
    expect(value('2 m')).toBe('Row spacing is 4 to 60 in. It cannot be 2 m.');
    expect(value('30 acres')).toBe('“acres” is no unit of it. Row spacing is 4 to 60 in.');
    expect(value('0', share)).toBe('Share of the full label rate is above 0 and at most 200 %. It cannot be 0.');
    expect(value('-3', { what: 'Plants counted', unit: 'plants', least: 0 })).toBe(
      'Plants counted is at least 0 plants. It cannot be -3.',
    );
    expect(value('2.5', { what: 'Years', unit: 'ratio', whole: true })).toBe('Years is a whole number.');
  });

  it('with a decimal comma could mean two things, and is not guessed', () => {
    expect(value('7,5')).toMatch(/is no number/);
    expect(value('1,200', { what: 'Yield', unit: 'lb/ac' })).toBeCloseTo(1345.1, 0);
  });

  it('nothing typed is nothing known, unless it is needed', () => {
    expect(value(' ')).toBeNull();
    expect(neededNumber('', spacing)).toEqual({ wrong: 'Row spacing is missing. Row spacing is 4 to 60 in.' });
    expect(neededNumber('30', spacing)).toEqual({ value: 0.762 });
  });

  it('is taken in the usual unit, or in the one that is typed with it', () => {
    const because = 'an inch is 0.0254 m by definition';
    closeTo(value('30') as number, 0.762, { within: 1e-12, because });
    closeTo(value('30 in') as number, 0.762, { within: 1e-12, because });
    closeTo(value('30"') as number, 0.762, { within: 1e-12, because });
    closeTo(value('76.2 cm') as number, 0.762, { within: 1e-12, because });
    closeTo(value('50 %', share) as number, 0.5, { within: 1e-12, because: 'a per cent is a hundredth' });
    closeTo(value('0.4 ft²', { what: 'Area', unit: 'm2' }) as number, 0.03716, { within: 1e-5, because });
  });

  it('written and read again is the same', () => {
    for (const si of [0.381, 0.762, 0.1905]) {
      closeTo(value(asTyped(si, spacing)) as number, si, { within: 1e-6, because: 'six figures are kept' });
    }
    expect(asTyped(null, spacing)).toBe('');
  });
});
