/** Daily weather of 2024–2026, invented: a curve of the year, days that remember the day before, showers. Not a station's record. */
import { dateOf, dayNumber, dayText } from '../shared/units/calendar.ts';
import { Draws } from './draws.ts';
import { cos, log, PI } from './elementary.ts';

const LAST_DAY = '2026-11-15';

export function weatherTable(): string {
  const draws = new Draws('weather');
  const lines = ['date,max_temp_C,min_temp_C,rain_mm'];
  let anomaly = 0;
  let wet = false;
  const last = dayNumber(LAST_DAY)!;
  for (let day = dayNumber('2024-01-01')!; day <= last; day++) {
    const ofYear = day - dayNumber(`${dateOf(day).year}-01-01`)!;
    const season = cos((2 * PI * (ofYear - 197)) / 365.25);
    anomaly = 0.72 * anomaly + 2.9 * draws.normal();
    wet = draws.share() < (wet ? 0.42 : 0.24);
    const maxC = 17.4 + 13.2 * season + anomaly - (wet ? 1.6 : 0);
    const minC = maxC - (wet ? 8.2 : 11.2) - 1.5 * draws.share();
    const rainMm = wet ? -log(draws.share()) * (8 + 2.5 * season) : 0;
    lines.push(`${dayText(day)},${maxC.toFixed(1)},${minC.toFixed(1)},${rainMm.toFixed(1)}`);
  }
  return `${lines.join('\n')}\n`;
}
