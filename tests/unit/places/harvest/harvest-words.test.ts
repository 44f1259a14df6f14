import { describe, expect, it } from 'vitest';
import type { FieldStudy } from '../../../../shared/analysis/study.ts';
import { EMPTY_LEDGER, type Ledger } from '../../../../shared/harvest/ledger.ts';
import type { Range } from '../../../../shared/model/range.ts';
import { layOutFlow } from '../../../../src/charts/flow-layout.ts';
import { workTimeOf } from '../../../../src/charts/work-time.ts';
import {
  farmLedgers,
  hopsOf,
  onTheGround,
  roughly,
  worseBeforeCleaner,
} from '../../../../src/places/harvest/harvest-words.ts';
import { hourMarks } from '../../../../src/places/harvest/hour-marks.ts';
import { flowOf, LEDGER_LINES, STAGES } from '../../../../src/places/harvest/ledger-flow.ts';
import { clockText, dayTextOf, spanText } from '../../../../src/places/harvest/local-time.ts';
import type { HarvestStop } from '../../../../src/state/answers.ts';

const ledger = (produced: number, carriedIn: number, out: number): Ledger => ({
  ...EMPTY_LEDGER,
  producedSeeds: produced,
  carriedInSeeds: carriedIn,
  shedBeforeSeeds: produced / 10,
  landedByMachineSeeds: produced * 0.9 + carriedIn - out,
  leftInMachineSeeds: out,
});
const one = () => 'combine';
const field = (id: string, produced: number | null, one: Ledger | null, arrived = 0): FieldStudy =>
  ({
    id,
    seedsProduced: { low: produced, central: produced, high: produced },
    ledger: one && { mild: one, central: one, harsh: one },
    arrived: one && { mild: arrived, central: arrived, harsh: arrived },
  }) as unknown as FieldStudy;
const all = (seeds: number | null) => ({ low: seeds, central: seeds, high: seeds }) as Range;
const stop = (id: string, startS: number | null, carriedIn: number | null): HarvestStop => ({
  field: id,
  startS,
  hasLog: true,
  implied: false,
  cleanOutBefore: null,
  carriedIn: all(carriedIn),
  removedAtCleanOut: all(0),
  carriedOut: all(0),
});

describe('the ledger as a stream', () => {
  it('has every line of the ledger once, and closes as the ledger does', () => {
    const { sources, branches } = flowOf(ledger(1000, 50, 40));
    expect([...sources, ...branches].map(({ id }) => id).sort()).toEqual(Object.keys(EMPTY_LEDGER).sort());
    expect(LEDGER_LINES).toHaveLength(10);
    const sheet = { widthPx: 300, streamPx: 100, labelPx: 30, gapPx: 4, stages: STAGES.length };
    expect(layOutFlow(sources, branches, sheet).total).toBe(1050);
  });
});

describe('a farm in words', () => {
  const fields = [field('a', 1000, ledger(1000, 0, 40)), field('b', 10, ledger(10, 40, 1)), field('c', null, null)];

  it('sums the fields that have a ledger, seed between them counted once', () => {
    const sum = farmLedgers(fields, one)!.central;
    expect(sum).toMatchObject({ producedSeeds: 1010, carriedInSeeds: 0, leftInMachineSeeds: 1 });
    expect(onTheGround(farmLedgers(fields, one)!).central).toBeCloseTo(1009 / 1010);
    expect(farmLedgers([field('c', null, null)], one)).toBeNull();
  });

  it('counts seed that machines brought to the farm once a machine, as carried in', () => {
    const brought = [
      field('a', 1000, ledger(1000, 200, 60), 200),
      field('b', 10, ledger(10, 60, 1), 30),
      field('d', 10, ledger(10, 7, 2), 7),
    ];
    const sum = farmLedgers(brought, (id) => (id === 'd' ? 'hired' : 'combine'))!.central;
    expect(sum).toMatchObject({ producedSeeds: 1020, carriedInSeeds: 207, leftInMachineSeeds: 3 });
  });

  it('follows the machine through the fields that have a day', () => {
    const hops = hopsOf([stop('a', 1, 0), stop('b', 2, 40), stop('c', null, null)]);
    expect(hops).toMatchObject([{ from: 'a', to: 'b', seeds: { central: 40 } }]);
  });

  it('tells where it went from more seed into less, and of unlooked fields nothing', () => {
    const stops = [stop('a', 1, 0), stop('b', 2, 40), stop('a', 3, 1), stop('c', 4, 500)];
    expect(worseBeforeCleaner(hopsOf(stops), fields).map(({ from, to }) => [from, to])).toEqual([['a', 'b']]);
  });

  it('says seeds to two figures', () => {
    expect([0.4, 3.4, 78, 1234, 5.57e9].map(roughly)).toEqual([0, 3, 78, 1200, 5.6e9]);
  });
});

describe('time on the farm’s clock', () => {
  const noonUtc = Date.UTC(2026, 8, 22, 17, 5) / 1000;

  it('is told in the farm’s hours', () => {
    expect(clockText(noonUtc, -300)).toBe('12:05 pm');
    expect(clockText(noonUtc, -18 * 60)).toBe('11:05 pm');
    expect(dayTextOf(noonUtc, -18 * 60)).toBe('Sep 21');
    expect([40, 720, 11_100].map(spanText)).toEqual(['40 s', '12 min', '3 h 5 min']);
  });

  it('is marked by whole hours with room between the words, and by the day where work begins', () => {
    const timeS = Float64Array.from({ length: 8 * 60 }, (_, k) => noonUtc + 60 * k);
    const marks = hourMarks(workTimeOf(timeS, 120, 550, 14), -300);
    expect(marks[0]).toMatchObject({ x: 0, words: 'Sep 22, 12:05 pm' });
    expect(marks.slice(1).map(({ words }) => words)).toEqual(['2 pm', '3 pm', '4 pm', '5 pm', '6 pm', '7 pm']);
    for (let k = 1; k < marks.length; k++) expect(marks[k]!.x - marks[k - 1]!.x).toBeGreaterThan(60);
  });
});
