/** A spraying as it is typed: one ingredient, its day, and the share of the full label rate that went on. */
import type { Spraying } from '../../../../shared/model/edits/sprayings.ts';
import { dayNumber } from '../../../../shared/units/calendar.ts';
import { neededNumber, type NumberRule } from '../../../../shared/units/typed-number.ts';
import { type Read, Reading } from '../../../ui/draft.ts';

export interface SprayDraft {
  ingredient: string;
  on: string;
  rate: string;
}

export const RATE_RULE: NumberRule = {
  what: 'Share of the full label rate',
  unit: '%',
  least: 0,
  most: 200,
  above: true,
};

export function readSpraying(draft: SprayDraft, field: string, year: number): Read<Spraying, SprayDraft> {
  const reading = new Reading<SprayDraft>();
  const ingredient = draft.ingredient.trim();
  if (ingredient === '') reading.note('ingredient', 'Write the active ingredient, as the label names it.');
  const rateFraction = reading.take('rate', neededNumber(draft.rate, RATE_RULE));
  if (dayNumber(draft.on) === null) reading.note('on', 'Say the day on which it was sprayed.');
  else if (Number(draft.on.slice(0, 4)) !== year)
    reading.note('on', `This is the season ${year}: look at the season ${draft.on.slice(0, 4)} to add to it.`);
  return reading.isRight
    ? { value: { where: { field }, on: draft.on, parts: [{ ingredient, rateFraction: rateFraction! }] } }
    : { wrong: reading.wrong };
}
