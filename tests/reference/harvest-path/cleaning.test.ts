import { describe, expect, test } from 'vitest';
import {
  CLEANING_LIMITS,
  type CleaningLimits,
  FLAG,
  flagMotion,
  flagNames,
  flagRamps,
  orderRecords,
} from '../../../shared/harvest/clean-log.ts';
import { rampFromPasses } from '../../../shared/harvest/ramp.ts';
import {
  globalStatistics,
  isGlobalOutlier,
  isLocalOutlier,
  isOverlap,
  localStatistics,
} from '../../../shared/harvest/yield-flags.ts';
import { segmentPasses } from '../../../shared/harvest/passes.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { caseNamed, casesOf } from './support.ts';

function limitsOf(given: Record<string, number>): CleaningLimits {
  return {
    ...CLEANING_LIMITS,
    gapS: given['gap_s']!,
    jumpSpeedMS: given['jump_speed_m_s']!,
    speedLowMS: given['speed_low_m_s']!,
    speedHighMS: given['speed_high_m_s']!,
    speedChangeFraction: given['speed_change_fraction']!,
    moistureLowFraction: given['moisture_low_pct']! / 100,
    moistureHighFraction: given['moisture_high_pct']! / 100,
    rampStartS: given['ramp_start_s']!,
    rampEndS: given['ramp_end_s']!,
    globalK: given['global_k']!,
  };
}

describe('cleaning flags of a log', () => {
  test.each(casesOf('cleaning').filter((one) => one.given.log !== undefined))(
    '$name: $title',
    ({ given, expected }) => {
      const log = given.log as Record<string, number[]>;
      const limits = limitsOf(given.limits);
      const count = log['t']!.length;
      const flags = new Uint16Array(count);
      const timeS = Float64Array.from(log['t']!);
      const xM = Float64Array.from(log['x']!);
      const yM = Float64Array.from(log['y']!);
      const order = orderRecords(timeS, xM, yM, limits, flags);
      const moistureFraction = Float32Array.from(log['moisture']!, (m) => m / 100);
      flagMotion(
        { timeS, xM, yM, speedMS: log['speed']!, headerDown: log['header']!, moistureFraction },
        order,
        limits.gapS,
        limits,
        flags,
      );
      const pass = segmentPasses(
        Float64Array.from(order.path, (i) => timeS[i]!),
        Uint8Array.from(order.path, (i) => log['header']![i]!),
        new Float64Array(order.path.length).fill(90),
        { gapS: limits.gapS, turnDeg: 60, minRecords: 3 },
      );
      const runs: number[][] = [];
      pass.forEach((id, k) => id >= 0 && (runs[id] ??= []).push(order.path[k]!));
      expect(runs).toEqual(expected.passes);

      flagRamps(timeS, order.path, pass, { startS: limits.rampStartS, endS: limits.rampEndS }, flags);
      const statistics = globalStatistics(log['yield']!, flags)!;
      const { median, mad_scaled, used } = expected.global_statistics;
      closeTo(statistics.median, median, { within: 1e-12 * median, because: 'one-decimal yields' });
      closeTo(statistics.madScaled, mad_scaled, { within: 1e-11 * mad_scaled, because: 'the case has 12 digits' });
      expect(statistics.used).toBe(used);
      for (const i of order.kept) {
        if (flags[i]! & (FLAG['header-up'] | FLAG['position-jump'])) continue;
        if (isGlobalOutlier(log['yield']![i]!, statistics, limits)) flags[i]! |= FLAG['yield-global'];
      }
      const found = Array.from(flags, (bits) => flagNames(bits).sort());
      expect(found).toEqual(expected.flags);
      recordAgreement('harvest-path', 'records flagged otherwise than the cases', 0, 0, 'records');
    },
  );

  test('overlap: a newly cut share under 0.3 is flagged, 0.3 itself is not', () => {
    const { given, expected } = caseNamed('overlap');
    const limits = { ...CLEANING_LIMITS, overlapFraction: given.limit };
    const found = given.new_area_m2.map((fresh: number, i: number) => isOverlap(fresh, given.swath_area_m2[i], limits));
    expect(found).toEqual(expected.flagged);
  });

  test('ramp-length-from-the-data: where the median profile reaches 95 %', () => {
    const { given, expected, tolerance } = caseNamed('ramp-length-from-the-data');
    const ramp = rampFromPasses(given.yield_by_pass);
    let worst = 0;
    expected.median_profile.forEach((want: number, k: number) => {
      worst = Math.max(worst, Math.abs(ramp.profile[k]! - want));
      closeTo(ramp.profile[k]!, want, { within: tolerance.profile_absolute, because: 'arithmetic' });
    });
    closeTo(ramp.steps!, expected.ramp_s, { within: tolerance.ramp_s, because: 'one record either way' });
    recordAgreement('harvest-path', 'ramp profile', worst, tolerance.profile_absolute, 'share of the median');
  });

  test('local-outliers: Moran finds the low spike, the robust local z both', () => {
    const { given, expected, tolerance } = caseNamed('local-outliers');
    const count = given.x.length;
    const steps = localStatistics(given.x, given.y, given.yield_kg_ha, new Uint8Array(count).fill(1), given.radius_m);
    let next = steps.next();
    while (!next.done) next = steps.next();
    const local = next.value;
    let worst = 0;
    const moranOnly: number[] = [];
    const zOnly: number[] = [];
    const either: number[] = [];
    for (let i = 0; i < count; i++) {
      for (const [got, want] of [
        [local.moran[i]!, expected.local_moran[i]],
        [local.moranZ[i]!, expected.moran_z[i]],
      ] as const) {
        const error = Math.abs(got - want) / Math.max(Math.abs(want), 1e-2);
        worst = Math.max(worst, error);
        closeTo(error, 0, { within: tolerance.moran_relative, because: 'formula; relative down to 0.01' });
      }
      if (expected.local_z[i] === null) expect(local.localZ[i]).toBeNaN();
      else closeTo(local.localZ[i]!, expected.local_z[i], { within: 1e-9, because: 'medians' });
      if (local.moran[i]! < 0 && local.moranZ[i]! < -1.6448536269514722) moranOnly.push(i);
      if (Math.abs(local.localZ[i]!) > 5) zOnly.push(i);
      if (isLocalOutlier(local, i, CLEANING_LIMITS)) either.push(i);
    }
    expect(moranOnly).toEqual(expected.flagged_by_moran);
    expect(zOnly).toEqual(expected.flagged_by_local_z_over_5);
    expect(either).toEqual([...expected.planted].sort((a, b) => a - b));
    recordAgreement('harvest-path', 'local Moran and its z', worst, tolerance.moran_relative, 'relative');
  });
});
