/** What was planted when, in all fields and seasons: invented dates and expectations in the order of a farm of this kind. */
import { dayNumber, dayText } from '../shared/units/calendar.ts';
import { Draws } from './draws.ts';
import { FIELDS, type CropId, type SampleField } from './layout.ts';

export const YEARS = [2024, 2025, 2026] as const;
export type Year = (typeof YEARS)[number];

export interface FieldSeason {
  readonly field: SampleField;
  readonly year: Year;
  readonly crop: CropId;
  readonly plantedOn: string;
  readonly emergedOn: string;
  readonly matureOn: string;
  readonly harvestedOn: string;
  readonly rowSpacingM: number;
  readonly expectedYieldKgHa: number;
}

export function laterBy(day: string, days: number): string {
  return dayText(dayNumber(day)! + days);
}

export function daysBetween(from: string, to: string): number {
  return dayNumber(to)! - dayNumber(from)!;
}

export const FIELD_SEASONS: readonly FieldSeason[] = YEARS.flatMap((year) => {
  const draws = new Draws(`seasons ${year}`);
  return FIELDS.map((field): FieldSeason => {
    const crop = field.crops[year];
    const plantedOn = laterBy(`${year}-${crop === 'corn' ? '04-26' : '05-07'}`, draws.whole(0, 13));
    const emergedOn = laterBy(plantedOn, draws.whole(8, 11));
    const matureOn =
      crop === 'corn' ? laterBy(`${year}-09-16`, draws.whole(0, 9)) : laterBy(`${year}-09-10`, draws.whole(0, 8));
    const harvestedOn =
      year === 2026 ? field.harvest.on : laterBy(matureOn, crop === 'corn' ? draws.whole(12, 28) : draws.whole(7, 20));
    return {
      field,
      year,
      crop,
      plantedOn,
      emergedOn,
      matureOn,
      harvestedOn,
      rowSpacingM: crop === 'corn' ? 0.762 : 0.381,
      expectedYieldKgHa: crop === 'corn' ? 11000 + 250 * draws.whole(0, 8) : 3300 + 100 * draws.whole(0, 8),
    };
  });
});

export function seasonOf(field: SampleField, year: Year): FieldSeason {
  return FIELD_SEASONS.find((one) => one.field === field && one.year === year)!;
}
