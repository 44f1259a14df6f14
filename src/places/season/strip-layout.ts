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

interface Plot {
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

/** The share of a gap where its paper is bare in every case, if that has room; a gap that nothing comes up in says nothing. */
export function gapLabels(
  { gaps, controlled, firstDay }: SpeciesStrip,
  threshold: number,
  axis: DayAxis,
  letterPx: number,
): GapLabel[] {
  return gaps.flatMap(({ fromDay, toDay, shareFraction }) => {
    const from = Math.max(axis.fromDay, fromDay);
    const to = Math.min(axis.toDay, toDay);
    const bare = longestRun(from, to, (day) => controlled.high[day - firstDay]! < threshold);
    const width = (bare.to + 1 - bare.from) * dayWidth(axis);
    const words = percents(shareFraction);
    return (shareFraction.high ?? 0) >= LEAST_TOLD && width > words.length * letterPx + 6
      ? [{ fromDay, x: dayX(axis, bare.from) + width / 2, words }]
      : [];
  });
}

function longestRun(from: number, to: number, holds: (day: number) => boolean): { from: number; to: number } {
  let best = { from, to: from - 1 };
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
