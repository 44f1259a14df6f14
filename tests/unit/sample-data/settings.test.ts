import { describe, expect, it } from 'vitest';
import { TOLERATES } from '../../../sample-data/farm-tables.ts';
import { FIELDS } from '../../../sample-data/layout.ts';
import { sampleSettings } from '../../../sample-data/settings.ts';
import { farmSchema } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';

const settings = sampleSettings();

/** The settings as a document, with names of files where they are taken for ids. */
function asFarm() {
  return {
    ...emptyFarm(settings.id, settings.name),
    ...settings,
    rounds: settings.rounds.map((round) => ({ ...round, files: [] })),
  };
}

describe('the sample’s settings', () => {
  it('satisfy the document’s schema, and the schema would notice if they did not', () => {
    const checked = farmSchema.safeParse(asFarm());
    expect(checked.success ? [] : checked.error.issues).toEqual([]);
    expect(farmSchema.safeParse({ ...asFarm(), planning: { horizonYears: 60 } }).success).toBe(false);
  });

  it('say that they are invented, wherever a label or a neighbor is named', () => {
    expect(settings.invented).toBe(true);
    expect(settings.note).toContain('Invented');
    for (const { name } of settings.products) expect(name).toContain('(invented)');
    for (const { note } of settings.neighbors) expect(note).toContain('(invented)');
  });

  it('visit every field once with the one combine, with a log for all but one', () => {
    const visits = settings.seasons.at(-1)!.visits;
    expect(visits.map(({ field }) => field).sort()).toEqual(FIELDS.map(({ id }) => id).sort());
    expect(visits.filter((visit) => 'fileName' in visit)).toHaveLength(13);
    const names = settings.sampleFiles.map(({ name }) => name);
    for (const visit of visits) if ('fileName' in visit) expect(names).toContain(visit.fileName);
    for (const round of settings.rounds) for (const name of round.fileNames) expect(names).toContain(name);
  });

  it('offer five programs whose every spraying is in the products and stood by the crop it is for', () => {
    expect(settings.programs.map(({ id }) => id)).toEqual([
      'as-now',
      'residual-then-post',
      'full-rate-residual-then-post',
      'overlapping-residuals',
      'zero-seed-patches',
    ]);
    const sold = settings.products.flatMap(({ parts }) => parts.map(({ ingredient }) => ingredient));
    for (const { id, passes } of settings.programs) {
      expect(new Set(passes.map((pass) => pass.id)).size, id).toBe(passes.length);
      for (const { parts, crops } of passes) {
        for (const { ingredient } of parts) {
          expect(sold).toContain(ingredient);
          for (const crop of crops) expect(TOLERATES[crop as 'corn' | 'soybean'].split('; ')).toContain(ingredient);
        }
      }
    }
  });

  it('cost more from program to program, as now least', () => {
    const costs = settings.programs.map(({ passes }) =>
      passes.reduce((sum, pass) => sum + (pass.crops.includes('corn') ? 0 : pass.costPerHa), 0),
    );
    expect(costs).toEqual([...costs].sort((a, b) => a - b));
    expect(costs[0]).toBe(95);
  });

  it('keep every label’s rates in order', () => {
    for (const { label } of settings.products) {
      expect(label.low).toBeLessThanOrEqual(label.full);
      expect(label.full).toBeLessThanOrEqual(label.high);
      expect(label.high).toBeLessThanOrEqual(label.seasonMax);
    }
  });
});
