import type { FieldStudy } from './study.ts';
import { type Display, formatRange, formatSpan } from '../units/format.ts';

/** "12 to 18 acres, most likely 15"; of a few finds "1 to 30 acres", since nothing in between is more likely. */
export function infestedText(
  { infestedAreaM2, rangeIs }: Pick<FieldStudy['bySpecies'][number], 'infestedAreaM2' | 'rangeIs'>,
  display: Display,
): string {
  return (rangeIs === 'few finds' ? formatSpan : formatRange)(infestedAreaM2, 'area', display);
}
