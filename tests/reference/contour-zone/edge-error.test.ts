/** Position error and section width at a zone's edge against the exact cases of contour-zone. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { alongEdgeM, missedStripFraction } from '../../../shared/zones/edge-error.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

type Row = Readonly<Record<string, number>>;
const cases = JSON.parse(readFileSync(new URL('cases.json', import.meta.url), 'utf8')) as Record<
  string,
  { results: Row[] }
>;
const rowsOf = (name: string) => cases[name]!.results;
const exact = { within: 1e-10, because: 'the cases allow 1e-10: closed form against closed form' };

describe('the edge of a zone', () => {
  it('is missed by a displaced edge as the exact share says, with a buffer and without', () => {
    let largest = 0;
    for (const row of rowsOf('positionErrorEdge')) {
      for (const [name, buffers] of Object.entries({ missedShare: 0, buffered1sd: 1, buffered2sd: 2 })) {
        const found = missedStripFraction(row['stripM']!, row['sdM']!, buffers * row['sdM']!);
        closeTo(found, row[name]!, exact);
        largest = Math.max(largest, Math.abs(found - row[name]!));
      }
    }
    recordAgreement('contour-zone', 'share missed at a displaced edge', largest, 1e-10, 'share');
  });

  it('is over-treated and missed by sections as plain geometry says', () => {
    for (const row of rowsOf('parallelEdge')) {
      const section = row['sectionM']!;
      expect(alongEdgeM(section, 'any')).toEqual({ overM: row['anyInsideOverM'], missedM: 0 });
      expect(alongEdgeM(section, 'all')).toEqual({ overM: 0, missedM: row['allInsideMissedM'] });
      expect(alongEdgeM(section, 'centre')).toEqual({
        overM: row['centreRuleOverM'],
        missedM: row['centreRuleMissedM'],
      });
    }
  });

  it('refuses a strip or an error without a size', () => {
    expect(() => missedStripFraction(0, 1)).toThrow(RangeError);
    expect(() => missedStripFraction(1, 0)).toThrow(RangeError);
  });
});
