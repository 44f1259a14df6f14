/** Where things lie on the strip of a season. */
import type { SpeciesStrip } from '../../../shared/analysis/season-strip.ts';
import { type DayAxis, dayWidth, dayX } from '../../charts/day-axis.ts';
import { bandPath } from '../../charts/shapes.ts';
import type { FieldStrip } from '../../state/answers.ts';
import { dayNumberOf } from '../../../shared/units/calendar.ts';
import { percents } from '../telling/range-words.ts';
import { LEAST_TOLD } from './season-words.ts';

/** April to October; longer where something lies outside. */
export function axisOf(strips: readonly FieldStrip[], widthPx: number): DayAxis | null {
  const [first] = strips;
  if (!first) return null;
  const days = strips.flatMap((one) => [
    one.plantedDay,
    ...one.sprayings.map(({ day }) => day),
    ...one.rounds.flatMap(({ fromDay, toDay }) => [fromDay, toDay]),
    ...one.sightings.map(({ day }) => day),
    ...(one.harvestDay === null ? [] : [one.harvestDay]),
  ]);
  const within = (day: number) => Math.min(first.firstDay + first.days - 1, Math.max(first.firstDay, day));
  return {
    fromDay: within(Math.min(dayNumberOf(first.year, 4, 1), ...days.map((day) => day - 3))),
    toDay: within(Math.max(dayNumberOf(first.year, 10, 31), ...days.map((day) => day + 3))),
    widthPx,
  };
}

export interface Plot {
  readonly top: number;
  readonly height: number;
}

/** Share of the season's emergence out by the start of each day, as a band from the least to the greatest case. */
export function emergenceBand(
  { emerged, firstDay }: SpeciesStrip,
  axis: DayAxis,
  { top, height }: Plot,
): { band: string; line: string } {
  const y = (share: number) => top + height * (1 - share);
  const days = onAxis(axis, emerged.low.length, firstDay);
  return {
    band: bandPath(days.map((k) => ({ x: dayX(axis, firstDay + k), y0: y(emerged.high[k]!), y1: y(emerged.low[k]!) }))),
    line: `M${days.map((k) => `${dayX(axis, firstDay + k).toFixed(1)} ${y(emerged.central[k]!).toFixed(1)}`).join('L')}`,
  };
}

/**
 * Cover as a bar about its middle whose thickness is the share that residuals stop; only where that is enough to count as covered.
 * @param which the case that is covered longest (high) or least (low)
 */
export function coverBar(
  { controlled, firstDay }: SpeciesStrip,
  which: 'low' | 'central' | 'high',
  threshold: number,
  axis: DayAxis,
  { top, height }: Plot,
): string {
  const middle = top + height / 2;
  const days = onAxis(axis, controlled[which].length, firstDay);
  const points = days.flatMap((k) => {
    const share = controlled[which][k]!;
    const thick = share < threshold ? NaN : (share * height) / 2;
    const next = controlled[which][k + 1] ?? 0;
    const here = { x: dayX(axis, firstDay + k), y0: middle - thick, y1: middle + thick };
    // The last covered day is covered to its end.
    return share >= threshold && next < threshold ? [here, { ...here, x: here.x + dayWidth(axis) }] : [here];
  });
  return bandPath(points);
}

export interface GapLabel {
  readonly fromDay: number;
  readonly x: number;
  readonly words: string;
}

/**
 * The share of a gap where its paper is bare in every case, if that has room; a gap that nothing comes up in says nothing.
 * @param lines days with a line through the paper: words stand beside it where they can
 */
export function gapLabels(
  { gaps, controlled, firstDay }: SpeciesStrip,
  threshold: number,
  axis: DayAxis,
  letterPx: number,
  lines: readonly number[],
): GapLabel[] {
  const isBare = (day: number) => controlled.high[day - firstDay]! < threshold;
  const widthOf = (run: Run) => (run.to + 1 - run.from) * dayWidth(axis);
  return gaps.flatMap(({ fromDay, toDay, shareFraction }) => {
    const from = Math.max(axis.fromDay, fromDay);
    const to = Math.min(axis.toDay, toDay);
    if ((shareFraction.high ?? 0) < LEAST_TOLD) return [];
    const words = percents(shareFraction);
    const run = [longestRun(from, to, (day) => isBare(day) && !lines.includes(day)), longestRun(from, to, isBare)].find(
      (one) => widthOf(one) > words.length * letterPx + 6,
    );
    return run ? [{ fromDay, x: dayX(axis, run.from) + widthOf(run) / 2, words }] : [];
  });
}

interface Run {
  readonly from: number;
  readonly to: number;
}

