import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import * as own from '../../../sample-data/elementary.ts';
import { closeTo } from '../../support/close-to.ts';

const folder = fileURLToPath(new URL('../../../sample-data/', import.meta.url));
const because = 'both are good to a few units in the last place';

function over(low: number, high: number, check: (x: number) => void): void {
  for (let k = 0; k <= 4000; k++) check(low + ((high - low) * k) / 4000);
}

describe('the sample program’s own elementary functions', () => {
  it('refuse the logarithm of nothing', () => {
    expect(() => own.log(0)).toThrow('positive');
    expect(() => own.log(-1)).toThrow('positive');
  });

  it('give the exact values where there are any', () => {
    expect([own.sin(0), own.cos(0), own.exp(0), own.log(1), own.atan(0), own.atan2(0, 0), own.sinh(0)]).toEqual([
      0, 1, 1, 0, 0, 0, 0,
    ]);
    expect([own.atan2(0, -1), own.atan2(1, 0), own.atan2(-1, 0)]).toEqual([Math.PI, Math.PI / 2, -Math.PI / 2]);
  });

  it('agree with the host’s', () => {
    over(-900, 900, (x) => {
      closeTo(own.sin(x), Math.sin(x), { within: 5e-16, because });
      closeTo(own.cos(x), Math.cos(x), { within: 5e-16, because });
    });
    over(-40, 40, (x) => {
      closeTo(own.exp(x) / Math.exp(x), 1, { within: 2e-15, because });
      closeTo(own.atan(x), Math.atan(x), { within: 5e-16, because });
      closeTo(own.asinh(x / 40), Math.asinh(x / 40), { within: 1e-15, because });
    });
    over(1e-9, 1e3, (x) => closeTo(own.log(x), Math.log(x), { within: 2e-15, because }));
    over(-3, 3, (x) => {
      closeTo(own.sinh(x), Math.sinh(x), { within: 5e-15, because });
      closeTo(own.cosh(x), Math.cosh(x), { within: 5e-15, because });
    });
    over(-0.999, 0.999, (x) => {
      closeTo(own.atanh(x), Math.atanh(x), { within: 1e-15 / (1 - Math.abs(x)), because });
      closeTo(own.acos(x), Math.acos(x), { within: 2e-15, because });
    });
    over(0, 6.28, (angle) => {
      const [x, y] = [3 * Math.cos(angle), 3 * Math.sin(angle)];
      closeTo(own.atan2(y, x), Math.atan2(y, x), { within: 1e-15, because });
    });
  });
});

describe('the sample program', () => {
  const mayUse = new Set(['floor', 'ceil', 'imul', 'fround', 'sqrt', 'min', 'max', 'abs']);
  const sources = ['make-sample.ts'];
  for (let i = 0; i < sources.length; i++) {
    for (const [, name] of readFileSync(folder + sources[i]!, 'utf8').matchAll(/from '\.\/([\w-]+\.ts)'/g)) {
      if (!sources.includes(name!)) sources.push(name!);
    }
  }

  it('asks the engine for nothing whose last bit is the engine’s own', () => {
    expect(sources.length).toBeGreaterThan(15);
    for (const name of sources) {
      const code = readFileSync(folder + name, 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '');
      const asked = [...code.matchAll(/Math\.(\w+)/g)].map(([, what]) => what!);
      expect(
        asked.filter((what) => !mayUse.has(what)),
        name,
      ).toEqual([]);
      expect(code, name).not.toMatch(
        /\*\*|\bDate[.(]|\bperformance\b|\bprocess\b|from 'node:|toLocale|Intl\b|toPrecision/,
      );
    }
  });
});
