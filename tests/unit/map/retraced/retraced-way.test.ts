import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { INKS } from '../../../../src/map/inks.ts';
import { pathPoints } from '../../../../src/map/path-points.ts';
import { RetracedWay } from '../../../../src/map/retraced/retraced-way.ts';
import { DASH_SHARE, DRIES_IN_S, UNCUT_SHARE, wayLook } from '../../../../src/map/way-look.ts';
import { drivenWay } from '../../../support/driven-way.ts';

/** What was stroked: color, alpha, and the length of its lines in meters. */
interface Stroke {
  readonly color: string;
  readonly alpha: number;
  readonly lengthM: number;
}
const strokes: Stroke[] = [];
const PX_PER_M = 4;

class Lines {
  lengthPx = 0;
  private last: readonly [number, number] = [0, 0];
  moveTo(...to: [number, number]): void {
    this.last = to;
  }
  lineTo(...to: [number, number]): void {
    this.lengthPx += Math.hypot(to[0] - this.last[0], to[1] - this.last[1]);
    this.last = to;
  }
}
const sheet = {
  globalAlpha: 1,
  strokeStyle: '',
  stroke(line: Lines) {
    if (line.lengthPx === 0) return;
    strokes.push({ color: this.strokeStyle, alpha: this.globalAlpha, lengthM: line.lengthPx / PX_PER_M });
  },
  save: () => undefined,
  restore: () => undefined,
  translate: () => undefined,
  rotate: () => undefined,
  fillRect: () => undefined,
};
const context = sheet as unknown as CanvasRenderingContext2D;

beforeAll(() => void vi.stubGlobal('Path2D', Lines));
afterAll(() => void vi.unstubAllGlobals());
beforeEach(() => void (strokes.length = 0));

function begun(path = drivenWay()) {
  const points = pathPoints(path);
  const on = { scale: PX_PER_M / points.mercatorPerM, x: 0, y: 0, ratio: 1 };
  const look = { ...wayLook(path, PX_PER_M, 1, 1, false), tickPx: null };
  return { way: new RetracedWay(points, INKS.light), on, look };
}
/** The map's sphere is not the ellipsoid of the field's meters: 0.3 % longer from north to south. */
const expectMeters = (found: number, meters: number) => expect(Math.abs(found / meters - 1)).toBeLessThan(0.004);
const lengthM = (color: string, alpha?: number) =>
  strokes
    .filter((one) => one.color === color && (alpha === undefined || Math.abs(one.alpha - alpha) < 1e-9))
    .reduce((sum, one) => sum + one.lengthM, 0);

describe('a way that is retraced', () => {
  it('is drawn once, however many steps it comes in: cut ground in full ink, and nothing across a pause', () => {
    const { way, on, look } = begun();
    for (const atS of [0, 7.5, 7.5, 60, 99.5, 180, 500]) way.drawUntil(context, on, look, atS);
    // 99 s of each pass at 2 m/s, less the one second's step of the pause; 9 m of headland between them.
    expectMeters(lengthM(INKS.light.ink, look.alpha), 2 * 198 - 2);
    expectMeters(lengthM(INKS.light.ink, look.alpha * UNCUT_SHARE), 9);
    expectMeters(lengthM(INKS.light.halo), 394);
  });

  it('begins anew on an empty sheet', () => {
    const { way, on, look } = begun();
    way.drawUntil(context, on, look, 500);
    way.begin();
    strokes.length = 0;
    way.drawUntil(context, on, look, 40);
    expectMeters(lengthM(INKS.light.ink), 80);
  });

  it('shows what came down fresh, fading, and no longer than it takes to dry', () => {
    const { way, on, look } = begun(drivenWay(400));
    way.drawMoment(context, on, look, 300);
    const fresh = strokes.filter((one) => one.color === INKS.light.fresh);
    expectMeters(lengthM(INKS.light.fresh), 2 * DRIES_IN_S);
    const alphas = fresh.map((one) => one.alpha);
    expect(alphas).toEqual([...alphas].sort((a, b) => b - a));
    expect(alphas[0]! / alphas.at(-1)!).toBeGreaterThan(10);
  });

  it('is broken where it is assumed', () => {
    const { way, on, look } = begun({ ...drivenWay(), assumed: true });
    way.drawUntil(context, on, look, 96);
    expect(lengthM(INKS.light.ink) / (2 * 95)).toBeCloseTo(DASH_SHARE, 1);
  });
});
