import { describe, expect, it } from 'vitest';
import { type Ground, lettersOn, linearOf, luminanceOf, rampColor, ROSE_TO_PLUM } from '../../../src/map/ramp.ts';

const STEPS = 14;
const values = Array.from({ length: STEPS }, (_, index) => index / (STEPS - 1));
const GROUNDS: readonly Ground[] = ['light', 'dark'];

/** Machado, Oliveira, Fernandes 2009, severity 1.0, on linear RGB; the matrices are from memory. */
const SIGHTS: Readonly<Record<string, readonly number[]>> = {
  'common sight': [1, 0, 0, 0, 1, 0, 0, 0, 1],
  protanopia: [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998],
  deuteranopia: [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.01182, 0.04294, 0.968881],
  tritanopia: [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.3039],
};

function linearRgb(color: string): number[] {
  return [1, 3, 5].map((at) => linearOf(parseInt(color.slice(at, at + 2), 16) / 255));
}

/** CIE L* of a color as seen. */
function lightnessSeen(color: string, sight: readonly number[]): number {
  const rgb = linearRgb(color);
  const seen = [0, 3, 6].map((row) => sight[row]! * rgb[0]! + sight[row + 1]! * rgb[1]! + sight[row + 2]! * rgb[2]!);
  const y = Math.min(1, Math.max(0, 0.2126 * seen[0]! + 0.7152 * seen[1]! + 0.0722 * seen[2]!));
  return y > 0.008856 ? 116 * Math.cbrt(y) - 16 : 903.3 * y;
}

describe('the ramp from rose to plum', () => {
  it('gives the color that OKLCH says: a gray where chroma is 0', () => {
    // OKLab of a gray has L = ∛Y: 0.9 → Y = 0.729 → 0.8685 coded → 221.5 of 255 (Ottosson 2020).
    expect(rampColor({ hueDeg: [0, 0], chroma: [0, 0] }, 0, 'light')).toMatch(/^#(dd|de)(dd|de)(dd|de)$/);
  });

  for (const ground of GROUNDS) {
    for (const [name, sight] of Object.entries(SIGHTS)) {
      it(`runs one way in lightness on ${ground} ground under ${name}, each of ${STEPS} steps apart from the next`, () => {
        const seen = values.map((value) => lightnessSeen(rampColor(ROSE_TO_PLUM, value, ground), sight));
        const sign = ground === 'light' ? -1 : 1;
        const steps = seen.slice(1).map((lightness, index) => sign * (lightness - seen[index]!));
        // 1 L* is about the least difference that is seen side by side (common practice, no source); evenly: none over twice the mean.
        expect(Math.min(...steps)).toBeGreaterThan(2);
        expect(Math.max(...steps)).toBeLessThan((2 * steps.reduce((a, b) => a + b)) / steps.length);
      });
    }

    it(`lets the letters on it be read on ${ground} ground: contrast of 4.5 at every value (WCAG 2.2, 1.4.3)`, () => {
      for (let value = 0; value <= 1; value += 1 / 64) {
        const color = rampColor(ROSE_TO_PLUM, value, ground);
        const letters = luminanceOf(lettersOn(color));
        const [high, low] = [Math.max(letters, luminanceOf(color)), Math.min(letters, luminanceOf(color))];
        expect((high + 0.05) / (low + 0.05)).toBeGreaterThanOrEqual(4.5);
      }
    });
  }
});
