import { describe, expect, it } from 'vitest';
import type { SpeciesStrip } from '../../../../shared/analysis/season-strip.ts';
import { dayNumber } from '../../../../shared/units/calendar.ts';
import type { FieldStrip } from '../../../../src/state/answers.ts';
import { entriesWhileClosed, missingOf, widestGap } from '../../../../src/places/season/season-words.ts';
import {
  axisOf,
  coverBar,
  emergenceBand,
  gapLabels,
  spreadLabels,
  stairs,
  weatherShapes,
} from '../../../../src/places/season/strip-layout.ts';

const day = (text: string) => dayNumber(text)!;
const FIRST = day('2026-01-01');
const DAYS = 365;
const flat = (value: number) => new Float32Array(DAYS).fill(value);

const bare: FieldStrip = {
  field: 'west',
  year: 2026,
  firstDay: FIRST,
  days: DAYS,
  crop: 'soybean',
  plantedDay: day('2026-05-10'),
  plantedStated: true,
  plantedFrom: 'the crop plan',
  cropDay: { low: day('2026-05-18'), central: day('2026-05-18'), high: day('2026-05-18') },
  weather: null,
  sprayings: [],
  rounds: [],
  sightings: [],
  harvestDay: null,
  coverThresholdFraction: 0.8,
  species: [],
};
const range = (central: number) => ({ low: central, central, high: central });
const covered = Float32Array.from(flat(0.1), (none, k) => (k >= 130 && k < 150 ? 0.9 : none));
const weed: SpeciesStrip = {
  species: 'waterhemp',
  emergenceFrom: 'as seen',
  basis: 'sighting',
  firstDay: FIRST,
  emerged: { low: flat(0.2), central: flat(0.5), high: flat(0.7) },
  controlled: { low: flat(0.1), central: covered, high: covered },
  gaps: [
    { fromDay: FIRST + 100, toDay: FIRST + 129, shareFraction: range(0.3) },
    { fromDay: FIRST + 150, toDay: FIRST + 151, shareFraction: range(0.4) },
    { fromDay: FIRST + 200, toDay: FIRST + 260, shareFraction: range(0.001) },
  ],
  inGapsFraction: range(0.7),
  uncoveredFraction: range(0.6),
};
const axis = { fromDay: FIRST + 90, toDay: FIRST + 289, widthPx: 400 };
const numbers = (path: string) => (path.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);

describe('the axis of a season', () => {
  it('runs from April to October, and further where something was done', () => {
    expect(axisOf([bare], 500)).toMatchObject({ fromDay: day('2026-04-01'), toDay: day('2026-10-31') });
    const long = axisOf([{ ...bare, harvestDay: day('2026-11-20'), plantedDay: day('2026-03-20') }], 500)!;
    expect(long.fromDay).toBeLessThan(day('2026-03-20'));
    expect(long.toDay).toBeGreaterThan(day('2026-11-20'));
    expect(axisOf([], 500)).toBeNull();
  });

  it('never leaves the year', () => {
    expect(axisOf([{ ...bare, harvestDay: day('2026-12-31') }], 500)!.toDay).toBe(day('2026-12-31'));
  });
});

describe('what is drawn', () => {
  it('draws emergence as a band between the least and the greatest case', () => {
    const { band, line } = emergenceBand(weed, axis, { top: 10, height: 100 });
    const ys = new Set(numbers(band).filter((_, k) => k % 2 === 1));
    expect([...ys].sort((a, b) => a - b)).toEqual([40, 90]);
    expect(new Set(numbers(line).filter((_, k) => k % 2 === 1))).toEqual(new Set([60]));
  });

  it('draws cover only on covered days, to the end of the last, as thick as its share', () => {
    const bar = numbers(coverBar(weed, 'central', 0.8, axis, { top: 0, height: 20 }));
    const xs = bar.filter((_, k) => k % 2 === 0);
    const ys = bar.filter((_, k) => k % 2 === 1);
    expect(Math.min(...xs)).toBe((130 - 90) * 2);
    expect(Math.max(...xs)).toBe((150 - 90) * 2);
    expect([Math.min(...ys), Math.max(...ys)]).toEqual([1, 19]);
    expect(coverBar(weed, 'low', 0.8, axis, { top: 0, height: 20 })).toBe('');
  });

  it('writes the share into a gap that has room for it, and says nothing where nothing came up', () => {
    expect(gapLabels(weed, 0.8, axis, 6, [])).toEqual([{ fromDay: FIRST + 100, x: 50, words: '30%' }]);
    // Cover that only the mildest case has takes ten days of the gap: the words stand beside it.
    const high = covered.map((share, k) => (k >= 100 && k < 110 ? 0.9 : share));
    const [beside] = gapLabels({ ...weed, controlled: { ...weed.controlled, high } }, 0.8, axis, 6, []);
    expect(beside).toMatchObject({ x: 60, words: '30%' });
  });

  it('writes the share beside a line that runs through the gap, on it only where there is no other room', () => {
    // The gap's thirty days are 60 px from 20 to 80; a line at the tenth leaves 38 px from 42 to 80.
    const [beside] = gapLabels(weed, 0.8, axis, 6, [FIRST + 110]);
    expect(beside).toMatchObject({ x: 61, words: '30%' });
    const [onIt] = gapLabels(weed, 0.8, axis, 13, [FIRST + 115]);
    expect(onIt).toMatchObject({ x: 50, words: '30%' });
  });

  it('leaves days without weather out of the picture', () => {
    const weather = { maxC: flat(30), minC: flat(10), rainMm: flat(NaN) };
    weather.rainMm[100] = 10;
    weather.maxC[120] = NaN;
    const drawn = weatherShapes(weather, FIRST, axis, { top: 0, height: 40 }, [0, 40], 20);
    expect(drawn.rain).toEqual([{ x: 20, height: 20 }]);
    expect(drawn.temperature.split('M').length).toBe(3);
  });

  it('keeps words apart along a line', () => {
    const labels = [
      { x: 0, widthPx: 30 },
      { x: 10, widthPx: 30 },
      { x: 100, widthPx: 30 },
    ];
    expect(spreadLabels(labels, 120).map(({ at }) => at)).toEqual([0, 30]);
  });
});

