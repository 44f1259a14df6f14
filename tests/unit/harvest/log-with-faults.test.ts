import { describe, expect, test } from 'vitest';
import { FLAG } from '../../../shared/harvest/clean-log.ts';
import { joinLogs } from '../../../shared/harvest/join-logs.ts';
import { closeTo } from '../../support/close-to.ts';
import { codes, emptyLog, inventedFrame, inventedLog, pick, place, retrace } from '../../support/invented-log.ts';

describe('what a log may lack', () => {
  test('without a header state only passes cut, and turns are found by heading', () => {
    const log = inventedLog();
    const whole = retrace(log);
    log.headerDown.fill(1);
    const path = retrace(log);
    expect(codes(path)).toContain('no-header-state');
    expect(Math.max(...path.pass) + 1).toBeGreaterThanOrEqual(10);
    closeTo(path.coveredAreaM2 / whole.coveredAreaM2, 1, { within: 0.06, because: 'pieces of turns at the row ends' });
  });

  test('without a heading it comes from two meters of travel; a wrong one is not believed', () => {
    const log = inventedLog();
    expect(codes(retrace(log))).toContain('no-heading');
    log.headingDeg.fill(0);
    const path = retrace(log);
    expect(codes(path)).toContain('heading-not-believed');
    closeTo(path.headingDeg[20]!, 90, { within: 3, because: '3 cm of noise over 2 m' });
  });

  test('a missing width is the machine’s, and says so; a width of 0 is a header that is up', () => {
    const log = inventedLog({ passes: 2 });
    log.swathM.fill(NaN);
    log.swathM[20] = 0;
    const path = retrace(log, { headerWidthM: 9 });
    expect(codes(path)).toContain('swath-from-machine');
    expect(path.cutting[20]).toBe(0);
    expect(path.flags[20]! & FLAG['header-up']).not.toBe(0);
    expect(path.swathM[30]).toBe(9);
    log.swathM.fill(4.5, 40, 45);
    const narrow = retrace(log, { headerWidthM: 9 }).problems.find((one) => one.code === 'narrow-swaths');
    expect(narrow?.text).toMatch(/^5 records/);
  });

  test('a pause with the header down on a straight is bridged and flagged; a longer one is not', () => {
    const log = inventedLog({ passes: 1 });
    const keep = (from: number, to: number) =>
      retrace(
        pick(
          log,
          Array.from({ length: log.count }, (_, i) => i).filter((i) => i < from || i >= to),
        ),
      );
    const whole = retrace(log);
    const bridged = keep(60, 90);
    expect(bridged.flagged.bridged).toBe(1);
    expect(bridged.flags[60]! & FLAG['gap-before']).not.toBe(0);
    expect(bridged.running[59]).toBe(1);
    closeTo(bridged.coveredAreaM2 / whole.coveredAreaM2, 1, { within: 0.001, because: 'a straight swath' });
    expect(bridged.yieldKgHa[59]).toBeNaN();
    const open = keep(60, 125);
    expect(open.flagged.bridged).toBe(0);
    expect(open.running[59]).toBe(0);
    expect(open.cutting[59]).toBe(0);
    closeTo(whole.coveredAreaM2 - open.coveredAreaM2, 66 * 1.8 * 9, {
      within: 1,
      because: 'the interval before goes too',
    });
  });

  test('jumps of the receiver leave the path, and its swath closes over them', () => {
    const log = inventedLog({ passes: 2 });
    const whole = retrace(log);
    place(log, 50, 400, 300);
    [120, 121, 122].forEach((i) => place(log, i, 900 + i, -300));
    const path = retrace(log);
    expect([50, 120, 121, 122].every((i) => path.flags[i]! & FLAG['position-jump'])).toBe(true);
    expect(path.flagged['position-jump']).toBe(4);
    expect(path.count).toBe(log.count - 4);
    closeTo(path.coveredAreaM2 / whole.coveredAreaM2, 1, { within: 0.001, because: 'straight over the jumps' });
  });

  test('a receiver that starts at 0, 0 does not stretch the map to Africa', () => {
    const log = inventedLog({ passes: 2 });
    for (let i = 0; i < 8; i++) {
      log.lon[i] = 0;
      log.lat[i] = 0;
    }
    const path = retrace(log);
    expect(path.problems.find((one) => one.code === 'far-away')?.text).toMatch(/^8 records/);
    expect(path.count).toBe(log.count - 8);
    expect(path.owner.segment.length).toBeLessThan(1e6);
  });

  test('a log over fields far apart is counted in larger sub-cells, and says so', () => {
    const near = inventedLog({ passes: 2 });
    const far = inventedLog({ passes: 2 });
    for (let i = 0; i < far.count; i++) {
      far.lon[i]! += 0.2;
      far.lat[i]! += 0.15;
      far.timeS[i]! += 86_400;
    }
    const path = retrace(joinLogs([near, far]));
    expect(codes(path)).toContain('coarse-raster');
    closeTo(path.coveredAreaM2 / (2 * retrace(near).coveredAreaM2), 1, {
      within: 0.02,
      because: 'sub-cells of 2.5 m and more',
    });
  });

  test('more than 40 % flagged is a warning', () => {
    const log = inventedLog({ passes: 4 });
    log.moistureFraction.fill(0.9);
    expect(codes(retrace(log))).toContain('many-flagged');
  });

  test('times in steps of 0.864 s are evened out, so that speed and yield are not noise', () => {
    const log = inventedLog();
    for (let i = 0; i < log.count; i++) log.timeS[i] = Math.ceil(log.timeS[i]! / 0.864) * 0.864;
    const path = retrace(log);
    expect(codes(path)).toContain('coarse-times');
    expect(path.flagged['speed-change']).toBeLessThan(0.05 * log.count);
  });

  test('two machines in one log are told apart instead of taken for jumps', () => {
    const one = inventedLog();
    const two = inventedLog({ seed: 5 });
    const shifted = emptyLog(two.count);
    for (let i = 0; i < two.count; i++) {
      const [x, y] = inventedFrame.toLocal(two.lon[i]!, two.lat[i]!);
      place(shifted, i, x + 20, y + 200);
    }
    const path = retrace(joinLogs([one, { ...two, lon: shifted.lon, lat: shifted.lat }]));
    expect(codes(path)).toContain('several-machines');
    expect(path.count).toBe(2 * one.count);
    expect(path.flagged['position-jump'] + path.flagged['duplicate-time']).toBe(0);
    closeTo(path.coveredAreaM2 / (2 * retrace(one).coveredAreaM2), 1, {
      within: 0.003,
      because: 'share × swath at 1 m',
    });
    const back = Array.from(path.timeS).filter((t, k) => k > 0 && t < path.timeS[k - 1]!).length;
    expect(back).toBe(1);
    expect(path.running.reduce((sum, runs) => sum + (runs === 0 ? 1 : 0), 0)).toBe(2);
  });
});
