/** A way as people say it: "13 ft", "240 ft", "1.2 mi". */
import { type Display, formatNumber } from '../../../shared/units/format.ts';
import { fromSI, UNITS } from '../../../shared/units/units.ts';

/** From here on in miles and kilometers. */
const LONG: Readonly<Record<Display, number>> = { us: 800, metric: 1000 };

export function farWords(lengthM: number, display: Display): string {
  const isLong = lengthM >= LONG[display];
  const unit = display === 'us' ? (isLong ? 'mi' : 'ft') : isLong ? 'km' : 'm';
  const value = fromSI(lengthM, unit);
  const shown = isLong || value < 100 ? value : Math.round(value / 10) * 10;
  return `${formatNumber(shown, isLong && value < 10 ? 1 : 0)} ${UNITS[unit].symbol}`;
}
