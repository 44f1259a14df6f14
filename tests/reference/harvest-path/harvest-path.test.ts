import { describe, expect, test } from 'vitest';
import { estimateDelay } from '../../../shared/harvest/delay.ts';
import { segmentPasses } from '../../../shared/harvest/passes.ts';
import { standardMassKg, yieldKgHa } from '../../../shared/harvest/yield-map.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { caseCount, caseNamed, casesOf, groups } from './support.ts';

describe('harvest path reference', () => {
  test('has 49 cases in seven groups, each gone through by the tests of this folder', () => {
    expect(caseCount).toBe(49);
    expect(groups).toEqual(['newly-cut-area', 'harvest-time', 'yield', 'cleaning', 'delay', 'passes', 'assumed-path']);
  });

  test('yield-of-a-record: mass at standard moisture over newly cut area', () => {
    const { expected, tolerance } = caseNamed('yield-of-a-record');
    let worst = 0;
    for (const row of expected.rows) {
      const mass = standardMassKg(row.flow_kg_s, row.dt_s, row.moisture_pct / 100, row.standard_pct / 100);
      const area = row.width_m * (1 - row.overlap_fraction) * row.speed_m_s * row.dt_s;
      for (const [got, want] of [
        [mass, row.standard_kg],
        [yieldKgHa(mass, area), row.yield_kg_ha],
      ]) {
        worst = Math.max(worst, Math.abs(got / want - 1));
        closeTo(got / want, 1, { within: 10 * tolerance.relative, because: 'the case itself has 12 digits' });
      }
    }
    recordAgreement('harvest-path', 'yield of a record', worst, 10 * tolerance.relative, 'relative');
  });

  test('field-totals: total mass over total area, not the mean of the records', () => {
    const { given, expected } = caseNamed('field-totals');
    let mass = 0;
    let area = 0;
    let mean = 0;
    for (const row of given.records) {
      mass += row.standard_kg;
      area += row.area_m2;
      mean += yieldKgHa(row.standard_kg, row.area_m2) / given.records.length;
    }
    closeTo(yieldKgHa(mass, area), expected.mean_kg_ha, { within: 1e-8, because: 'the case has 12 digits' });
    closeTo(mean, expected.mean_of_records_kg_ha, { within: 1e-8, because: 'the case has 12 digits' });
  });
});

describe('grain-flow delay', () => {
  test.each(casesOf('delay'))('$name', ({ given, expected, tolerance }) => {
    const log = given.log as [number, number, number, number, number, number][];
    const count = log.length;
    const column = (i: number) => Float64Array.from(log, (row) => row[i]!);
    const pass = Int32Array.from(log, (row) => row[3]);
    const headingDeg = Float64Array.from(log, (row) => (row[3] % 2 === 0 ? 90 : 270));
    const breakBefore = new Uint8Array(count);
    for (let k = 1; k < count; k++) if (log[k]![0] - log[k - 1]![0] > 5) breakBefore[k] = 1;
    const delay = estimateDelay(
      {
        timeS: column(0),
        xM: column(1),
        yM: column(2),
        speedMS: column(4),
        widthM: new Float64Array(count).fill(given.width_m),
        flowKgS: column(5),
        headingDeg,
        pass,
        breakBefore,
      },
      1,
    );
    expect(delay.candidatesS).toEqual(given.candidates_s);
    let worst = 0;
    expected.agreement.forEach((want: number, i: number) => {
      worst = Math.max(worst, Math.abs(delay.agreement[i]! - want));
      closeTo(delay.agreement[i]!, want, { within: tolerance.agreement_absolute, because: 'same pairs and feet' });
    });
    recordAgreement(
      'harvest-path',
      'agreement of neighbours at each delay',
      worst,
      tolerance.agreement_absolute,
      'correlation',
    );
    if (expected.decided === false) {
      expect(delay.decided).toBe(false);
      expect(delay.valueS).toBe(12);
      expect(delay.why).toContain('12 s is kept');
      return;
    }
    expect(delay.decided).toBe(true);
    const planted = expected.planted_s + expected.mixing_s;
    closeTo(delay.valueS, planted, {
      within: tolerance.estimate_s,
      because: 'noise 3 %; mixing adds about its own time constant',
    });
    closeTo(delay.valueS, expected.estimate_s, { within: 1e-4, because: 'the same parabola' });
    closeTo(delay.valueS, expected.by_cross_correlation_of_raw_passes_s, {
      within: 0.3 + 0.001,
      because: 'second route: raw passes shifted against each other on a 1 m line',
    });
    recordAgreement('harvest-path', 'planted delay', Math.abs(delay.valueS - planted), tolerance.estimate_s, 's');
  });
});

describe('passes', () => {
  test.each(casesOf('passes'))('$name: $title', ({ given, expected }) => {
    const pass = segmentPasses(given.t, given.header, given.heading_deg, {
      gapS: given.gap_s,
      turnDeg: given.turn_deg,
      minRecords: given.min_records,
    });
    expect(Array.from(pass)).toEqual(expected.pass_id);
    recordAgreement('harvest-path', 'records in another pass than the cases', 0, 0, 'records');
  });
});
