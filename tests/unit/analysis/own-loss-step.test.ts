import { beforeAll, describe, expect, test } from 'vitest';
import { lossPercentAt } from '../../../shared/agronomy/own-loss-curve.ts';
import type { OwnLossLine } from '../../../shared/analysis/own-loss-line.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import type { Working } from '../../../shared/analysis/working.ts';
import { studySchema } from '../../../shared/model/output/study.ts';
import { closeTo } from '../../support/close-to.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';
import { boundaries, counts, crops, harvestLog, scouting } from '../../support/small-farm.ts';

type Fitted = Extract<OwnLossLine, { kind: 'fit' }>;

/** Thin in the west, thick in the east; the log yields what the curve leaves. */
const truth = { I: 9, A: 65 };
const density = (x: number, y: number) => 30 * (x / 120) ** 2 * (0.6 + 0.4 * (y / 120));
const flow = (x: number, y: number) => 8 * (1 - lossPercentAt(truth, density(x, y)) / 100);
const files = {
  'boundaries.geojson': boundaries(),
  'crops.csv': crops,
  'west-soybean-harvest.csv': harvestLog('West', '2026-10-03', 50_000, flow),
};
const counted = (x: number, y: number) => Math.round(density(x, y));
const grid = counts('West', [8, 6], counted, '2026-08-28');
const after = counts('West', [8, 6], () => 0, '2026-10-20');
const few = counts('Middle', [3, 2], counted, '2026-08-28');

let host: MemoryHost;
let study: Study;
beforeAll(() => {
  host = hostWithFarm('farm', { ...files, 'rounds.csv': scouting(grid, few) });
  study = host.json<Study>('study', 'farm');
}, 60_000);
const fieldOf = (of: Study, id: string) => of.fields.find((one) => one.id === id)!;

describe('the loss by a field’s own records', () => {
  test('rests on the last round before the harvest, not on one after it', () => {
    const both = hostWithFarm('both', { ...files, 'rounds.csv': scouting(grid), 'later.csv': scouting(after) });
    const own = fieldOf(both.json<Study>('study', 'both'), 'west').ownLoss as Fitted;
    expect([own.round.from, own.round.to]).toEqual(['2026-08-28', '2026-08-28']);
  });

  test('pairs the counts with the yield around each place', () => {
    const own = fieldOf(study, 'west').ownLoss as Fitted;
    expect(own.kind).toBe('fit');
    expect(own.pairs.length + own.leftOut.noYield).toBe(48);
    expect(Math.max(...own.pairs.map((one) => one.densityPerM2))).toBeGreaterThan(20);
    expect(own.cellsMedian).toBeGreaterThan(3);
    expect(studySchema.safeParse(study).error?.issues ?? []).toEqual([]);
  });

  test('finds the curve behind the log, used since every condition is met', () => {
    const own = fieldOf(study, 'west').ownLoss as Fitted;
    expect(own.conditions.map((one) => one.met)).toEqual(['yes', 'yes', 'yes', 'yes', 'yes']);
    expect(own.used).toBe(true);
    const loss = lossPercentAt(truth, own.medianDensityPerM2) / 100;
    closeTo(own.lossFraction.central, loss, { within: 0.05, because: 'whole counts, and a swath of 9 m smears' });
  });

  test('takes the place of the literature’s in this season’s loss, and the working says so', () => {
    const { yieldLossFraction, ownLoss } = fieldOf(study, 'west');
    const told = host.json<Working>('working', 'farm', 'fields/west/yieldLossFraction');
    expect(told.notes.join(' ')).toContain('The field’s own curve stands in for the literature’s');
    expect(told.parameters).toEqual([]);
    const mean = (curve: { I: number; A: number }) => {
      let sum = 0;
      for (let x = 2.5; x < 120; x += 5) for (let y = 2.5; y < 120; y += 5) sum += lossPercentAt(curve, density(x, y));
      return sum / 24 ** 2 / 100;
    };
    closeTo(yieldLossFraction.central!, mean((ownLoss as Fitted).curve), {
      within: 0.06,
      because: 'a map from 48 counts beside the density itself',
    });
    expect(yieldLossFraction.low!).toBeLessThan(yieldLossFraction.central!);
    expect(yieldLossFraction.high!).toBeGreaterThan(yieldLossFraction.central!);
  });

  test('has workings for its numbers, with the interval, the conditions and what else may be behind it', () => {
    const own = fieldOf(study, 'west').ownLoss as Fitted;
    const told = host.json<Working>('working', 'farm', 'fields/west/ownLoss/lossFraction');
    closeTo(told.range.central!, own.lossFraction.central, { within: 0, because: 'the same number' });
    const notes = told.notes.join(' ');
    for (const word of ['80% profile interval', 'Met:', 'AIC', 'share causes', 'smears']) expect(notes).toContain(word);
    for (const [name, value] of [
      ['I', own.curve.I],
      ['A', own.curve.A / 100],
      ['weedFreeYieldKgHa', own.curve.weedFreeKgHa],
    ] as const)
      closeTo(host.json<Working>('working', 'farm', `fields/west/ownLoss/${name}`).range.central! / value, 1, {
        within: 1e-12,
        because: 'the same number',
      });
  });

  test('is printed with the literature beside it', () => {
    const { out } = host.run('study', 'farm');
    const text = out.replace(/\s+/g, ' ');
    expect(text).toContain('Loss where weeds stood, by each field’s own log and counts');
    expect(text).toMatch(
      /West: \d+ to \d+%, most likely \d+; the literature says .* Used for this season: fields\/west/,
    );
    expect(text).not.toContain('Middle: not known, since');
  });

  test('is missing, in a sentence, without a log', () => {
    expect(fieldOf(study, 'middle').ownLoss).toEqual({
      kind: 'missing',
      why: 'there is no harvest log of this field, so its yield is not known place by place',
    });
    expect(fieldOf(study, 'east').ownLoss).toBeNull();
  });

  test('is shown, not used, where a condition fails, and the loss is what it would be without it', () => {
    const sparse = scouting(counts('West', [4, 4], counted, '2026-08-28'));
    const with16 = hostWithFarm('few', { ...files, 'rounds.csv': sparse });
    const without = hostWithFarm('none', {
      ...files,
      'west-soybean-harvest.csv': harvestLog('West'),
      'rounds.csv': sparse,
    });
    const west = fieldOf(with16.json<Study>('study', 'few'), 'west');
    expect((west.ownLoss as Fitted).used).toBe(false);
    expect((west.ownLoss as Fitted).conditions[0]!.met).toBe('no');
    const other = fieldOf(without.json<Study>('study', 'none'), 'west');
    expect(west.yieldLossFraction).toEqual(other.yieldLossFraction);
  });
});
