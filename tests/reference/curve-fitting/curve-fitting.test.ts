import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { type Curve, type CurveFit, fitCurve } from '../../../shared/statistics/curve-fit.ts';
import { profileInterval } from '../../../shared/statistics/profile-interval.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

/* Judges: certified values of NIST StRD (nist.json); R 4.2.2 nls (make.R → cases.json); scipy profiles (check.py → profile.json). */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const read = (name: string): Json => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));
const nist = read('nist.json');
const cases = read('cases.json');
const profiles = read('profile.json').cases;

const largest: Record<string, { error: number; within: number }> = {};
function agree(
  what: string,
  actual: number,
  expected: number,
  within: number,
  because: string,
  scale = expected,
): void {
  const size = Math.abs(scale) || 1;
  closeTo(actual / size, expected / size, { within, because: `${what}: ${because}` });
  const seen = (largest[what] ??= { error: 0, within });
  seen.error = Math.max(seen.error, Math.abs(actual - expected) / size);
}
afterAll(() => {
  for (const [what, { error, within }] of Object.entries(largest))
    recordAgreement('curve-fitting', what, error, within, 'relative');
});

const { exp, atan, PI } = Math;
type At = (x: number, b: readonly number[]) => number;
const rational: At = (x, [b1, b2, b3, b4, b5, b6, b7]) =>
  (b1! + b2! * x + b3! * x ** 2 + b4! * x ** 3) / (1 + b5! * x + b6! * x ** 2 + b7! * x ** 3);
const NIST: Record<string, At> = {
  Misra1a: (x, [b1, b2]) => b1! * (1 - exp(-b2! * x)),
  Misra1b: (x, [b1, b2]) => b1! * (1 - (1 + (b2! * x) / 2) ** -2),
  Chwirut2: (x, [b1, b2, b3]) => exp(-b1! * x) / (b2! + b3! * x),
  DanWood: (x, [b1, b2]) => b1! * x ** b2!,
  Hahn1: rational,
  Thurber: rational,
  MGH09: (x, [b1, b2, b3, b4]) => (b1! * (x ** 2 + x * b2!)) / (x ** 2 + x * b3! + b4!),
  MGH10: (x, [b1, b2, b3]) => b1! * exp(b2! / (x + b3!)),
  MGH17: (x, [b1, b2, b3, b4, b5]) => b1! + b2! * exp(-x * b4!) + b3! * exp(-x * b5!),
  Rat42: (x, [b1, b2, b3]) => b1! / (1 + exp(b2! - b3! * x)),
  Rat43: (x, [b1, b2, b3, b4]) => b1! / (1 + exp(b2! - b3! * x)) ** (1 / b4!),
  BoxBOD: (x, [b1, b2]) => b1! * (1 - exp(-b2! * x)),
  Eckerle4: (x, [b1, b2, b3]) => (b1! / b2!) * exp(-0.5 * ((x - b3!) / b2!) ** 2),
  Roszman1: (x, [b1, b2, b3, b4]) => b1! - b2! * x - atan(b3! / (x - b4!)) / PI,
  Kirby2: (x, [b1, b2, b3, b4, b5]) => (b1! + b2! * x + b3! * x ** 2) / (1 + b4! * x + b5! * x ** 2),
  Lanczos3: (x, [b1, b2, b3, b4, b5, b6]) => b1! * exp(-b2! * x) + b3! * exp(-b4! * x) + b5! * exp(-b6! * x),
};

function curveOf(
  y: readonly number[],
  at: (i: number, p: readonly number[]) => number,
  more: Partial<Curve> = {},
): Curve {
  return {
    y,
    predict(p, out) {
      const plain = Array.from(p);
      for (let i = 0; i < out.length; i++) out[i] = at(i, plain);
    },
    ...more,
  };
}

/** From start 1 a plain method ends on a plain without slope. */
const LOST_FROM_FAR = ['MGH10', 'BoxBOD'];

describe('the NIST sets', () => {
  it('are all there', () => expect(nist.cases.map((one: Json) => one.id).sort()).toEqual(Object.keys(NIST).sort()));

  for (const { id, input, expected } of nist.cases) {
    const curve = curveOf(input.y, (i, b) => NIST[id]!(input.x[i], b));
    const judge = (fit: CurveFit, digits: number, start: string) => {
      const within = 10 ** -digits;
      const because = `${id}, at least ${digits} digits from ${start}`;
      expected.certified.forEach((value: number, k: number) =>
        agree(`NIST parameters from ${start}`, fit.parameters[k]!, value, within, because),
      );
    };
    it(`${id} comes out to six digits from start 2`, () => {
      const fit = fitCurve(curve, [input.start2]);
      judge(fit, 6, 'start 2');
      agree('NIST residual sum of squares', fit.residualSumOfSquares, expected.residualSumOfSquares, 1e-6, id);
      expected.standardDeviation.forEach((value: number, k: number) =>
        agree('NIST standard deviations', fit.standardErrors[k]!, value, 1e-4, id),
      );
    });
    if (!LOST_FROM_FAR.includes(id))
      it(`${id} comes out from the far start 1 too`, () => judge(fitCurve(curve, [input.start1]), 4, 'start 1'));
  }

  it.each(LOST_FROM_FAR)('%s, lost from the far start alone, comes out where both starts are tried', (id) => {
    const { input, expected } = nist.cases.find((one: Json) => one.id === id);
    const curve = curveOf(input.y, (i, b) => NIST[id]!(input.x[i], b));
    const fit = fitCurve(curve, [input.start1, input.start2]);
    closeTo(fit.parameters[0]! / expected.certified[0], 1, { within: 1e-6, because: 'the better start wins' });
  });
});

