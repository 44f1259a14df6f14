/**
 * Source: our cases.json, made by make_cases.py (python 3.11, numpy 1.24.2, scipy 1.10.1, 2026-11-25): single sine against
 * quadrature, Weibull against scipy, rate-fraction law asserted there. All 16 cases, none left out.
 */
import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import {
  activeFromIndex,
  controlByDay,
  coverDays,
  coverDaysAtRate,
  coverGaps,
  doseAtThreshold,
  doseLeft,
  emergenceEscapingFraction,
  emergenceInGapsFraction,
  residualControl,
} from '../../../shared/agronomy/cover.ts';
import {
  degreeDays,
  degreeDaysAverage,
  degreeDaysModifiedAverage,
  degreeDaysSine,
  hydrothermalTime,
} from '../../../shared/agronomy/degree-days.ts';
import {
  gompertzDegreeDays,
  gompertzEmergence,
  weibullDegreeDays,
  weibullEmergence,
} from '../../../shared/agronomy/emergence-curve.ts';
import {
  exponentialDegreeDaysBetween,
  firstDayAtHeight,
  linearDegreeDaysBetween,
  logisticDegreeDaysBetween,
  logisticHeight,
} from '../../../shared/agronomy/height.ts';
import { sprayHours } from '../../../shared/agronomy/spray-hours.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

/* eslint-disable-next-line @typescript-eslint/no-explicit-any -- the cases differ in shape */
type Loose = any;
interface Reference {
  name: string;
  group: string;
  title: string;
  given: Loose;
  expected: Loose;
  tolerance: { absolute?: number; height_relative?: number };
  because: string;
}

const cases = (JSON.parse(readFileSync(new URL('cases.json', import.meta.url), 'utf8')) as { cases: Reference[] })
  .cases;

const largest = new Map<string, number>();
const tolerances = new Map<string, number>();

/** Compares within the case's tolerance and remembers the largest difference of its group. */
function agrees(one: Reference, actual: number, expected: number, within = one.tolerance.absolute!): void {
  largest.set(one.group, Math.max(largest.get(one.group) ?? 0, Math.abs(actual - expected)));
  tolerances.set(one.group, Math.max(tolerances.get(one.group) ?? 0, within));
  closeTo(actual, expected, { within, because: one.because });
}

const runningSumAt = (values: number[], at: number[]): number[] => {
  let sum = 0;
  const sums = values.map((value) => (sum += value));
  return at.map((i) => sums[i]!);
};

/** Emergence of the cover cases: Weibull, F before day i = W(i), so that day i holds W(i + 1) − W(i). */
const coverEmergence = (days: number): Float64Array =>
  Float64Array.from({ length: days + 1 }, (_, i) => weibullEmergence(i, 35, 1.8, 5));

