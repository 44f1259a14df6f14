import { describe, expect, test } from 'vitest';
import { gridOver } from '../../../shared/geometry/grid.ts';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';
import { type AssumedDrive, assumePath } from '../../../shared/harvest/assumed-path.ts';
import { longestSideHeadingDeg, planDrive } from '../../../shared/harvest/drive-plan.ts';
import { closeTo } from '../../support/close-to.ts';
import { rectangle } from '../../support/invented-log.ts';

const field = rectangle(0, 0, 400, 200);
const drive = (boundary: FlatMultiPolygon, more: Partial<AssumedDrive> = {}) =>
  assumePath({ boundary, headerWidthM: 9, grid: gridOver([0, 0, 500, 300], 5), startS: 1000, ...more });

describe('assumed path', () => {
  test('refuses a header or a speed that is not above 0', () => {
    expect(() => drive(field, { headerWidthM: 0 })).toThrow('header width above 0 m, got 0');
    expect(() => drive(field, { speedMS: 0 })).toThrow('speed above 0 m/s, got 0');
  });

  test('of no ground is no path', () => {
    const path = drive([]);
    expect(path.count).toBe(0);
    expect(path.coveredAreaM2).toBe(0);
  });

  test('says that it is assumed, along which heading, and knows no yield', () => {
    const path = drive(field);
    expect(path.assumed).toBe(true);
    expect(path.problems[0]!.text).toContain('a heading of 90° (the longest side of the field), 19 strips');
    expect(path.standardMassKg).toBeNull();
    expect(path.yieldGrid).toBeNull();
    expect(path.yieldKgHa.every((value) => value !== value)).toBe(true);
    expect(path.timeS[0]).toBe(1000);
  });

  test('time follows the speed, with the header up for each turn', () => {
    const path = drive(field, { speedMS: 2, turnS: 10 });
    let cutS = 0;
    let cutM = 0;
    let upS = 0;
    let turns = 0;
    for (let k = 0; k + 1 < path.count; k++) {
      const seconds = path.timeS[k + 1]! - path.timeS[k]!;
      if (path.cutting[k] === 1) {
        cutS += seconds;
        cutM += Math.hypot(path.xM[k + 1]! - path.xM[k]!, path.yM[k + 1]! - path.yM[k]!);
      } else {
        upS += seconds;
        if (k === 0 || path.cutting[k - 1] === 1) turns++;
      }
      expect(path.running[k]).toBe(1);
    }
    closeTo(cutM / cutS, 2, { within: 1e-9, because: 'even speed' });
    expect(turns).toBe(20); // 2 laps and 19 strips
    expect(upS).toBeGreaterThanOrEqual(200);
  });

  test('the other way round cuts the same ground in the other direction', () => {
    const ahead = drive(field);
    const back = drive(field, { reverse: true });
    expect(back.count).toBeGreaterThan(0);
    closeTo(back.coveredAreaM2, ahead.coveredAreaM2, { within: 0.002 * 80_000, because: 'share × swath at 1 m' });
    const first = (path: typeof ahead) => {
      let k = path.count - 2;
      while (path.cutting[k] === 1) k--;
      return path.headingDeg[k + 1]!;
    };
    closeTo(Math.abs(first(ahead) - first(back)), 180, { within: 1e-6, because: 'the last strip the other way' });
  });

  test('two parts are driven one after the other', () => {
    const path = drive([...rectangle(0, 0, 200, 100), ...rectangle(250, 0, 450, 100)]);
    expect(path.coverageFraction).toBe(1);
    let crossings = 0;
    for (let k = 0; k + 1 < path.count; k++) if (path.xM[k]! < 225 !== path.xM[k + 1]! < 225) crossings++;
    expect(crossings).toBe(1);
  });

  test('laps that find no room give way to strips, so that a narrow field is cut', () => {
    for (const height of [8, 15, 25, 40]) {
      const path = drive(rectangle(0, 0, 300, height));
      expect(path.coverageFraction).toBe(1);
    }
  });

  test('a neck narrower than the header is told as not reached', () => {
    const boundary: FlatMultiPolygon = [
      [Float64Array.of(0, 0, 100, 0, 100, 48, 400, 48, 400, 52, 100, 52, 100, 100, 0, 100)],
    ];
    const path = drive(boundary);
    expect(path.coverageFraction!).toBeLessThan(0.98);
    expect(path.problems.map((one) => one.code)).toContain('assumed-path-uncut');
  });

  test('the heading is that of the longest side of the smallest rectangle, whichever corner comes first', () => {
    for (const deg of [0, 17, 45, 90, 133, 179]) {
      const angle = (deg * Math.PI) / 180;
      const [ux, uy] = [Math.sin(angle), Math.cos(angle)];
      const at = (along: number, aside: number) => [along * ux + aside * uy, along * uy - aside * ux];
      const ring = Float64Array.from([at(0, 0), at(300, 0), at(300, -120), at(0, -120)].flat());
      const off = Math.abs(((longestSideHeadingDeg(ring) - deg + 270) % 180) - 90);
      closeTo(off, 0, { within: 1e-6, because: 'rounding' });
    }
  });

  test('fewest strips across the short side', () => {
    const along = planDrive(field[0]!, 9, 2, 90).stripsAlongM.length;
    expect(along).toBeLessThan(planDrive(field[0]!, 9, 2, 0).stripsAlongM.length);
    expect(along).toBe(Math.ceil((200 - 36) / 9));
  });
});
