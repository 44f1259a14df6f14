/** Whether a crop stands an ingredient, as the person stated it; a hand-off is refused where it is not stated. */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import { capital } from '../units/words.ts';

export type Tolerance = 'tolerates' | 'not stated' | 'does not tolerate';

const plain = (text: string): string => text.trim().toLowerCase().replace(/\s+/g, ' ');
const groupNumber = (text: string): string | null =>
  /^(?:site of action )?(?:group |g)?(\d{1,2})$/.exec(plain(text))?.[1] ?? null;

/**
 * @param tolerates ingredients and site-of-action groups (`15`, `group 15`) that the crop stands, or 'not stated'
 * @param group site-of-action group of the ingredient
 */
export function toleranceOf(tolerates: readonly string[] | 'not stated', ingredient: string, group: string): Tolerance {
  if (tolerates === 'not stated') return 'not stated';
  const wanted = plain(ingredient);
  const number = groupNumber(group);
  const stands = tolerates.some((one) => plain(one) === wanted || (number !== null && groupNumber(one) === number));
  return stands ? 'tolerates' : 'does not tolerate';
}

/** Why a hand-off is refused, or null where the crop stands the ingredient. */
export function toleranceRefusal(
  tolerance: Tolerance,
  { ingredient, crop, field }: { ingredient: string; crop: string; field: string },
): Problem | null {
  if (tolerance === 'tolerates') return null;
  return tolerance === 'not stated'
    ? problem(
        'error',
        'tolerance-not-stated',
        `It is not stated whether the ${crop} in ${field} tolerates ${ingredient}.`,
        {
          where: { id: field },
          hint: 'Enter what this variety tolerates, from its seed papers and the product label; no hand-off is made before.',
        },
      )
    : problem(
        'error',
        'not-tolerated',
        `${capital(ingredient)} is not among what the ${crop} in ${field} is stated to tolerate.`,
        {
          where: { id: field },
          hint: 'Take this product out of the program here, or correct what the crop tolerates.',
        },
      );
}