describe('the words of what was done', () => {
  const mark = (x: number, widthPx = 40) => ({ x, widthPx });

  /** No words on others, no line through words, nothing off the sheet. */
  function isClear(marks: readonly { x: number; widthPx: number }[], sheetPx: number): boolean {
    const placed = stairs(marks, sheetPx);
    expect(placed).toHaveLength(marks.length);
    return placed.every(
      (one, index) =>
        one.at >= 0 &&
        one.at + one.widthPx <= sheetPx &&
        placed.every(
          (other, at) =>
            at === index ||
            (!(other.row === one.row && other.at < one.at + one.widthPx && one.at < other.at + other.widthPx) &&
              !(other.row > one.row && other.x > one.at && other.x < one.at + one.widthPx)),
        ),
    );
  }

  it('stand in one row where there is room, right of their lines', () => {
    expect(stairs([mark(10), mark(100)], 300)).toMatchObject([
      { at: 13, row: 0 },
      { at: 103, row: 0 },
    ]);
  });

  it('go down in stairs where they are close, the last on top', () => {
    expect(stairs([mark(10), mark(20), mark(30), mark(200)], 300).map(({ row }) => row)).toEqual([2, 1, 0, 0]);
  });

  it('turn to the left of their lines at the end of the sheet', () => {
    expect(stairs([mark(240), mark(280)], 300)).toMatchObject([
      { at: 197, row: 0 },
      { at: 237, row: 1 },
    ]);
  });

  it('never lie on each other or under a line, however the spring was crowded', () => {
    for (const sheetPx of [358, 572]) {
      for (let seed = 1; seed <= 200; seed++) {
        const marks = Array.from({ length: 9 }, (_, index) => {
          const share = ((seed * 7919 + index * index * 104729 + index * 1299709) % 1000) / 1000;
          return mark(Math.round((index < 6 ? 60 + 60 * share : sheetPx * share) * 10) / 10, 45 + (index % 4) * 12);
        });
        expect([seed, isClear(marks, sheetPx)]).toEqual([seed, true]);
      }
    }
  });
});

describe('what is said', () => {
  it('warns of people in a field that is closed after a spraying', () => {
    const on = day('2026-06-10');
    const parts = [{ ingredient: 'x', rateFraction: 1, coverDays: null, activeFromDay: null, activation: null }];
    const closed = { fromDay: on, toDay: on + 2, hours: 48, from: 'typed' };
    const strip = {
      ...bare,
      sprayings: [{ day: on, parts, closed }],
      rounds: [{ id: 'r', fromDay: on + 2, toDay: on + 4 }],
      sightings: [{ species: 'waterhemp', day: on + 3, what: 'tallest' as const, heightMm: null }],
    };
    expect(entriesWhileClosed(strip).map((one) => one.what)).toEqual(['scouting of Jun 12 to Jun 14']);
    expect(entriesWhileClosed({ ...strip, sprayings: [{ day: on, parts, closed: null }] })).toEqual([]);
  });

  it('names what is missing and what would lift it', () => {
    const codes = missingOf({ ...bare, plantedStated: false }, { ...weed, basis: 'calendar band' }).map(
      (one) => one.what,
    );
    expect(codes).toHaveLength(4);
    expect(codes.join(' ')).toMatch(/No weather of 2026.*Planting is taken as May 10.*No spraying.*Emergence is/);
    expect(missingOf({ ...bare, weather: { maxC: flat(1), minC: flat(0), rainMm: flat(0) } }, weed)).toHaveLength(1);
  });

  it('finds the gap that most came up in', () => {
    expect(widestGap(weed.gaps)!.fromDay).toBe(FIRST + 150);
    expect(widestGap([])).toBeNull();
  });
});
