import { describe, expect, test } from 'vitest';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { FLAG } from '../../../shared/harvest/clean-log.ts';
import { FLAG_NAMES } from '../../../shared/model/log-flags.ts';
import { retraceHarvest } from '../../../shared/harvest/harvest-path.ts';
import { swathQuads } from '../../../shared/harvest/swaths.ts';
import { areaM2, quadsOf } from '../../support/exact-newly-cut.ts';
import { union } from '../../../shared/geometry/clip.ts';
import { closeTo } from '../../support/close-to.ts';
import {
  codes,
  pick,
  emptyLog,
  inventedFrame,
  inventedLog,
  inventedYield,
  place,
  rectangle,
  retrace,
} from '../../support/invented-log.ts';

const SHARE = { within: 0.003, because: 'share × swath at 1 m over a whole field: about 0.1 %' };

describe('a log that is no log', () => {
  test.each([0, 1])('of %i records gives no path and says so', (count) => {
    const path = retrace(emptyLog(count));
    expect(path.count).toBe(count);
    expect(path.coveredAreaM2).toBe(0);
    expect(path.flags.length).toBe(count);
    expect(path.problems.map((one) => [one.code, one.level])).toContainEqual(['log-without-path', 'error']);
  });

  test('whose records have no place leaves them all out and keeps them in the log', () => {
    const log = emptyLog(30);
    log.lon.fill(NaN);
    const path = retrace(log);
    expect(path.count).toBe(0);
    expect(path.flags.length).toBe(30);
    expect(codes(path)).toContain('log-without-path');
  });

  test('whose cut width nobody knows is an error, not a guess', () => {
    const log = inventedLog({ passes: 2 });
    log.swathM.fill(NaN);
    const path = retrace(log, { headerWidthM: null });
    expect(path.coveredAreaM2).toBe(0);
    expect(path.problems.find((one) => one.code === 'no-swath')?.level).toBe('error');
  });
});

describe('the smallest log', () => {
  test('three records on a line cut two swaths', () => {
    const log = emptyLog(3);
    [0, 2, 4].forEach((x, i) => place(log, i, x, 0));
    const path = retrace(log);
    closeTo(path.coveredAreaM2, 36, { within: 1e-4, because: 'nothing overlaps; degrees and Float32' });
    expect(Array.from(path.cutting)).toEqual([1, 1, 0]);
    expect(Array.from(path.running)).toEqual([1, 1, 0]);
    expect(Array.from(path.pass)).toEqual([0, 0, 0]);
    closeTo(path.headingDeg[0]!, 90, { within: 1e-3, because: 'due east but for the frame’s convergence' });
  });
});

describe('laws', () => {
  const log = inventedLog();
  const path = retrace(log);

  test('records in = records out, each with its set of flags', () => {
    expect(path.flags.length).toBe(log.count);
    expect(FLAG_NAMES.length).toBeLessThanOrEqual(16);
    for (const name of FLAG_NAMES) {
      const counted = path.flags.reduce((sum, bits) => sum + (bits & FLAG[name] ? 1 : 0), 0);
      expect(path.flagged[name]).toBe(counted);
    }
    expect(new Set(path.record).size).toBe(path.count);
  });

  test('newly cut areas add up to the area of the union of all swaths, none above its swath', () => {
    const quads = [];
    let sum = 0;
    const { areaM2: swath } = swathQuads(path.xM, path.yM, path.cutting, path.swathM);
    for (let k = 0; k + 1 < path.count; k++) {
      if (path.cutting[k] === 0) continue;
      expect(path.newAreaM2[k]!).toBeLessThanOrEqual(swath[k]! * (1 + 1e-6));
      sum += path.newAreaM2[k]!;
    }
    const points: [number, number][] = Array.from(path.xM, (x, k) => [x, path.yM[k]!]);
    for (let from = 0; from < path.count; from++) {
      if (path.cutting[from] === 0) continue;
      let to = from;
      while (path.cutting[to] === 1) to++;
      quads.push(...quadsOf(points.slice(from, to + 1), 9).quads);
      from = to;
    }
    const whole = areaM2(union(quads));
    closeTo(sum / whole, 1, SHARE);
    closeTo(path.coveredAreaM2 / whole, 1, SHARE);
  });

  test('the order of the file changes nothing but the flag that tells it', () => {
    const order = Array.from({ length: log.count }, (_, i) => (i * 7) % log.count);
    expect(new Set(order).size).toBe(log.count);
    const mixed = retrace(pick(log, order));
    expect(mixed.count).toBe(path.count);
    expect(mixed.coveredAreaM2).toBe(path.coveredAreaM2);
    expect(mixed.flagged['time-order']).toBeGreaterThan(0);
    order.forEach((i, k) => expect(mixed.flags[k]! & ~FLAG['time-order']).toBe(path.flags[i]));
  });

  test('driven the other way round, other passes cut the overlaps but the total stays', () => {
    const back = pick(
      log,
      Array.from({ length: log.count }, (_, i) => log.count - 1 - i),
    );
    for (let i = 0; i < log.count; i++) back.timeS[i] = log.timeS[i]!;
    // The interval belongs to the record that begins it.
    for (let i = 0; i + 1 < log.count; i++) back.headerDown[i] = log.headerDown[log.count - 2 - i]!;
    const other = retrace(back);
    closeTo(other.coveredAreaM2 / path.coveredAreaM2, 1, SHARE);
    let first = 0;
    let last = 0;
    for (let k = 0; k < path.count; k++) if (path.pass[k] === 0) first += path.newAreaM2[k]!;
    for (let k = 0; k < other.count; k++) if (other.pass[k] === 9) last += other.newAreaM2[k]!;
    closeTo(last / first, 0.96, { within: 0.02, because: '8.64 m of a 9 m header' });
  });

  test('another origin of the frame changes no area and no flag', () => {
    const shifted = retrace(log, { frame: createFrame([-96.004, 41.997]) });
    closeTo(shifted.coveredAreaM2 / path.coveredAreaM2, 1, SHARE);
    let differing = 0;
    path.flags.forEach((bits, i) => (differing += bits === shifted.flags[i] ? 0 : 1));
    expect(differing).toBeLessThan(0.01 * log.count);
  });
});

