/** Short ranges for sentences and tables, as people say them. */
import type { Range } from '../../../shared/model/range.ts';
import { type Display, formatCount, formatNumber, formatQuantity, formatRange } from '../../../shared/units/format.ts';

export function percent(fraction: number): string {
  return `${formatNumber(100 * fraction, 0)}%`;
}

const joined = (text: string) => text.replaceAll('−', '−\u2060');

/** "35 to 60%", "35%" where both ends are one; "an unknown share". */
export function percents({ low, high }: Range): string {
  if (low === null || high === null) return 'an unknown share';
  const [from, to] = [formatNumber(100 * low, 0), formatNumber(100 * high, 0)];
  return from === to ? `${to}%` : `${from} to ${to}%`;
}

/** "−$43,769 to $544,220, most likely $544,220", in whole money; no line ends between a minus sign and its number. */
export function moneyRange(range: Range, display: Display): string {
  return joined(formatRange(range, 'money', display, 0));
}

/** "−$43,769 to $544,220": the ends alone, where the most likely stands beside them. */
export function moneyEnds({ low, high }: Range, display: Display): string {
  return [low, high].map((one) => joined(formatQuantity(one, 'money', display, 0))).join(' to ');
}

/** "7.8 to 580 billion", "73 million to 100 billion"; one number where both ends are one. */
export function counts(low: number, high: number): string {
  const [from, to] = [formatCount(low), formatCount(high)];
  if (from === to) return to;
  const word = /(?<= )\D+$/;
  return word.exec(from)?.[0] === word.exec(to)?.[0] ? `${from.replace(/ \D+$/, '')} to ${to}` : `${from} to ${to}`;
}
