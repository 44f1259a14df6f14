import { expect, test } from 'vitest';
import { bandDensities, layOutOwnLoss, type LossDrawing } from '../../../src/charts/own-loss-layout.ts';

const frame = { left: 50, right: 450, top: 60, bottom: 260 };
const drawing: LossDrawing = {
  points: [
    { density: 0, yield: 60 },
    { density: 2, yield: 40 },
    { density: 4, yield: 35 },
  ],
  ownAt: (density) => 60 - 8 * density,
  literatureAt: (density) => 60 - 40 * density,
  band: [
    { density: 0, low: 55, high: 65 },
    { density: 4, low: null, high: 40 },
  ],
};

test('a place stands at its density, the lower the less it yields', () => {
  const { points } = layOutOwnLoss(drawing, frame);
  expect(points.map((one) => one.x)).toEqual([50, 250, 450]);
  expect(points[1]!.y).toBeGreaterThan(points[0]!.y);
  expect(points[2]!.y).toBeGreaterThan(points[1]!.y);
  for (const { y } of points) expect(y > frame.top && y < frame.bottom).toBe(true);
});

test('curves and band stay within the picture; a curve that falls below the yields runs along its edge', () => {
  const { own, literature, band } = layOutOwnLoss(drawing, frame);
  for (const { y } of [...own, ...literature]) expect(y >= frame.top && y <= frame.bottom).toBe(true);
  expect(literature.at(-1)!.y).toBe(frame.bottom);
  expect(band[0]!.y1).toBeLessThan(band[0]!.y0);
  expect(band[1]!.y0).toBe(frame.bottom);
});

test('one yield at every place still has an axis', () => {
  const level = { ...drawing, points: [{ density: 1, yield: 50 }], ownAt: () => 50, literatureAt: () => 50 };
  expect(layOutOwnLoss(level, frame).points.every((one) => Number.isFinite(one.y))).toBe(true);
});

test('the band is asked closer where weeds are few, from none to the most', () => {
  const densities = bandDensities(16, 4);
  expect(densities).toEqual([0, 1, 4, 9, 16]);
});
