import { describe, expect, it } from 'vitest';
import type { Infestation } from '../../../shared/agronomy/infestation.ts';
import { silentCells, spokenForByAnyM2, spokenForM2 } from '../../../shared/analysis/known-ground.ts';
import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';

const FIELD_M2 = 100;
const cellAreaM2 = Float64Array.of(25, 25, 25, 25);

function weed(
  basis: Infestation['basis'],
  infestedFractionOf: Infestation['infestedFractionOf'],
  known: readonly number[],
): FieldInfestation {
  const knownAreaM2 = 25 * known.reduce((a, b) => a + b, 0);
  return {
    map: { basis, infestedFractionOf, known: Uint8Array.from(known), knownAreaM2 },
  } as unknown as FieldInfestation;
}

const surface = weed('surface', 'known', [1, 1, 0, 0]);
const patches = weed('drawn patches', 'known', [0, 1, 1, 0]);
const rating = weed('rating', 'field', [0, 0, 0, 0]);
const clean = weed('clean round', 'field', [0, 0, 0, 0]);
const evenCounts = weed('points', 'field', [1, 0, 0, 0]);
const fewCounts = weed('points', 'known', [1, 0, 0, 0]);
const nothing = weed('nothing', 'field', [0, 0, 0, 0]);

describe('the ground that a weed’s evidence speaks for', () => {
  it('is the known cells of a map, and those about too few counts for one', () => {
    for (const one of [surface, patches, fewCounts]) expect(spokenForM2(one.map, FIELD_M2)).toBe(one.map.knownAreaM2);
  });

  it('is the whole field where the infested area is of the whole field: a clean round, counts without structure', () => {
    for (const one of [clean, evenCounts]) expect(spokenForM2(one.map, FIELD_M2)).toBe(FIELD_M2);
  });

  it('is none where there is but a word, or nobody looked', () => {
    for (const one of [rating, nothing]) expect(spokenForM2(one.map, FIELD_M2)).toBe(0);
  });

  it('of any weed is cell by cell: what one map leaves out another may hold', () => {
    expect(silentCells([surface, patches, nothing], 4)).toEqual(Uint8Array.of(0, 0, 0, 1));
    expect(spokenForByAnyM2([surface, patches, nothing], { cellAreaM2 }, FIELD_M2)).toBe(75);
    expect(spokenForByAnyM2([surface, clean], { cellAreaM2 }, FIELD_M2)).toBe(FIELD_M2);
    expect(spokenForByAnyM2([rating, nothing], { cellAreaM2 }, FIELD_M2)).toBe(0);
  });

  it('is never more than the field, though cells on its edge add up to more', () => {
    expect(spokenForM2(surface.map, 40)).toBe(40);
    expect(spokenForM2(surface.map, 50.4)).toBe(50.4);
    expect(spokenForByAnyM2([surface], { cellAreaM2 }, 40)).toBe(40);
  });
});
