import { describe, expect, it } from 'vitest';
import { controlByDay, coverGaps } from '../../../shared/agronomy/cover.ts';
import { resolveParameters } from '../../../shared/agronomy/parameter.ts';
import {
  coverBandDays,
  hasResidual,
  RESIDUAL_INGREDIENTS,
  residualApplication,
  residualParameters,
} from '../../../shared/agronomy/residuals.ts';
import { CASES } from '../../../shared/model/range.ts';

const central = resolveParameters(residualParameters(RESIDUAL_INGREDIENTS), 'central');
const spray = (ingredient: string, rainMm: number[] | null, rateFraction = 1) =>
  residualApplication(ingredient, { rateFraction, sprayedIndex: 0, rainMm }, central);

describe('residuals by active ingredient', () => {
  it('knows eighteen ingredients and no other', () => {
    expect(RESIDUAL_INGREDIENTS.length).toBe(18);
    expect(hasResidual('S-metolachlor')).toBe(true);
    expect(hasResidual('glyphosate')).toBe(false);
    expect(() => coverBandDays('glyphosate', 1)).toThrow(/no parameter/);
    expect(() => spray('S-metolachlor', null, 2)).toThrow(/0–1/);
  });

  it('gives cover as a band that is shorter at a lower rate, in every ingredient', () => {
    for (const ingredient of RESIDUAL_INGREDIENTS) {
      const whole = coverBandDays(ingredient, 1);
      const half = coverBandDays(ingredient, 0.5);
      expect(whole.low! <= whole.central! && whole.central! <= whole.high!).toBe(true);
      expect(half.central!).toBe(whole.central! / 2);
      for (const end of ['low', 'high'] as const) expect(half[end]!).toBeLessThan(whole[end]!);
    }
  });

  it('covers a full rate for the stated days in every case', () => {
    for (const which of CASES) {
      const values = resolveParameters(residualParameters(['pyroxasulfone']), which);
      const { application } = residualApplication(
        'pyroxasulfone',
        { rateFraction: 1, sprayedIndex: 0, rainMm: null },
        values,
      );
      const { spells } = coverGaps(controlByDay([application], new Float64Array(200)), 0.8);
      expect(spells.length).toBe(1);
      expect(Math.abs(spells[0]![0] - values['residual.pyroxasulfone.coverDays']!)).toBeLessThanOrEqual(1);
    }
  });

  it('waits for its rain, and says where rain is not known', () => {
    expect(spray('S-metolachlor', [0, 0, 20, 0]).activation).toEqual({ by: 'rain', onIndex: 2 });
    expect(spray('S-metolachlor', [0, 0, 0, 0])).toMatchObject({
      activation: { by: 'nothing yet' },
      application: { activeFrom: null },
    });
    expect(spray('S-metolachlor', null)).toMatchObject({
      activation: { by: 'not known' },
      application: { activeFrom: 0 },
    });
    expect(spray('trifluralin', [0, 0]).activation).toEqual({ by: 'incorporation' });
  });
});
