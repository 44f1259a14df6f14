import { describe, expect, test } from 'vitest';
import { commandOf } from '../../../../src/map/drawing/drawing-keys.ts';
import { beginSketch, closeSketch, placeCorner, type Sketch } from '../../../../src/map/drawing/sketch.ts';
import { SnapTargets } from '../../../../src/map/drawing/snapping.ts';
import { mended, placedCrossing, soundnessOf } from '../../../../src/map/drawing/soundness.ts';
import { createFrame } from '../../../../shared/geometry/local-frame.ts';
import { toLonLatPolygon } from '../../../../shared/geometry/polygon.ts';
import type { LonLat } from '../../../../shared/geometry/types.ts';
import { closeTo } from '../../../support/close-to.ts';
import { rectangle } from '../../geometry/shapes.ts';

const frame = createFrame([-93, 41]);
const at = (x: number, y: number): LonLat => frame.toLonLat(x, y);
const field = rectangle(-100, -100, 100, 100);
const drawn = (...corners: LonLat[]): Sketch =>
  closeSketch(corners.reduce(placeCorner, beginSketch({ kind: 'area', prompt: '', start: null })));

describe('what is amiss with a drawing', () => {
  test('an area inside the field is given as it was drawn, to the last digit', () => {
    const sketch = drawn(at(0, 0), at(50, 0), at(50, 50));
    const { area, outsideM2, areaM2 } = soundnessOf(sketch, frame, field);
    expect(area![0]![0]!.slice(0, 3)).toEqual(sketch.rings[0]!.corners);
    expect(outsideM2).toBe(0);
    closeTo(areaM2, 1250, { within: 1e-6, because: 'degrees and back' });
  });

  test('what lies outside of the field is told and left out', () => {
    const { area, outsideM2 } = soundnessOf(drawn(at(50, 0), at(150, 0), at(150, 50), at(50, 50)), frame, field);
    closeTo(outsideM2, 2500, { within: 0.03, because: 'overlays on the 0.1 mm grid' });
    expect(Math.max(...area!.flat(2).map(([lon]) => lon))).toBeCloseTo(at(100, 0)[0], 7);
  });

  test('an area that lies wholly outside cannot be given, and says why', () => {
    const { area, fault } = soundnessOf(drawn(at(150, 0), at(250, 0), at(250, 50)), frame, field);
    expect(area).toBeNull();
    expect(fault).toBe('All of it lies outside of the field.');
  });

  test('an outline that crosses itself is told with the place, and mended only when asked', () => {
    const bow = drawn(at(0, 0), at(60, 60), at(60, 0), at(0, 60));
    const { area, crossesAt } = soundnessOf(bow, frame, field);
    expect(area).toBeNull();
    const [x, y] = frame.toLocal(...crossesAt!);
    closeTo(Math.hypot(x - 30, y - 30), 0, { within: 1e-6, because: 'the middle of the bow' });
    closeTo(mended(bow, frame)!.areaM2, 1800, { within: 0.02, because: 'overlays on the 0.1 mm grid' });
  });

  test('while corners are placed only the placed edges can cross', () => {
    const corners = [at(0, 0), at(60, 60), at(60, 0), at(0, 60)];
    expect(placedCrossing(corners.slice(0, 3), frame)).toBeNull();
    expect(placedCrossing(corners, frame)).not.toBeNull();
    expect(placedCrossing([at(0, 0), at(60, 0), at(60, 60), at(0, 60)], frame)).toBeNull();
  });
});

describe('snapping', () => {
  const targets = new SnapTargets(frame, [toLonLatPolygon(frame, field)]);
  test('takes the corner within reach before the edge, and nothing beyond it', () => {
    expect(targets.near(at(97, 96), 6)).toMatchObject({ to: 'corner' });
    const [x, y] = frame.toLocal(...targets.near(at(97, 20), 6)!.at);
    closeTo(Math.hypot(x - 100, y - 20), 0, { within: 1e-4, because: 'degrees of nine decimals' });
    expect(targets.near(at(90, 20), 6)).toBeNull();
  });
});

test('keys: arrows by one step or ten, Enter, Tab, Delete, Escape, undo and redo; others are not ours', () => {
  const pressed = (key: string, more = {}) =>
    commandOf({ key, shiftKey: false, ctrlKey: false, metaKey: false, ...more });
  expect(pressed('ArrowUp')).toEqual({ do: 'nudge', east: 0, north: 1 });
  expect(pressed('ArrowLeft', { shiftKey: true })).toEqual({ do: 'nudge', east: -10, north: 0 });
  expect(pressed('Enter')).toEqual({ do: 'place' });
  expect(pressed('Enter', { ctrlKey: true })).toEqual({ do: 'finish' });
  expect(pressed('Tab', { shiftKey: true })).toEqual({ do: 'walk', by: -1 });
  expect(pressed('Delete')).toEqual({ do: 'remove' });
  expect(pressed('Escape')).toEqual({ do: 'give up' });
  expect(pressed('z', { ctrlKey: true })).toEqual({ do: 'undo' });
  expect(pressed('Z', { metaKey: true, shiftKey: true })).toEqual({ do: 'redo' });
  expect(pressed('a')).toBeNull();
  expect(pressed('r', { ctrlKey: true })).toBeNull();
});