function longestRun(from: number, to: number, holds: (day: number) => boolean): Run {
  let best: Run = { from, to: from - 1 };
  let start = from;
  for (let day = from; day <= to + 1; day++) {
    if (day <= to && holds(day)) continue;
    if (day - start > best.to + 1 - best.from) best = { from: start, to: day - 1 };
    start = day + 1;
  }
  return best;
}

/** Rain as hanging bars, temperature as a band from least to greatest of each day. */
export function weatherShapes(
  weather: NonNullable<FieldStrip['weather']>,
  firstDay: number,
  axis: DayAxis,
  { top, height }: Plot,
  [coldestC, hottestC]: readonly [number, number],
  mostRainMm: number,
): { temperature: string; rain: readonly { x: number; height: number }[] } {
  const y = (celsius: number) => top + height * (1 - (celsius - coldestC) / (hottestC - coldestC));
  const days = onAxis(axis, weather.maxC.length, firstDay);
  return {
    temperature: bandPath(
      days.map((k) => ({ x: dayX(axis, firstDay + k), y0: y(weather.maxC[k]!), y1: y(weather.minC[k]!) })),
    ),
    rain: days
      .filter((k) => weather.rainMm[k]! > 0)
      .map((k) => ({
        x: dayX(axis, firstDay + k),
        height: (weather.rainMm[k]! / mostRainMm) * height,
      })),
  };
}

/** Coldest and hottest on the axis, and the most rain of a day; a scale that all fields of a farm share. */
export function weatherScale(strips: readonly FieldStrip[]): { celsius: readonly [number, number]; rainMm: number } {
  let [low, high, rain] = [0, 30, 25];
  for (const { weather } of strips) {
    if (!weather) continue;
    for (let k = 0; k < weather.maxC.length; k++) {
      if (weather.minC[k]! < low) low = weather.minC[k]!;
      if (weather.maxC[k]! > high) high = weather.maxC[k]!;
      if (weather.rainMm[k]! > rain) rain = weather.rainMm[k]!;
    }
  }
  return { celsius: [low, high], rainMm: rain };
}

/** Indices of the days that lie on the axis. */
function onAxis(axis: DayAxis, count: number, firstDay: number): number[] {
  const out: number[] = [];
  for (let k = Math.max(0, axis.fromDay - firstDay); k < count && firstDay + k <= axis.toDay; k++) out.push(k);
  return out;
}

/** Labels along a line, each at its place or moved right so that none lies on another; those that would leave the sheet are left out. */
export function spreadLabels<T extends { readonly x: number; readonly widthPx: number }>(
  labels: readonly T[],
  endPx: number,
): (T & { readonly at: number })[] {
  let free = 0;
  return [...labels]
    .sort((a, b) => a.x - b.x)
    .flatMap((one) => {
      const at = Math.max(free, one.x);
      if (at + one.widthPx > endPx) return [];
      free = at + one.widthPx;
      return [{ ...one, at }];
    });
}

export interface PlacedMark {
  /** Left edge of its words, px. */
  readonly at: number;
  /** Row of its words below the plot, 0 on top. */
  readonly row: number;
}

const BESIDE_PX = 3;
const APART_PX = 6;

/**
 * Words below a plot, each beside the line that comes down to it from `x`: right of it, or left of it where they would leave the
 * sheet. In stairs, so that no line crosses words and no words lie on others: the last mark stands on top, those before it lower.
 */
export function stairs<T extends { readonly x: number; readonly widthPx: number }>(
  marks: readonly T[],
  sheetPx: number,
): (T & PlacedMark)[] {
  const sorted = [...marks].sort((a, b) => a.x - b.x);
  let limit = sheetPx;
  const facing = sorted.reduceRight<(T & { at: number; isLeft: boolean })[]>((placed, one) => {
    const right = one.x + BESIDE_PX;
    const isLeft = right + one.widthPx > limit;
    const at = isLeft ? Math.max(0, one.x - BESIDE_PX - one.widthPx) : right;
    if (isLeft) limit = at;
    return [{ ...one, at, isLeft }, ...placed];
  }, []);
  const rows = new Map<T & { at: number }, number>();
  const below = (crossed: readonly (T & { at: number })[]) =>
    Math.max(-1, ...crossed.map((one) => rows.get(one) ?? -1)) + 1;
  facing.forEach((_, index) => {
    const one = facing[facing.length - 1 - index]!;
    const later = facing.slice(facing.length - index);
    if (!one.isLeft) rows.set(one, below(later.filter((it) => it.x < one.at + one.widthPx + APART_PX)));
  });
  facing.forEach((one, index) => {
    if (one.isLeft) rows.set(one, below(facing.slice(0, index).filter((it) => it.x > one.at - APART_PX)));
  });
  return facing.map((one) => ({ ...one, row: rows.get(one)! }));
}
