import { describe, expect, test } from 'vitest';
import { gridOver } from '../../../shared/geometry/grid.ts';
import { ringAreaM2 } from '../../../shared/geometry/ring.ts';
import { assumePath } from '../../../shared/harvest/assumed-path.ts';
import { planDrive } from '../../../shared/harvest/drive-plan.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { casesOf, type Point, polygonOf } from './support.ts';

/** Lengths of inset lines: 0.2 mm a corner (ARCHITECTURE §5); the cases have four to eight a ring, insets along a slant double it. */
const CORNER_M = 2e-4;
const BECAUSE = 'insets stand on a 0.1 mm grid: 0.2 mm a corner (ARCHITECTURE §5)';

describe('assumed path', () => {
  test.each(casesOf('assumed-path'))('$name: laps, strips and their drives', ({ given, expected }) => {
    const [polygon] = polygonOf(given.polygon);
    const corners = (given.polygon as Point[][]).flat().length;
    const plan = planDrive(polygon!, given.width_m, given.laps, given.heading_deg);
    let worst = 0;
    const near = (got: number, want: number, ends: number) => {
      worst = Math.max(worst, Math.abs(got - want) / ends);
      closeTo(got, want, { within: CORNER_M * ends, because: BECAUSE });
    };
    expect(plan.lapLengthsM.length).toBe(expected.laps_m.length);
    expected.laps_m.forEach((want: number, i: number) => near(plan.lapLengthsM[i]!, want, corners));
    expect(plan.stripsAlongM.length).toBe(expected.strips);
    const inner = plan.inner.reduce((sum, rings) => sum + rings.reduce((area, ring) => area + ringAreaM2(ring), 0), 0);
    closeTo(inner, expected.inner_m2, { within: 5e-5 * 1500, because: 'overlay grid × perimeter (ARCHITECTURE §5)' });
    let drives = 0;
    (expected.pieces_along_m ?? []).forEach((want: Point[], k: number) => {
      const got = plan.stripsAlongM[k]!;
      expect(got.length).toBe(want.length);
      want.forEach(([from, to], i) => {
        // On a slant the end moves by the grid over its sine.
        near(got[i]![0], from, 4);
        near(got[i]![1], to, 4);
        drives++;
      });
    });
    if (expected.strip_drive_m !== undefined) near(plan.stripLengthM, expected.strip_drive_m, 2 * drives);
    if (expected.last_strip_useful_width_m !== undefined) {
      near(plan.lastStripUsefulWidthM, expected.last_strip_useful_width_m, 4);
    }
    const driven = plan.stripLengthM + plan.lapLengthsM.reduce((a, b) => a + b, 0);
    near(driven, expected.drive_m, 2 * drives + 2 * corners);
    recordAgreement('harvest-path', 'assumed path, length a corner', worst, CORNER_M, 'm');
  });

  test.each(casesOf('assumed-path'))(
    '$name: what is driven has those lengths and covers the field',
    ({ given, expected }) => {
      const boundary = polygonOf(given.polygon);
      const all = (given.polygon as Point[][])[0]!;
      const grid = gridOver([0, 0, Math.max(...all.map((p) => p[0])), Math.max(...all.map((p) => p[1]))], 5);
      for (const reverse of [false, true]) {
        const path = assumePath({
          boundary,
          headerWidthM: given.width_m,
          headlandLaps: given.laps,
          headingDeg: given.heading_deg,
          grid,
          startS: 0,
          reverse,
        });
        expect(path.assumed).toBe(true);
        let cutM = 0;
        for (let k = 0; k + 1 < path.count; k++) {
          expect(path.timeS[k + 1]!).toBeGreaterThan(path.timeS[k]!);
          if (path.cutting[k] === 1) cutM += Math.hypot(path.xM[k + 1]! - path.xM[k]!, path.yM[k + 1]! - path.yM[k]!);
        }
        closeTo(cutM, expected.drive_m, { within: 0.05, because: BECAUSE });
        // Nothing is left uncut on straight-sided fields with corners no sharper than the mitre limit.
        expect(path.coverageFraction).toBe(1);
        const area = boundary[0]!.reduce((sum, ring) => sum + ringAreaM2(ring), 0);
        closeTo(path.coveredAreaM2, area, {
          within: 0.01 * area,
          because: 'share × swath at 1 m where strips overlap laps',
        });
      }
    },
  );
});
