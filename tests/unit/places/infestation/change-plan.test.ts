import { expect, test } from 'vitest';
import { changePlan } from '../../../../src/places/infestation/change-plan.ts';
import { roundFinding, roundWorking } from '../../../../src/places/infestation/round-words.ts';
import { passedInWords, trackTitle } from '../../../../src/places/infestation/walked-words.ts';
import type { WalkedTrack } from '../../../../shared/analysis/walked.ts';
import { CELL_STATES } from '../../../../shared/scouting/change-between.ts';
import { roundTold } from '../../../../shared/scouting/round-told.ts';
import { placeIn, ring, SIDE_M } from '../../../support/small-farm.ts';

const state = (name: (typeof CELL_STATES)[number]) => CELL_STATES.indexOf(name);

test('alike cells of a row are one shape, the south below, and each shape has the cells’ area', () => {
  const grid = { x0M: 0, y0M: 0, columns: 4, rows: 2, cellM: SIDE_M / 4 };
  const cells = Uint8Array.from([
    ...['gone', 'gone', 'appeared', 'outside'].map((one) => state(one as 'gone')),
    ...['clean', 'clean', 'clean', 'clean'].map((one) => state(one as 'clean')),
  ]);
  const boundary = [[ring('West', 0, 0, SIDE_M, SIDE_M)]];
  const plan = changePlan({ cells, grid, origin: placeIn('West', 0, 0) }, boundary, {
    widthPx: 402,
    mostHeightPx: 1000,
  });
  const boxes = (path: string) =>
    [...path.matchAll(/M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)/g)].map((one) => one.slice(1).map(Number));
  const [gone] = boxes(plan.paths.gone);
  expect(boxes(plan.paths.gone).length).toBe(1);
  expect(boxes(plan.paths.clean).length).toBe(1);
  expect(plan.paths.stayed).toBe('');
  const cellPx = plan.pxPerM * grid.cellM;
  expect(gone![2]! - gone![0]!).toBeCloseTo(2 * cellPx, 1);
  expect(gone![1]! - gone![3]!).toBeCloseTo(cellPx, 1);
  // The first row is the southernmost: lowest on screen.
  expect(gone![1]).toBeGreaterThan(boxes(plan.paths.clean)[0]![1]!);
});

test('a round’s counts tell their mean, clumping and bound with the numbers they are made of', () => {
  const round = (...counts: number[]) => ({
    id: 'r',
    season: 2026,
    from: '2026-08-01',
    to: '2026-08-03',
    told: roundTold({
      places: counts.map((count, i) => ({ xM: 30 * i, yM: 0, effortM2: 1, count })),
      rating: null,
      patches: [],
    }),
  });
  expect(roundWorking(round(4, 0, 2), 'metric')[0]).toContain('Σc / Σe = 6 plants / 3 m² =');
  expect(roundWorking(round(4, 0, 2), 'metric')[1]).toContain('no k: only 2 quadrats with plants');
  // 1 − 0.05^(1/3) = 63 %; −ln 0.05 / 3 = 0.999.
  expect(roundWorking(round(0, 0, 0), 'metric')[0]).toMatch(/= 63% of such places .* = 0\.999\/m²/);
  expect(roundFinding([round(1), round(0)], 'West', 'waterhemp')).toBe('Waterhemp was seen in 1 of 2 rounds in West');
});

test('a walk is told by its length on the field, and a stop by whether the walk came to it', () => {
  const track: WalkedTrack = {
    file: 'f',
    name: 'walk.gpx',
    round: 'r',
    from: null,
    to: null,
    lengthM: 900,
    widthM: null,
    lines: [],
    places: [{ at: [-93, 42], name: 'Gate', note: '', isStop: false, field: 'west', passedM: null }],
    fields: [
      { field: 'west', lengthM: 500, areaM2: null },
      { field: 'east', lengthM: 300, areaM2: null },
    ],
  };
  expect(trackTitle([track], { id: 'west', name: 'West' }, 2026, 'metric')).toBe('500 m walked in West in 2026');
  expect(trackTitle([track], null, 2026, 'metric')).toBe('800 m walked on the fields in 2026');
  expect(trackTitle([{ ...track, fields: [] }], { id: 'west', name: 'West' }, 2026, 'us')).toBe(
    '1 place marked in West in 2026',
  );
  expect([passedInWords({ passedM: 12 }, 'metric'), passedInWords({ passedM: 66 }, 'metric')]).toEqual([
    'reached',
    'not reached: the track came within 66 m',
  ]);
});
