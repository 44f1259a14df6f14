import { describe, expect, it } from 'vitest';
import { INKS } from '../../../src/map/inks.ts';
import * as ramps from '../../../src/map/ramp.ts';
import { type Ground, lettersOn, luminanceOf, rampColor } from '../../../src/map/ramp.ts';
import { THEMES } from '../../../src/state/theme.svelte.ts';
import { apart, labSeen, SIGHTS } from './color-sight.ts';

const GROUNDS: readonly Ground[] = THEMES;
const RUNNING = {
  'rose to plum': ramps.ROSE_TO_PLUM,
  'sand to umber': ramps.SAND_TO_UMBER,
  'pale to teal': ramps.PALE_TO_TEAL,
  'straw to rust': ramps.STRAW_TO_RUST,
  'paper to ink blue': ramps.PAPER_TO_INK_BLUE,
};
/** Ranks of a farm make the most steps; classes make five. */
const STEPS = 14;
const values = Array.from({ length: STEPS }, (_, index) => index / (STEPS - 1));

describe('the ramps of the map', () => {
  it('give the color that OKLCH says: a gray where chroma is 0', () => {
    // OKLab of a gray has L = ∛Y: 0.9 → Y = 0.729 → 0.8685 coded → 221.5 of 255 (Ottosson 2020).
    expect(rampColor({ hueDeg: [0, 0], chroma: [0, 0] }, 0, 'light')).toMatch(/^#(dd|de)(dd|de)(dd|de)$/);
  });

  for (const ground of GROUNDS) {
    for (const [name, ramp] of Object.entries(RUNNING)) {
      for (const [sight, matrix] of Object.entries(SIGHTS)) {
        it(`${name} runs one way in lightness on ${ground} ground under ${sight}, each of ${STEPS} steps apart from the next`, () => {
          const seen = values.map((value) => labSeen(rampColor(ramp, value, ground), matrix)[0]);
          const sign = ground === 'dark' ? 1 : -1;
          const steps = seen.slice(1).map((lightness, index) => sign * (lightness - seen[index]!));
          // 1 L* is about the least difference that is seen side by side (common practice, no source); evenly: none over twice the mean.
          expect(Math.min(...steps)).toBeGreaterThan(2);
          expect(Math.max(...steps)).toBeLessThan((2 * steps.reduce((a, b) => a + b)) / steps.length);
        });
      }
    }

    it(`letters can be read on every color on ${ground} ground: contrast of 4.5 (WCAG 2.2, 1.4.3)`, () => {
      for (const ramp of [...Object.values(RUNNING), ramps.RUST_TO_INK_BLUE]) {
        for (let value = 0; value <= 1; value += 1 / 64) {
          const color = rampColor(ramp, value, ground);
          const letters = luminanceOf(lettersOn(color));
          const [high, low] = [Math.max(letters, luminanceOf(color)), Math.min(letters, luminanceOf(color))];
          expect((high + 0.05) / (low + 0.05)).toBeGreaterThanOrEqual(4.5);
        }
      }
    });

    it(`what is not sure fades to the paper on ${ground} ground`, () => {
      const paper = labSeen(INKS[ground].paper, SIGHTS['common sight']!);
      const [least, most] = [0, 1].map((value) =>
        labSeen(rampColor(ramps.PAPER_TO_INK_BLUE, value, ground), SIGHTS['common sight']!),
      ) as [ReturnType<typeof labSeen>, ReturnType<typeof labSeen>];
      expect(apart(least, paper)).toBeLessThan(12);
      expect(apart(most, paper)).toBeGreaterThan(40);
    });

    for (const [sight, matrix] of Object.entries(SIGHTS)) {
      const of = (value: number) => labSeen(rampColor(ramps.RUST_TO_INK_BLUE, value, ground), matrix);
      it(`gain and loss both leave the paper step by step on ${ground} ground under ${sight}`, () => {
        for (const side of [-1, 1]) {
          const steps = [0, 1, 2].map((k) => of(0.5 + (side * k) / 4)[0]);
          const sign = ground === 'dark' ? 1 : -1;
          expect(sign * (steps[1]! - steps[0]!)).toBeGreaterThan(8);
          expect(sign * (steps[2]! - steps[1]!)).toBeGreaterThan(8);
        }
      });
      // In gray the two sides look alike by nature: the sign stands in the label of each field.
      if (sight !== 'gray') {
        it(`gain is told from loss on ${ground} ground under ${sight}`, () => {
          expect(apart(of(0), of(1))).toBeGreaterThan(20);
        });
      }
    }
  }

  it('no two quantities share a ramp: their darkest colors are apart for common eyes', () => {
    const darkest = [ramps.ROSE_TO_PLUM, ramps.SAND_TO_UMBER, ramps.PALE_TO_TEAL, ramps.STRAW_TO_RUST].map((ramp) =>
      labSeen(rampColor(ramp, 0.75, 'light'), SIGHTS['common sight']!),
    );
    darkest.forEach((one, i) => darkest.slice(i + 1).forEach((other) => expect(apart(one, other)).toBeGreaterThan(12)));
  });
});
