/** What was planted, as it is typed. */
import { cropOf, isCrop } from '../../../../shared/agronomy/crops.ts';
import type { CropSeason } from '../../../../shared/model/farm.ts';
import { dayNumber } from '../../../../shared/units/calendar.ts';
import type { Display } from '../../../../shared/units/format.ts';
import { asTyped, type NumberRule, typedNumber } from '../../../../shared/units/typed-number.ts';
import { type Read, Reading } from '../../../ui/draft.ts';

export interface CropDraft {
  crop: string;
  plantedOn: string;
  emergedOn: string;
  rowSpacing: string;
  expectedYield: string;
  tillage: CropSeason['tillage'];
  stated: 'not stated' | 'stated';
  tolerates: string;
}

export function cropRules(display: Display, crop: string): Record<'rowSpacing' | 'expectedYield', NumberRule> {
  const us = display === 'us';
  const bushelKg = isCrop(crop) ? cropOf(crop).bushelKg : null;
  const what = 'Expected yield';
  const positive = { least: 0, above: true } as const;
  const expectedYield: NumberRule = !us
    ? { what, unit: 't/ha', most: 40, ...positive }
    : bushelKg === null
      ? { what, unit: 'lb/ac', most: 20_000, ...positive }
      : { what, unit: crop === 'corn' ? 'bu/ac 56 lb' : 'bu/ac 60 lb', most: 600, ...positive };
  return {
    rowSpacing: { what: 'Row spacing', unit: us ? 'in' : 'cm', least: us ? 4 : 10, most: us ? 80 : 200 },
    expectedYield,
  };
}

export function cropDraft(known: CropSeason | null, display: Display): CropDraft {
  const crop = known?.crop ?? 'soybean';
  const rules = cropRules(display, crop);
  return {
    crop,
    plantedOn: known?.plantedOn ?? '',
    emergedOn: known?.emergedOn ?? '',
    rowSpacing: asTyped(known?.rowSpacingM, rules.rowSpacing),
    expectedYield: asTyped(known?.expectedYieldKgHa, rules.expectedYield),
    tillage: known?.tillage ?? 'not stated',
    stated: known === null || known.tolerates === 'not stated' ? 'not stated' : 'stated',
    tolerates: known === null || known.tolerates === 'not stated' ? '' : known.tolerates.join('; '),
  };
}

/** @param known what the document has of it: days that the form does not ask for stay */
export function readCrop(
  draft: CropDraft,
  field: string,
  year: number,
  display: Display,
  known: CropSeason | null,
): Read<CropSeason, CropDraft> {
  const reading = new Reading<CropDraft>();
  const rules = cropRules(display, draft.crop);
  const rowSpacingM = reading.take('rowSpacing', typedNumber(draft.rowSpacing, rules.rowSpacing));
  const expectedYieldKgHa = reading.take('expectedYield', typedNumber(draft.expectedYield, rules.expectedYield));
  const plantedOn = dayOf(draft, 'plantedOn', reading);
  const emergedOn = dayOf(draft, 'emergedOn', reading);
  // Winter wheat is planted in the fall before the season of its harvest.
  const years = draft.crop === 'wheat' ? [year - 1, year] : [year];
  if (plantedOn && !years.includes(Number(plantedOn.slice(0, 4))))
    reading.note('plantedOn', `This is the season ${year}: planted on ${plantedOn} belongs to another.`);
  if (plantedOn && emergedOn && emergedOn < plantedOn)
    reading.note('emergedOn', 'It cannot come up before it is planted.');
  const tolerates = tolerancesOf(draft.tolerates);
  if (draft.stated === 'stated' && tolerates === null)
    reading.note(
      'tolerates',
      'Write at least one ingredient or group, “none” if it stands none, or leave it not stated.',
    );
  if (!reading.isRight) return { wrong: reading.wrong };
  return {
    value: {
      field,
      crop: draft.crop,
      tolerates: draft.stated === 'stated' ? tolerates! : 'not stated',
      plantedOn,
      ...(emergedOn === null ? {} : { emergedOn }),
      ...(known?.matureOn === undefined ? {} : { matureOn: known.matureOn }),
      rowSpacingM: rowSpacingM ?? null,
      tillage: draft.tillage,
      expectedYieldKgHa: expectedYieldKgHa ?? null,
    },
  };
}

/** "S-metolachlor; group 15" → both; "none" → []; nothing → null. */
function tolerancesOf(text: string): string[] | null {
  if (text.trim() === '') return null;
  if (/^(none|nothing|conventional)$/i.test(text.trim())) return [];
  return text
    .split(/[;,|]/)
    .map((one) => one.trim())
    .filter(Boolean);
}

function dayOf(draft: CropDraft, entry: 'plantedOn' | 'emergedOn', reading: Reading<CropDraft>): string | null {
  const text = draft[entry];
  if (text === '') return null;
  if (dayNumber(text) === null) reading.note(entry, `“${text}” is no day.`);
  return text;
}
