import { expect, it } from 'vitest';
import { mainDirection } from '../../../shared/geometry/main-direction.ts';
import { closeTo } from '../../support/close-to.ts';

const DEG = Math.PI / 180;
const because = 'sums of few angles';

it('passes to and fro have one direction, turns and short pieces hardly a say', () => {
  closeTo(mainDirection([0, 180, 90], [100, 100, 5])!, 90 * DEG, { within: 1e-12, because });
  closeTo(mainDirection([30, 210], [1, 1])!, 60 * DEG, { within: 1e-12, because });
  closeTo(mainDirection([359, 1, 180], [1, 1, 1])!, 90 * DEG, { within: 1e-12, because });
  closeTo(mainDirection([100], [1])!, 170 * DEG, { within: 1e-12, because: 'below the x axis means up to π' });
});

it('a drive round and round has none, nor has no drive', () => {
  expect(mainDirection([0, 90, 180, 270], [1, 1, 1, 1])).toBeNull();
  expect(mainDirection([], [])).toBeNull();
  expect(mainDirection([NaN], [1])).toBeNull();
});
