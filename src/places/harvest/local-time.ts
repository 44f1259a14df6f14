/** Moments of a log on the farm's own clock. */
import { shortDay } from '../../charts/day-axis.ts';

/** "2:05 pm". */
export function clockText(unixS: number, utcOffsetMinutes: number): string {
  const minutes = Math.floor((unixS + utcOffsetMinutes * 60) / 60);
  const ofDay = ((minutes % 1440) + 1440) % 1440;
  const hour = Math.floor(ofDay / 60);
  return `${hour % 12 === 0 ? 12 : hour % 12}:${String(ofDay % 60).padStart(2, '0')} ${hour < 12 ? 'am' : 'pm'}`;
}

/** "Oct 3". */
export function dayTextOf(unixS: number, utcOffsetMinutes: number): string {
  return shortDay(Math.floor((unixS + utcOffsetMinutes * 60) / 86400));
}

/** "12 min", "3 h 5 min", "40 s". */
export function spanText(seconds: number): string {
  if (seconds < 60) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
