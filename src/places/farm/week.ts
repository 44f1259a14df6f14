/** Residual cover that ends: per field, from what was sprayed and the days that each ingredient covers, as a band. */
import type { FieldStudy } from '../../../shared/analysis/study.ts';
import { type Day, dayNumber, dayText } from '../../../shared/units/calendar.ts';

export interface CoverEnd {
  readonly field: { readonly id: string; readonly name: string };
  /** Ingredients of the cover, the one that lasts longest first. */
  readonly ingredients: readonly string[];
  readonly lastOn: Day;
  readonly ends: { readonly low: Day; readonly central: Day; readonly high: Day };
}

/** When the last cover of each field ends; fields without cover are not in it. Soonest first. */
export function coverEnds(fields: readonly FieldStudy[]): CoverEnd[] {
  return fields
    .flatMap((field): CoverEnd[] => {
      const covers = (field.season?.cover ?? []).flatMap((one) => {
        const on = dayNumber(one.on);
        const { low, central, high } = one.days;
        return on === null || central === null
          ? []
          : [{ ...one, low: on + low, central: on + central, high: on + high }];
      });
      if (covers.length === 0) return [];
      const last = (end: 'low' | 'central' | 'high') => dayText(Math.max(...covers.map((one) => one[end])));
      const longest = [...covers].sort((a, b) => b.central - a.central);
      return [
        {
          field: { id: field.id, name: field.name },
          ingredients: [...new Set(longest.map((one) => one.ingredient))],
          lastOn: covers
            .map((one) => one.on)
            .sort()
            .at(-1)!,
          ends: { low: last('low'), central: last('central'), high: last('high') },
        },
      ];
    })
    .sort((a, b) => (a.ends.central < b.ends.central ? -1 : 1));
}

const WEEK_DAYS = 7;

/** Covers whose end may fall into the week that begins on a day, those that surely ended, and those that surely hold. */
export function weekOf(
  ends: readonly CoverEnd[],
  from: Day,
): { due: CoverEnd[]; ended: CoverEnd[]; holding: CoverEnd[] } {
  const lastDay = dayText(dayNumber(from)! + WEEK_DAYS - 1);
  return {
    due: ends.filter((one) => one.ends.low <= lastDay && one.ends.high >= from),
    ended: ends.filter((one) => one.ends.high < from),
    holding: ends.filter((one) => one.ends.low > lastDay),
  };
}