describe('progress', () => {
  test('never runs back; the work can be dropped at any turn', () => {
    const log = inventedLog({ passes: 3 });
    const input = {
      log,
      frame: inventedFrame,
      boundary: null,
      headerWidthM: 9,
      antennaForwardM: 0,
      crop: 'corn',
      scaleTotalKg: null,
      cellM: 5,
      grid: null,
    };
    let last = 0;
    for (const [done, total] of retraceHarvest(input)) {
      expect(done).toBeGreaterThanOrEqual(last);
      expect(done).toBeLessThanOrEqual(total);
      last = done;
    }
    expect(last).toBeGreaterThan(0);
    const dropped = retraceHarvest(input);
    dropped.next();
    expect(dropped.return(undefined as never).done).toBe(true);
  });
});

describe('yield', () => {
  const log = inventedLog();
  const path = retrace(log);

  test('the planted delay is found, and the yields are those of the ground', () => {
    expect(path.delay.decided).toBe(true);
    closeTo(path.delay.valueS, 12, {
      within: 0.8,
      because: '5 % noise (methods-season §1.2: 0.3 s at 3 %, 0.8 s at 10 %)',
    });
    const errors: number[] = [];
    for (let k = 0; k < path.count; k++) {
      if (path.flags[path.record[k]!] !== 0) continue;
      const truth = inventedYield(path.xM[k]!, path.yM[k]!) * (0.83 / 0.845);
      errors.push(Math.abs(path.yieldKgHa[k]! / truth - 1));
    }
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(1000);
    // A record of 16 sub-cells with 4 % overlap has its area to some 3 %.
    expect(errors[errors.length >> 1]!).toBeLessThan(0.05);
  });

  test('the mass is all that was weighed, and the mean is mass over area', () => {
    let kg = 0;
    for (const flow of log.flowKgS) kg += (flow * 0.83) / 0.845;
    closeTo(path.standardMassKg! / kg, 1, { within: 1e-6, because: 'Float32 flow' });
    closeTo(path.meanYieldKgHa! / ((kg / path.coveredAreaM2) * 1e4), 1, { within: 0.001, because: 'the last record' });
  });

  test('a scale total multiplies every flow', () => {
    let wet = 0;
    for (const flow of log.flowKgS) wet += flow;
    const scaled = retrace(log, { scaleTotalKg: 1.1 * wet });
    closeTo(scaled.standardMassKg! / path.standardMassKg!, 1.1, { within: 1e-6, because: 'Float32 flow' });
    closeTo(scaled.meanYieldKgHa! / path.meanYieldKgHa!, 1.1, { within: 1e-6, because: 'Float32 flow' });
    expect(codes(scaled)).toContain('scaled');
    expect(codes(retrace(log, { scaleTotalKg: 3 * wet }))).toContain('scale-far-off');
  });

  test('a cell of the map is the mean of clean yields, and unknown where there is none', () => {
    const { yieldGrid } = path;
    const known = Array.from(yieldGrid!.values).filter((value) => value === value);
    const mean = known.reduce((a, b) => a + b, 0) / known.length;
    closeTo(mean / path.meanYieldKgHa!, 1, { within: 0.03, because: 'ramps at the ends are not on the map' });
    expect(known.length).toBeLessThan(yieldGrid!.values.length);
  });

  test('of a crop without a trade moisture is not given at standard moisture, and says why', () => {
    const other = retrace({ ...log, crop: null }, { crop: null });
    expect(other.standardMassKg).toBeNull();
    expect(other.yieldGrid).toBeNull();
    expect(other.flagged['yield-global']).toBe(path.flagged['yield-global']);
    expect(codes(other)).toContain('no-standard-moisture');
  });

  test('an even field keeps the usual delay, named beside the answer', () => {
    const even = inventedLog();
    for (let i = 0; i < even.count; i++) if (even.flowKgS[i]! > 0) even.flowKgS[i] = 10 + 0.3 * Math.sin(i * i);
    const told = retrace(even);
    expect(told.delay.decided).toBe(false);
    expect(told.delay.valueS).toBe(12);
    expect(codes(told)).toContain('delay-default');
  });

  test('moisture in tenths is told with its row, and the mass taken at the median', () => {
    const tenths = inventedLog();
    tenths.moistureFraction[50] = 1.71;
    const told = retrace(tenths);
    const one = told.problems.find((p) => p.code === 'moisture-in-tenths')!;
    expect(one.text).toMatch(/^Row 52: moisture is 171%/);
    expect(one.hint).toBe('Is the column in tenths of a percent?');
    expect(told.flags[50]! & FLAG['moisture-range']).not.toBe(0);
    closeTo(told.standardMassKg! / path.standardMassKg!, 1, {
      within: 1e-6,
      because: 'the median is every other moisture',
    });
  });
});

