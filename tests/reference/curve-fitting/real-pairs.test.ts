import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { fitLoss, intervalsOfCurve, straightLine } from '../../../shared/agronomy/own-loss-curve.ts';
import { judgeOwnLoss } from '../../../shared/agronomy/own-loss.ts';
import { fitCurve } from '../../../shared/statistics/curve-fit.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { realDataPath } from '../../support/real-data.ts';

/* Open data beside the repository; what R 4.2 finds in it stands in its README: nls and lm, to the digits printed there. */
const sinapis = realDataPath('weeds/sinapis-density-yield.csv');
const cover = realDataPath('weeds/weed-cover-maize-yield.csv');
const pots = realDataPath('weeds/streibig-barley-sinapis.csv');

function columnsOf(path: string, ...names: string[]): Float64Array[] {
  const [head, ...rows] = readFileSync(path, 'utf8').trim().split(/\r?\n/);
  const titles = head!.replaceAll('"', '').split(',');
  return names.map((name) => Float64Array.from(rows, (row) => Number(row.split(',')[titles.indexOf(name)])));
}

let largest = 0;
function agree(actual: number, expected: number, because: string): void {
  const digits = String(expected).replace(/^0\.0*|\.|-/g, '').length;
  closeTo(actual / expected, 1, { within: 10 ** (1 - digits), because: `${because}: the digits printed` });
  largest = Math.max(largest, Math.abs(actual / expected - 1));
}
afterAll(() => {
  if (largest > 0) recordAgreement('curve-fitting', 'real pairs of density and yield (R)', largest, 1e-5, 'relative');
});

describe.skipIf(sinapis === null)('Sinapis arvensis by density, 28 plots', () => {
  const [densityPerM2, yieldKgHa] = sinapis === null ? [] : columnsOf(sinapis, 'density', 'yield');
  const pairs = { densityPerM2: densityPerM2!, yieldKgHa: yieldKgHa! };
  const literature = { I: 5, A: 50 };

  it('has the hyperbola that nls finds', () => {
    const fit = fitLoss(pairs, literature, false);
    agree(fit.curve.weedFreeKgHa, 36.94056, 'Y0');
    agree(fit.curve.I, 1.097508, 'I');
    agree(fit.curve.A, 63.12349, 'A');
    agree(fit.residualSumOfSquares, 85.47332, 'RSS');
  });

  it('barely holds A: its interval reaches much farther up than down, and both say so', () => {
    const fit = fitLoss(pairs, literature, false);
    const { A } = intervalsOfCurve(pairs, fit, null, 0.8);
    expect(A.low!).toBeGreaterThan(40);
    expect(A.high === null || A.high - fit.curve.A > 1.3 * (fit.curve.A - A.low!)).toBe(true);
    const n = densityPerM2!.length;
    const placed = { ...pairs, xM: Float64Array.from({ length: n }, (_, i) => i), yM: new Float64Array(n) };
    const ends = { low: { I: 1, A: 20 }, central: literature, high: { I: 20, A: 90 } };
    expect(judgeOwnLoss(placed, ends).ceilingFrom).toBe('literature');
  });
});

describe.skipIf(cover === null)('maize by weed cover, 64 plots', () => {
  it('has the straight line that lm finds', () => {
    const [x, y] = columnsOf(cover!, 'WeedCover', 'Yield');
    const line = straightLine(x!, y!);
    agree(line.intercept, 104.4692, 'intercept');
    agree(line.slope, -0.562106, 'slope');
  });
});

describe.skipIf(pots === null)('barley and Sinapis in pots', () => {
  it('have the reciprocal yield that nls finds', () => {
    const [barley, weeds, grams] = columnsOf(pots!, 'bseeds', 'sseeds', 'bdwt');
    const rows = [...barley!.keys()].filter((i) => barley![i]! > 0 && Number.isFinite(grams![i]!));
    const fit = fitCurve(
      {
        y: rows.map((i) => grams![i]!),
        predict(p, out) {
          rows.forEach((i, k) => (out[k] = barley![i]! / (p[0]! + p[1]! * barley![i]! + p[2]! * weeds![i]!)));
        },
      },
      [[1, 0.05, 0.05]],
    );
    agree(fit.parameters[0]!, 0.479874, 'a');
    agree(fit.parameters[1]!, 0.0311846, 'b');
    agree(fit.parameters[2]!, 0.122038, 'c');
  });
});
