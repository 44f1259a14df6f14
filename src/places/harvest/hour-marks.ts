/** Hours along an axis of work time; each stretch says its day where it begins. */
import type { WorkTime } from '../../charts/work-time.ts';
import { clockText, dayTextOf } from './local-time.ts';

export interface HourMark {
  readonly x: number;
  readonly words: string;
  /** Of the words beside the mark, px. */
  readonly shift: number;
}

/** A stretch that is narrower says nothing. */
const STRETCH_PX = 100;
const DAY_PX = 112;
const HOUR_PX = 64;
const HOUR_S = 3600;

export function hourMarks(time: WorkTime, utcOffsetMinutes: number): HourMark[] {
  return time.stretches.flatMap(({ fromS, toS, x0, x1 }) => {
    if (x1 - x0 < STRETCH_PX) return [];
    const begin = {
      x: x0,
      words: `${dayTextOf(fromS, utcOffsetMinutes)}, ${clockText(fromS, utcOffsetMinutes)}`,
      shift: 0,
    };
    const pxPerHour = ((x1 - x0) / (toS - fromS)) * HOUR_S;
    const every = [1, 2, 3, 6, 12].find((hours) => hours * pxPerHour >= HOUR_PX) ?? 24;
    const offsetS = utcOffsetMinutes * 60;
    const step = every * HOUR_S;
    const marks: HourMark[] = [];
    for (let at = Math.ceil((fromS + offsetS) / step) * step - offsetS; at <= toS; at += step) {
      const x = time.xOf(at);
      if (x < x0 + DAY_PX || x > x1 - HOUR_PX / 2) continue;
      marks.push({ x, words: clockText(at, utcOffsetMinutes).replace(':00', ''), shift: -14 });
    }
    return [begin, ...marks];
  });
}