describe('where the log lies', () => {
  const log = inventedLog();
  const top = 9 + 9 * 8.64;

  test('cut beyond the boundary is kept apart and is no area of the field', () => {
    const path = retrace(log, { boundary: rectangle(0, 0, 200, top) });
    closeTo(path.coveredAreaM2, 200 * top, { within: 0.005 * 200 * top, because: '1 m sub-cells along the boundary' });
    closeTo(path.coveredOutsideM2, 160 * top, {
      within: 0.01 * 160 * top,
      because: '1 m sub-cells along the boundary',
    });
    closeTo(path.coverageFraction!, 1, { within: 0.002, because: 'receiver noise of 3 cm at the edges' });
    expect(codes(path)).toContain('cut-outside');
  });

  test('a log of another field says what share lies inside and how far it is', () => {
    const path = retrace(log, { boundary: rectangle(1000, 0, 1200, 100) });
    const one = path.problems.find((p) => p.code === 'log-of-another-field')!;
    expect(one.text).toMatch(/^0 % of the cutting lies inside this field; it comes no nearer than 6[34]\d m/);
    expect(path.coveredAreaM2).toBe(0);
    expect(path.coverageFraction).toBe(0);
  });

  test('sub-cells nest in the cells of the grid given', () => {
    const grid = { x0M: -10, y0M: -10, columns: 80, rows: 24, cellM: 5 };
    const path = retrace(log, { boundary: rectangle(0, 0, 360, top), grid });
    expect(path.owner.grid).toEqual({ x0M: -10, y0M: -10, columns: 400, rows: 120, cellM: 1 });
    expect(path.yieldGrid).toMatchObject(grid);
    const cell = (13 + 0) * 400 + 110; // (100.5, 3.5): first pass, at 1.8 m a record
    expect(path.pass[path.owner.segment[cell]!]).toBe(0);
    closeTo(path.owner.segment[cell]!, 100.5 / 1.8, { within: 1.5, because: '1.8 m a record' });
  });

  test('the antenna offset moves the cutter bar forward along the heading', () => {
    const plain = retrace(log);
    const forward = retrace(log, { antennaForwardM: 3 });
    closeTo(forward.xM[50]! - plain.xM[50]!, 3, { within: 0.01, because: 'driving east' });
    closeTo(forward.xM[300]! - plain.xM[300]!, -3, { within: 0.01, because: 'driving west' });
  });
});
