import { describe, expect, it } from 'vitest';
import { type SeasonByCase, speciesStrip } from '../../../shared/analysis/season-strip.ts';
import type { FieldSeason } from '../../../shared/analysis/steps/season.ts';
import { emergenceEscapingFraction, emergenceInGapsFraction } from '../../../shared/agronomy/cover.ts';
import type { Case } from '../../../shared/model/range.ts';
import { closeTo } from '../../support/close-to.ts';

const DAYS = 60;
const FIRST = 20_500;
const THRESHOLD = 0.8;
const rounding = { within: 1e-6, because: 'sixty shares, and bands kept in single precision' };

/** Emergence straight from one day to another; control 0.9 on covered days, else 0.1. */
function seasonOf(emerges: readonly [number, number], covered: readonly (readonly [number, number])[]): FieldSeason {
  const [from, to] = emerges;
  const cumulative = Float64Array.from({ length: DAYS + 1 }, (_, day) =>
    Math.min(1, Math.max(0, (day - from) / (to - from))),
  );
  const control = Float64Array.from({ length: DAYS }, (_, day) =>
    covered.some(([start, end]) => day >= start && day < end) ? 0.9 : 0.1,
  );
  return {
    year: 2026,
    crop: 'soybean',
    plantedDay: FIRST + 10,
    plantedFrom: 'the crop plan',
    cropDay: FIRST + 18,
    cover: [],
    coverThresholdFraction: THRESHOLD,
    species: [
      {
        species: 'waterhemp',
        emergence: {
          firstDay: FIRST,
          cumulative,
          firstEmergenceDay: FIRST + from,
          basis: 'sighting',
          basisText: 'as seen',
        },
        cohorts: [],
        control,
        inGapsFraction: emergenceInGapsFraction(cumulative, control, THRESHOLD),
        escapingFraction: emergenceEscapingFraction(cumulative, control),
        gapDays: null,
      },
    ],
    escapeDelayDays: {},
  };
}

const byCase: SeasonByCase = {
  mild: seasonOf([12, 48], [[10, 45]]),
  central: seasonOf(
    [10, 50],
    [
      [10, 25],
      [35, 45],
    ],
  ),
  harsh: seasonOf(
    [8, 52],
    [
      [10, 20],
      [38, 42],
    ],
  ),
};

describe('the strip of one weed', () => {
  const strip = speciesStrip(byCase, 'waterhemp')!;

  it('draws bands that hold every case', () => {
    for (let day = 0; day < DAYS; day++) {
      expect(strip.emerged.low[day]!).toBeLessThanOrEqual(strip.emerged.central[day]!);
      expect(strip.emerged.central[day]!).toBeLessThanOrEqual(strip.emerged.high[day]!);
    }
    expect(strip.controlled.low[30]).toBeCloseTo(0.1);
    expect(strip.controlled.high[30]).toBeCloseTo(0.9);
  });

  it('has the gaps of the central case, to the day on which the last come up', () => {
    expect(strip.gaps.map(({ fromDay, toDay }) => [fromDay - FIRST, toDay - FIRST])).toEqual([
      [0, 9],
      [25, 34],
      [45, 49],
    ]);
  });

  it.each(['mild', 'central', 'harsh'] as const)(
    'shares the emergence without cover out over the gaps with nothing left over, %s',
    (which) => {
      const one = { mild: byCase[which], central: byCase[which], harsh: byCase[which] };
      const alone = speciesStrip(one, 'waterhemp')!;
      const sum = alone.gaps.reduce((all, gap) => all + gap.shareFraction.central!, 0);
      closeTo(sum, byCase[which].species[0]!.inGapsFraction!, rounding);
    },
  );

  it('gives every gap day of every case to one gap: the ends of the ranges hold the sums of the cases', () => {
    const sum = (end: 'low' | 'central' | 'high') => strip.gaps.reduce((all, gap) => all + gap.shareFraction[end]!, 0);
    const of = (which: Case) => byCase[which].species[0]!.inGapsFraction!;
    closeTo(sum('central'), of('central'), rounding);
    expect(sum('low')).toBeLessThanOrEqual(Math.min(of('mild'), of('harsh')) + 1e-9);
    expect(sum('high')).toBeGreaterThanOrEqual(Math.max(of('mild'), of('harsh')) - 1e-9);
  });

  it('makes one gap of what only another case leaves open', () => {
    const covered = seasonOf([10, 50], [[0, DAYS]]);
    const open = seasonOf(
      [10, 50],
      [
        [0, 20],
        [30, DAYS],
      ],
    );
    const gaps = speciesStrip({ mild: covered, central: covered, harsh: open }, 'waterhemp')!.gaps;
    expect(gaps.map(({ fromDay, toDay }) => [fromDay - FIRST, toDay - FIRST])).toEqual([[20, 29]]);
    expect(gaps[0]!.shareFraction).toMatchObject({ low: 0, central: 0 });
    closeTo(gaps[0]!.shareFraction.high!, 0.25, rounding);
    expect(speciesStrip({ mild: covered, central: covered, harsh: covered }, 'waterhemp')!.gaps).toEqual([]);
  });

  it('is not drawn where the emergence is not known', () => {
    const unknown: FieldSeason = { ...byCase.mild, species: [{ ...byCase.mild.species[0]!, emergence: null }] };
    expect(speciesStrip({ ...byCase, mild: unknown }, 'waterhemp')).toBeNull();
    expect(speciesStrip(byCase, 'kochia')).toBeNull();
  });
});
