import { expect, test } from 'vitest';
import { compassWord } from '../../../shared/geometry/compass.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { geodesicDistanceM, geodesicWay } from '../../../shared/geometry/geodesic.ts';

test('each of the eight winds has its eighth of the circle, any turn', () => {
  expect([0, 22, 23, 45, 90, 135, 180, 225, 270, 315, 338, 360, -90, 720].map(compassWord)).toEqual([
    'north',
    'north',
    'north-east',
    'north-east',
    'east',
    'south-east',
    'south',
    'south-west',
    'west',
    'north-west',
    'north',
    'north',
    'west',
    'north',
  ]);
});

test('a way has the length of the geodesic and begins in its direction', () => {
  const [from, to] = [[-93.5, 42] as const, [-93.5, 42.01] as const];
  expect(geodesicWay(from, to)).toEqual({ distanceM: geodesicDistanceM(from, to), bearingDeg: 0 });
  expect(geodesicWay(to, from).bearingDeg).toBeCloseTo(180, 9);
  // Over some hundred meters the field's own flat frame, made independently, says the same.
  const [x, y] = createFrame(from).toLocal(-93.4975, 42.0012);
  const way = geodesicWay(from, [-93.4975, 42.0012]);
  expect(way.distanceM).toBeCloseTo(Math.hypot(x, y), 4);
  expect(way.bearingDeg).toBeCloseTo((Math.atan2(x, y) * 180) / Math.PI, 4);
});
