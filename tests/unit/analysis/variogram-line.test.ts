import { beforeAll, describe, expect, test } from 'vitest';
import type { Study } from '../../../shared/analysis/study.ts';
import type { Working } from '../../../shared/analysis/working.ts';
import { studySchema } from '../../../shared/model/output/study.ts';
import { closeTo } from '../../support/close-to.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';
import { boundaries, counts, scouting } from '../../support/small-farm.ts';

/** Weeds around one place, thinning out, in West; seven counts in Middle. */
const hill = (x: number, y: number) => Math.round(12 * Math.exp(-((x - 40) ** 2 + (y - 30) ** 2) / (2 * 30 ** 2)));
let host: MemoryHost;
let study: Study;
beforeAll(() => {
  host = hostWithFarm('farm', {
    'boundaries.geojson': boundaries(),
    'rounds.csv': scouting(counts('West', [6, 6], hill, undefined, 7), counts('Middle', [7, 1])),
  });
  study = host.json<Study>('study', 'farm');
});
const lineOf = (field: string) => study.fields.find((one) => one.id === field)!.bySpecies[0]!;

describe('the variogram of a weed in a field', () => {
  test('stands in the study from 20 counts on, by its schema', () => {
    expect(lineOf('middle').variogram).toBeNull();
    const { variogram } = lineOf('west');
    expect(variogram!.leftOut.stops).toBe(36);
    expect(variogram!.lags.robustGamma.length).toBe(variogram!.lags.gamma.length);
    expect(studySchema.safeParse(study).error?.issues ?? []).toEqual([]);
  });

  test('was chosen among exponential, spherical and Matérn 3/2 by how well it foretells stops left out', () => {
    const { model, tried } = lineOf('west').variogram!;
    const kinds = tried.map((one) => one.model.kind);
    expect(kinds).toEqual(expect.arrayContaining(['exponential', 'spherical', 'matern32']));
    const best = Math.max(...tried.map((one) => one.crossValidation.logScore));
    expect(tried.find((one) => one.crossValidation.logScore === best)!.model).toEqual(model);
  });

  test('has workings for its range and for what the stops left out say; the range names the fit of every model', () => {
    const { practicalRangeM, leftOut, tried } = lineOf('west').variogram!;
    const at = 'fields/west/bySpecies/waterhemp/variogram';
    const range = host.json<Working>('working', 'farm', `${at}/practicalRangeM`);
    expect(range.range).toEqual(practicalRangeM);
    for (const { model } of tried)
      expect(range.notes.join(' ').toLowerCase()).toContain(model.kind.replace('matern32', 'matérn 3/2'));
    for (const name of ['sameSide', 'factor', 'explainedFraction'] as const) {
      const { central } = host.json<Working>('working', 'farm', `${at}/leftOut/${name}`).range;
      closeTo(central!, leftOut[name]!, { within: 0, because: 'the same number' });
    }
    expect(leftOut.sameSide).toBeGreaterThan(Math.max(leftOut.above, leftOut.stops - leftOut.above));
    expect(leftOut.doubts).toEqual([]);
  });
});
