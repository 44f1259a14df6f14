import type { FieldStudy } from './study.ts';
import { type Display, formatRange, formatSpan, shownUnit } from '../units/format.ts';
import { UNITS } from '../units/units.ts';
import { twoFigures } from '../units/rough.ts';

/** "12 to 18 acres, most likely 15"; of a few finds "1 to 30 acres", since nothing in between is more likely. */
export function infestedText(
  { infestedAreaM2, rangeIs }: Pick<FieldStudy['bySpecies'][number], 'infestedAreaM2' | 'rangeIs'>,
  display: Display,
): string {
  return (rangeIs === 'few finds' ? formatSpan : formatRange)(infestedAreaM2, 'area', display);
}

/** "0.05/ft²": a density in at most two figures, as a person sets it. */
export function thresholdText(perM2: number, display: Display): string {
  const { factor, symbol } = UNITS[shownUnit('count per area', display)];
  return `${twoFigures(perM2 / factor)}${symbol}`;
}