const checks: Record<string, (one: Reference) => void> = {
  'one-day'(one) {
    for (const row of one.expected.rows) {
      const upper = row.upper_c ?? Infinity;
      agrees(one, degreeDaysAverage(row.min_c, row.max_c, row.base_c, upper), row.average);
      agrees(one, degreeDaysSine(row.min_c, row.max_c, row.base_c, upper), row.single_sine);
      if (row.modified_average === null)
        expect(() => degreeDays('modified average', row.min_c, row.max_c, row.base_c)).toThrow(/upper limit/);
      else agrees(one, degreeDaysModifiedAverage(row.min_c, row.max_c, row.base_c, upper), row.modified_average);
    }
  },
  'season-of-120-days'(one) {
    const { min_c, max_c, base_c, upper_c } = one.given;
    const { at_day_index: at } = one.expected;
    const methods = [
      ['average', 'average'],
      ['modified average', 'modified'],
      ['single sine', 'sine'],
    ] as const;
    for (const [method, key] of methods) {
      const days = (min_c as number[]).map((min, i) => degreeDays(method, min, max_c[i], base_c, upper_c));
      runningSumAt(days, at).forEach((sum, i) => agrees(one, sum, one.expected[key][i]));
    }
  },
  'hydrothermal-time'(one) {
    const { min_c, max_c, water_potential_mpa: potential, base_c, base_mpa } = one.given;
    const { at_day_index: at } = one.expected;
    const mean = (min_c as number[]).map((min, i) => (min + max_c[i]) / 2);
    for (const form of ['switch', 'product'] as const) {
      const days = mean.map((t, i) => hydrothermalTime(form, t, potential[i], base_c, base_mpa));
      runningSumAt(days, at).forEach((sum, i) => agrees(one, sum, one.expected[form][i]));
      expect(days.filter((warm) => warm > 0).length).toBe(one.expected.days_on);
    }
  },
  weibull(one) {
    const { x, scale, shape, lag } = one.given;
    (x as number[]).forEach((at, i) => agrees(one, weibullEmergence(at, scale, shape, lag), one.expected.share[i]));
    for (const [share, at] of Object.entries<number>(one.expected.at_share))
      // The case prints 12 digits of numbers up to 690.
      agrees(one, weibullDegreeDays(Number(share), scale, shape, lag), at, 1e-9);
  },
  gompertz(one) {
    const { x, b, k } = one.given;
    (x as number[]).forEach((at, i) => agrees(one, gompertzEmergence(at, b, k), one.expected.share[i]));
    agrees(one, gompertzEmergence(0, b, k), one.expected.share_at_zero);
    for (const [share, at] of Object.entries<number>(one.expected.at_share))
      agrees(one, gompertzDegreeDays(Number(share), b, k), at, 1e-9);
  },
  'days-of-cover'(one) {
    for (const row of one.expected.rows) {
      const days = coverDays(row.dose_fraction, row.dt50_d, row.half_control_dose, row.slope, row.threshold);
      agrees(one, days, row.cover_d);
      agrees(one, doseAtThreshold(row.half_control_dose, row.slope, row.threshold), row.dose_at_threshold);
      const left = doseLeft(row.dose_fraction, days, row.dt50_d);
      agrees(one, residualControl(left, row.half_control_dose, row.slope), row.control_at_end);
    }
  },
  'rate-fraction-costs-days'(one) {
    const { dt50_d, half_control_dose, slope, threshold } = one.given;
    const full = coverDays(1, dt50_d, half_control_dose, slope, threshold);
    for (const row of one.expected.rows) {
      const days = coverDays(row.rate_fraction, dt50_d, half_control_dose, slope, threshold);
      agrees(one, days, row.cover_d);
      agrees(one, full - days, row.lost_d);
      agrees(one, dt50_d * Math.log2(1 / row.rate_fraction), row.lost_by_law_d);
      // The same through q, the share of the days lost per halving.
      agrees(one, coverDaysAtRate(full, row.rate_fraction, dt50_d / full), row.cover_d);
    }
  },
  'activating-rain'(one) {
    const found = (one.given.cases as Loose[]).map((c) =>
      activeFromIndex(one.given.rain_mm, one.given.day, c.need_mm, c.within_d),
    );
    expect(found).toEqual(one.expected.active_from);
  },
  'degree-days-between-heights'(one) {
    const { k_cm, r, h1_cm, h2_cm, linear_cm_per_gdd } = one.given;
    agrees(one, logisticDegreeDaysBetween(h1_cm, h2_cm, k_cm, r), one.expected.logistic);
    agrees(one, exponentialDegreeDaysBetween(h1_cm, h2_cm, r), one.expected.exponential);
    agrees(one, linearDegreeDaysBetween(h1_cm, h2_cm, linear_cm_per_gdd), one.expected.linear);
  },
  'days-in-the-window'(one) {
    const { min_c, max_c, base_c, upper_c, emergence_day, h0_cm, k_cm, r } = one.given;
    const heights: number[] = [];
    let gdd = 0;
    for (let day = emergence_day; day <= min_c.length; day++) {
      heights.push(logisticHeight(gdd, h0_cm, k_cm, r));
      gdd += degreeDaysAverage(min_c[day], max_c[day], base_c, upper_c);
    }
    const first = emergence_day + firstDayAtHeight(heights, 5)!;
    const second = emergence_day + firstDayAtHeight(heights, 10)!;
    expect([first, second, second - first]).toEqual([
      one.expected.day_at_5_cm,
      one.expected.day_at_10_cm,
      one.expected.window_d,
    ]);
    (one.expected.height_by_day as number[]).forEach((height, i) =>
      agrees(one, heights[i]!, height, one.tolerance.height_relative! * height),
    );
  },
  'two-days-hourly'(one) {
    const { limits } = one.given;
    const hours = sprayHours(
      {
        windMS: one.given.wind_m_s,
        temperatureC: one.given.temp_c,
        humidityPercent: one.given.rh_pct,
        rainMm: one.given.rain_mm,
        firstHour: 0,
      },
      {
        windLowMS: limits.wind_low_m_s,
        windHighMS: limits.wind_high_m_s,
        temperatureLowC: limits.temp_low_c,
        temperatureHighC: limits.temp_high_c,
        humidityLowPercent: limits.rh_low_pct,
        dryHoursAfter: limits.dry_hours_after,
        dryMm: 0.2,
        daylightFromH: limits.daylight_from_h,
        daylightToH: limits.daylight_to_h,
        runAtLeastH: limits.run_at_least_h,
      },
    );
    expect(hours.reasons).toEqual(one.expected.reasons);
    expect(hours.goodHours).toBe(one.expected.good_hours);
    expect(hours.runs).toEqual(one.expected.runs);
  },
};

/** The five seasons of cover share one shape. */
function coverSeason(one: Reference): void {
  const { applications, days, threshold } = one.given;
  const control = controlByDay(
    (applications as Loose[]).map((a) => ({
      sprayedIndex: a.day,
      activeFrom: a.active_from,
      rateFraction: a.dose,
      halvingDays: a.dt50_d,
      halfControlDose: a.c50,
      slope: a.h,
      maxControl: 1,
    })),
    new Float64Array(days),
  );
  (one.expected.at_days as number[]).forEach((day, i) => agrees(one, control[day]!, one.expected.control[i]));
  const gaps = coverGaps(control, threshold);
  expect(gaps.gapDays).toBe(one.expected.gap_days);
  expect(gaps.spells).toEqual(one.expected.gaps);
  const emergence = coverEmergence(days);
  agrees(one, emergenceInGapsFraction(emergence, control, threshold), one.expected.emergence_in_gaps);
  agrees(one, emergenceEscapingFraction(emergence, control), one.expected.emergence_escaping);
}

describe('emergence and cover agree with the reference', () => {
  it('every case of the topic is checked', () => {
    expect(cases.length).toBe(16);
    for (const one of cases) expect(checks[one.name] !== undefined || 'applications' in one.given).toBe(true);
  });
  it.each(cases.map((one) => [`${one.group}: ${one.name}`, one] as const))('%s', (_, one) => {
    (checks[one.name] ?? coverSeason)(one);
  });
  afterAll(() => {
    const units: Record<string, string> = {
      'degree-days': '°C d',
      emergence: 'share or °C d',
      cover: 'share or days',
      height: 'cm or °C d',
    };
    for (const [group, error] of largest)
      recordAgreement('emergence-cover', group, error, tolerances.get(group)!, units[group] ?? '');
  });
});