type Model = { names: string[]; of: string; at: (input: Json, i: number, p: readonly number[]) => number };
const logistic = (b: number, c: number, d: number, e: number, x: number) =>
  x === 0 ? d : c + (d - c) / (1 + exp(b * (Math.log(x) - Math.log(e))));
const loss: Model = {
  names: ['I', 'A'],
  of: 'l',
  at: ({ d }, i, [I, A]) => (I! * d[i]) / (1 + (I! * d[i]) / A!),
};
const MODELS: Record<string, Model> = {
  hyperbola: {
    names: ['ywf', 'I', 'A'],
    of: 'y',
    at: ({ d }, i, [ywf, I, A]) => ywf! * (1 - (I! * d[i]) / (100 * (1 + (I! * d[i]) / A!))),
  },
  'loss-two': loss,
  'loss-weighted': loss,
  'loss-relative': {
    names: ['I', 'A', 'C'],
    of: 'l',
    at: ({ d, t }, i, [I, A, C]) => (I! * d[i]) / (exp(C! * t[i]) + (I! * d[i]) / A!),
  },
  'dose-response-4': {
    names: ['b', 'c', 'd', 'e'],
    of: 'y',
    at: ({ dose }, i, [b, c, d, e]) => logistic(b!, c!, d!, e!, dose[i]),
  },
  'dose-response-3': {
    names: ['b', 'd', 'e'],
    of: 'y',
    at: ({ dose }, i, [b, d, e]) => logistic(b!, 0, d!, e!, dose[i]),
  },
  'emergence-weibull': {
    names: ['M', 'k', 'b'],
    of: 'y',
    at: ({ x }, i, [M, k, b]) => (x[i] > 80 ? M! * (1 - exp(-(((x[i] - 80) / k!) ** b!))) : 0),
  },
  'emergence-logistic': {
    names: ['M', 'b', 't50'],
    of: 'y',
    at: ({ x }, i, [M, b, t50]) => M! / (1 + exp(-b! * (x[i] - t50!))),
  },
  'emergence-gompertz': {
    names: ['M', 'b', 'k'],
    of: 'y',
    at: ({ x }, i, [M, b, k]) => M! * exp(-b! * exp(-k! * x[i])),
  },
  'bank-decline': { names: ['a', 'k'], of: 's', at: ({ t }, i, [a, k]) => a! * exp(-k! * t[i]) },
};
/** As the maker's: all above 0 but a lower limit and a delay's effect. */
const lowOf = (name: string) => (name === 'c' || name === 'C' ? -Infinity : 1e-9);

describe('agronomic curves', () => {
  it('are judged all but the logistic regression, which is no least squares', () => {
    const judged = cases.cases.filter((one: Json) => Object.keys(MODELS).some((key) => one.id.startsWith(key)));
    expect(cases.cases.length - judged.length).toBe(1);
    expect(Object.keys(profiles)).toHaveLength(judged.length);
  });

  for (const { id, input, expected } of cases.cases) {
    const key = Object.keys(MODELS).find((one) => id.startsWith(one));
    if (key === undefined) continue;
    const { names, of, at } = MODELS[key]!;
    const curve = curveOf(input[of], (i, p) => at(input, i, p), {
      low: names.map(lowOf),
      ...(input.weights ? { weights: input.weights } : {}),
    });
    const start = names.map((name) => (input.start ?? { ywf: 4, I: 10, A: 50 })[name]);
    const fit = fitCurve(curve, [start]);
    if (expected.parameters)
      it(`${id} has the parameters and errors of R`, () => {
        expect(fit.converged).toBe(true);
        names.forEach((name, k) => {
          agree('parameters', fit.parameters[k]!, expected.parameters[name], 1e-6, id);
          agree('standard errors', fit.standardErrors[k]!, expected.standardErrors[name], 1e-5, `${id} ${name}`);
        });
        const squares = expected.residualSumOfSquares ?? expected.weightedResidualSumOfSquares;
        agree('residual sum of squares', fit.residualSumOfSquares, squares, 1e-9, id);
      });
    it(`${id} has the profile intervals of scipy, open where its are open`, () => {
      for (const [level, of] of [
        [0.95, 'profileInterval95'],
        [0.8, 'profileInterval80'],
      ] as const)
        names.forEach((name, k) => {
          const { low, high } = profileInterval(curve, fit, k, level);
          const [lowest, highest] = profiles[id][of][name];
          const width = (highest ?? fit.parameters[k]!) - (lowest ?? fit.parameters[k]!);
          for (const [end, judge] of [
            [low, lowest],
            [high, highest],
          ]) {
            if (judge === null) expect(end, `${id} ${name}: open`).toBeNull();
            else agree('profile intervals', end ?? NaN, judge, 1e-5, `${id} ${name}: of its width`, width);
          }
        });
    });
  }
});
