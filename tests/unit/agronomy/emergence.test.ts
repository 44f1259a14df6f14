import { describe, expect, it } from 'vitest';
import { dailyAirOf, fillDailyAir } from '../../../shared/agronomy/daily-air.ts';
import type { DailyAir } from '../../../shared/agronomy/daily-air.ts';
import { emergenceOfSeason, emergenceParameters, northernSeason } from '../../../shared/agronomy/emergence.ts';
import { resolveParameters } from '../../../shared/agronomy/parameter.ts';
import { SPECIES } from '../../../shared/agronomy/species.ts';
import type { SpeciesId } from '../../../shared/agronomy/species.ts';
import { dayNumberOf, dayText } from '../../../shared/units/calendar.ts';

const YEAR = 2025;
/** A smooth invented year of the Corn Belt: mean −5 °C in January, 24 °C in July. */
function air(from = dayNumberOf(YEAR, 1, 1), days = 365): DailyAir {
  const mean = (day: number) => 9.5 - 14.5 * Math.cos(((day - dayNumberOf(YEAR, 1, 20)) / 365) * 2 * Math.PI);
  return {
    firstDay: from,
    minC: Float64Array.from({ length: days }, (_, i) => mean(from + i) - 6),
    maxC: Float64Array.from({ length: days }, (_, i) => mean(from + i) + 6),
  };
}
const season = (
  species: SpeciesId,
  weather: DailyAir | null,
  firstSeenDay: number | null = null,
  which: 'mild' | 'central' | 'harsh' = 'central',
) =>
  emergenceOfSeason(
    species,
    YEAR,
    { air: weather, firstSeenDay },
    resolveParameters(emergenceParameters(species), which),
  );
const codes = (one: { problems: readonly { code: string }[] }) => one.problems.map(({ code }) => code);

describe('emergence of a season', () => {
  it('refuses a species without any evidence of when it comes, and says what would help', () => {
    const none = season('horseweed', air());
    expect(none.ok).toBe(false);
    expect(codes(none)).toEqual(['emergence-unknown']);
    expect(season('velvetleaf', null).ok).toBe(false);
  });

  it('never falls, starts at nothing and ends at all, on whatever basis', () => {
    let told = 0;
    for (const { id } of SPECIES)
      for (const which of ['mild', 'central', 'harsh'] as const)
        for (const given of [
          season(id, air(), null, which),
          season(id, null, null, which),
          season(id, air(), dayNumberOf(YEAR, 5, 3), which),
        ]) {
          if (!given.ok) continue;
          told++;
          const { cumulative, firstDay, firstEmergenceDay } = given.value;
          expect(cumulative.length).toBe(366);
          expect(cumulative[0]).toBe(0);
          expect(cumulative[firstEmergenceDay - firstDay]).toBe(0);
          expect(cumulative[365]!, `${id} ${which} ${given.value.basisText}`).toBeGreaterThan(0.95);
          for (let i = 0; i < 365; i++)
            expect(cumulative[i + 1]! >= cumulative[i]! && cumulative[i + 1]! <= 1).toBe(true);
        }
    expect(told).toBeGreaterThan(60);
  });

  it('dates waterhemp from air temperature in late April to late May of a Corn Belt year', () => {
    const one = season('waterhemp', air());
    if (!one.ok) throw new Error('refused');
    expect(one.value.basis).toBe('air temperature');
    expect(
      dayText(one.value.firstEmergenceDay) > '2025-04-15' && dayText(one.value.firstEmergenceDay) < '2025-05-31',
    ).toBe(true);
  });

  it('lets a sighting move the curve and override the temperature', () => {
    const seen = dayNumberOf(YEAR, 5, 20);
    const one = season('waterhemp', air(), seen);
    if (!one.ok) throw new Error('refused');
    expect([one.value.basis, one.value.firstEmergenceDay]).toEqual(['sighting', seen]);
    expect(one.value.cumulative[seen - one.value.firstDay + 1]).toBeGreaterThan(0);
    const early = season('waterhemp', air(), seen - 14);
    if (!early.ok) throw new Error('refused');
    expect(early.value.cumulative[seen + 20 - early.value.firstDay]!).toBeGreaterThan(
      one.value.cumulative[seen + 20 - early.value.firstDay]!,
    );
  });

  it('falls back on the calendar without weather, later in the harsh case, and says so', () => {
    const [central, harsh] = [season('waterhemp', null), season('waterhemp', null, null, 'harsh')];
    if (!central.ok || !harsh.ok) throw new Error('refused');
    expect(central.value.basis).toBe('calendar band');
    expect(central.value.basisText).toContain('memory');
    const june15 = dayNumberOf(YEAR, 6, 15) - central.value.firstDay;
    expect(central.value.cumulative[june15]).toBeCloseTo(0.55, 12);
    expect(harsh.value.cumulative[june15]!).toBeLessThan(0.55);
  });

  it('does not count warmth from a record that starts too late, has a long hole or ends before the first seedlings', () => {
    const late = season('waterhemp', air(dayNumberOf(YEAR, 4, 1), 200));
    expect(late.ok && late.value.basis).toBe('calendar band');
    expect(codes(late)).toContain('weather-starts-late');

    const holed = air();
    for (let i = 80; i < 90; i++) holed.minC[i] = NaN;
    const gap = season('waterhemp', holed);
    expect(gap.ok && gap.value.basis).toBe('calendar band');
    expect(codes(gap)).toContain('weather-gap');

    const short = season('waterhemp', air(undefined, 90));
    expect(codes(short)).toContain('no-emergence-yet');
  });

  it('says where it goes on beyond the last day of weather', () => {
    const one = season('waterhemp', air(undefined, 160));
    expect(one.ok && one.value.basis).toBe('air temperature');
    expect(codes(one)).toContain('emergence-beyond-record');
  });

  it('spans the calendar year, leap years too', () => {
    expect(northernSeason(2024).days).toBe(366);
    expect(northernSeason(2025).days).toBe(365);
  });
});

describe('daily air', () => {
  it('spreads a record over every day and bridges short holes with a straight line, told', () => {
    const record = {
      day: Int32Array.of(10, 11, 14),
      minC: Float64Array.of(1, 2, 5),
      maxC: Float64Array.of(11, 12, 15),
    };
    const spread = dailyAirOf(record);
    expect(spread.minC.length).toBe(5);
    const filled = fillDailyAir(spread);
    if (!filled.ok) throw new Error('refused');
    expect([...filled.value.minC]).toEqual([1, 2, 3, 4, 5]);
    expect(codes(filled)).toEqual(['weather-bridged']);
    expect(() => dailyAirOf({ ...record, day: Int32Array.of(10, 9, 14) })).toThrow(/order/);
  });

  it('cuts missing days off both ends and refuses an empty record', () => {
    const ends = { firstDay: 5, minC: Float64Array.of(NaN, 3, NaN), maxC: Float64Array.of(9, 9, 9) };
    const filled = fillDailyAir(ends);
    expect(filled.ok && [filled.value.firstDay, filled.value.minC.length]).toEqual([6, 1]);
    expect(fillDailyAir({ firstDay: 0, minC: Float64Array.of(NaN), maxC: Float64Array.of(1) }).ok).toBe(false);
  });
});
