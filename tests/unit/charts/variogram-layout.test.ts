import { expect, test } from 'vitest';
import { layOutVariogram, type VariogramDrawing } from '../../../src/charts/variogram-layout.ts';
import { closeTo } from '../../support/close-to.ts';

const frame = { left: 50, right: 450, top: 40, bottom: 240, barPx: 30 };
const letters = { near: 16, far: 14 };
const drawing: VariogramDrawing = {
  lags: [
    { distance: 100, pairs: 40, share: 0.5, robustShare: 0.2 },
    { distance: 200, pairs: 80, share: 0.9, robustShare: 0.4 },
    { distance: 400, pairs: 20, share: 1.1, robustShare: 0.5 },
  ],
  farthest: 400,
  curveAt: (distance) => 0.3 + 0.7 * (1 - Math.exp(-distance / 100)),
  nuggetShare: 0.3,
  sillShare: 1,
  range: 300,
};

test('a point stands at its distance, higher the more the places differ; more pairs have a taller bar', () => {
  const { points, bars, rangeX } = layOutVariogram(drawing, frame, letters);
  expect(points.map((one) => one.x)).toEqual([150, 250, 450]);
  expect(points[0]!.y).toBeGreaterThan(points[1]!.y);
  expect(points[1]!.robustY).toBeGreaterThan(points[1]!.y);
  expect(bars.map((one) => one.heightPx)).toEqual([15, 30, 7.5]);
  expect(rangeX).toBe(350);
});

test('the curve begins at the nugget and stays within the picture, with room for words above', () => {
  const { curve, nuggetY, sillY, yTicks } = layOutVariogram(drawing, frame, letters);
  closeTo(curve[0]!.y, nuggetY, { within: 0.01, because: 'the first step is a millionth of the axis' });
  expect(curve.at(-1)!.x).toBe(450);
  expect(Math.min(...curve.map((one) => one.y))).toBeGreaterThan(frame.top + 15);
  expect(sillY!).toBeLessThan(nuggetY);
  expect(yTicks[0]).toEqual({ y: 240, share: 0 });
});

test('words about the nugget stand under the curve, or on the ground where it begins there', () => {
  const high = layOutVariogram(drawing, frame, letters);
  expect(high.nuggetWords!.y).toBeGreaterThan(high.nuggetY);
  const low = layOutVariogram(
    { ...drawing, nuggetShare: 0, curveAt: (distance) => 1 - Math.exp(-distance / 100) },
    frame,
    letters,
  );
  const words = low.nuggetWords!;
  expect(words.y).toBeLessThan(frame.bottom);
  const there = low.curve.findIndex((one) => one.x > words.x);
  expect(low.curve[there]!.y).toBeLessThan(words.y - 15);
});

test('words about the nugget are left to the notes where marks leave no room', () => {
  const lags = Array.from({ length: 12 }, (_, i) => ({
    distance: 33 * (i + 1),
    pairs: 30,
    share: 0.9,
    robustShare: 0.05,
  }));
  const low = { ...drawing, lags, nuggetShare: 0, curveAt: (distance: number) => 1 - Math.exp(-distance / 100) };
  expect(layOutVariogram(low, frame, letters).nuggetWords).toBeNull();
});

test('words about the sill stand over it, free of the marks', () => {
  const alone = layOutVariogram(drawing, frame, letters);
  expect(alone.sillWords!.y).toBeLessThan(alone.sillY!);
  const lags = [...drawing.lags, { distance: 380, pairs: 30, share: 1.1, robustShare: 1.3 }];
  const { points, sillWords } = layOutVariogram({ ...drawing, lags }, frame, letters);
  const { x, y } = sillWords!;
  for (const one of points.filter((it) => it.x > x - 14 * 7.2))
    for (const at of [one.y, one.robustY]) expect(at > y + 5 || at < y - 17).toBe(true);
});

test('without an end of likeness neither range nor sill is marked', () => {
  expect(layOutVariogram({ ...drawing, range: null }, frame, letters)).toMatchObject({
    rangeX: null,
    sillY: null,
    sillWords: null,
  });
});

test('numbers of pairs never overlap: a crowded one is left to the table', () => {
  const lags = Array.from({ length: 15 }, (_, i) => ({ ...drawing.lags[0]!, distance: 20 * (i + 1), pairs: 1000 + i }));
  const wide = layOutVariogram({ ...drawing, lags }, { ...frame, right: 1400 }, letters);
  expect(wide.bars.every((one) => one.text !== null)).toBe(true);
  const { bars } = layOutVariogram({ ...drawing, lags }, { ...frame, right: 300 }, letters);
  const told = bars.filter((one) => one.text !== null);
  expect(told.length).toBeLessThan(15);
  told.slice(1).forEach((one, index) => expect(one.x - told[index]!.x).toBeGreaterThan(4 * 7.2));
});
