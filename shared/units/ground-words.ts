/** Ground looked at as people say it: square feet or meters for a quadrat, acres or hectares for a walk. */
import { type Display, formatNumber, formatQuantity, usualDigits } from './format.ts';
import { fromSI, UNITS } from './units.ts';

const LARGE_M2 = 1000;

export function groundWords(areaM2: number, display: Display): string {
  if (areaM2 >= LARGE_M2) return formatQuantity(areaM2, 'area', display);
  const unit = display === 'us' ? 'ft2' : 'm2';
  const value = fromSI(areaM2, unit);
  const text = formatNumber(value, Math.min(2, usualDigits(value)));
  // A quadrat of 10 ft² is called that.
  return `${text.replace(/\.0+$/, '')} ${UNITS[unit].symbol}`;
}
