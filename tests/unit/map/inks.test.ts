import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { INKS } from '../../../src/map/inks.ts';

const tokens = readFileSync(new URL('../../../src/styles/tokens.css', import.meta.url), 'utf8');

/** The custom properties of one rule of the style sheet. */
function propertiesOf(selector: string): Record<string, string> {
  const start = tokens.indexOf(`${selector} {`);
  const rule = tokens.slice(start, tokens.indexOf('\n}', start));
  return Object.fromEntries([...rule.matchAll(/--([\w-]+):\s*([^;]+);/g)].map((match) => [match[1]!, long(match[2]!)]));
}

function long(color: string): string {
  return /^#[0-9a-f]{3}$/.test(color) ? `#${[...color.slice(1)].map((digit) => digit + digit).join('')}` : color;
}

describe('the inks of the map', () => {
  for (const [ground, selector] of [
    ['light', ':root'],
    ['dark', ":root[data-theme='dark']"],
    ['sunlight', ":root[data-theme='sunlight']"],
  ] as const) {
    it(`are those of the style sheet on ${ground} ground`, () => {
      const css = propertiesOf(selector);
      const { paper, ink, inkSoft, hairline, hatch, halo } = INKS[ground];
      expect({ paper, ink, inkSoft, hairline, hatch, halo }).toEqual({
        paper: css['paper'],
        ink: css['ink'],
        inkSoft: css['ink-soft'],
        hairline: css['hairline'],
        hatch: css['hatch'],
        halo: css['halo'],
      });
    });
  }
});
