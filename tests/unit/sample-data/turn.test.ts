import { describe, expect, it } from 'vitest';
import { Draws } from '../../../sample-data/draws.ts';
import { turnBetween } from '../../../sample-data/turn.ts';
import { closeTo } from '../../support/close-to.ts';

const lengthOf = (points: readonly (readonly [number, number])[]) =>
  points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i]![0], y - points[i]![1]), 0);

describe('turns of the sample’s combine', () => {
  it('go straight where nothing turns', () => {
    const way = turnBetween({ x: 0, y: 0, angle: 0 }, { x: 50, y: 0, angle: 0 }, 6.5);
    closeTo(lengthOf(way), 50, { within: 1e-6, because: 'a straight line' });
  });

  it('are half a circle between poses two radii apart', () => {
    const way = turnBetween({ x: 0, y: 0, angle: Math.PI / 2 }, { x: -13, y: 0, angle: -Math.PI / 2 }, 6.5);
    closeTo(lengthOf(way), 6.5 * Math.PI, { within: 0.02, because: 'chords of 0.6 m instead of arcs' });
  });

  it('start and end as asked and never bend tighter than the radius', () => {
    const draws = new Draws('turns');
    for (let k = 0; k < 300; k++) {
      const pose = () => ({ x: draws.between(-30, 30), y: draws.between(-30, 30), angle: draws.between(-3.1, 3.1) });
      const [from, to] = [pose(), pose()];
      const way = turnBetween(from, to, 6.5);
      closeTo(Math.hypot(way[0]![0] - from.x, way[0]![1] - from.y), 0, { within: 1e-9, because: 'starts there' });
      closeTo(Math.hypot(way.at(-1)![0] - to.x, way.at(-1)![1] - to.y), 0, { within: 1e-6, because: 'ends there' });
      expect(lengthOf(way)).toBeGreaterThanOrEqual(Math.hypot(to.x - from.x, to.y - from.y) - 1e-6);
      for (let i = 1; i + 1 < way.length; i++) {
        const [a, b, c] = [way[i - 1]!, way[i]!, way[i + 1]!];
        const [u, v] = [Math.atan2(b[1] - a[1], b[0] - a[0]), Math.atan2(c[1] - b[1], c[0] - b[0])];
        const bend = Math.abs(Math.atan2(Math.sin(v - u), Math.cos(v - u)));
        expect(bend).toBeLessThan(0.6 / 6.5 + 1e-6);
      }
    }
  });
});
