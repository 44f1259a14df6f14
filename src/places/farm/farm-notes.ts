/** The sentences under the farm's finding: what is unsure, and what to do next. */
import type { Study } from '../../../shared/analysis/study.ts';
import { counted, listed } from '../../../shared/units/words.ts';
import { type FieldShown, rankedOf, unlookedOf } from './standing.ts';

/** null where nothing stands out as unsure. */
export function unsureOf(study: Study): string | null {
  const ranked = rankedOf(study.fields);
  const byWord = ranked.filter((one) => one.evidence === 'b');
  if (ranked.length === 0) return null;
  if (byWord.length === ranked.length)
    return 'All of it rests on words and drawn patches: fields stand in tiers, and within a tier the order is a first guess.';
  if (byWord.length > 0)
    return `${listed(byWord.slice(0, 3).map((one) => one.name))}${byWord.length > 3 ? ` and ${byWord.length - 3} more` : ''} ${byWord.length === 1 ? 'rests' : 'rest'} on words or drawn patches, without a count.`;
  const few = ranked.filter((one) => one.bySpecies.some((line) => line.basis === 'points'));
  return few.length > 0
    ? `${counted(few.length, 'field')} ${few.length === 1 ? 'has' : 'have'} too few counts for a map.`
    : null;
}

export function nextOf(study: Study): string | null {
  const [first] = rankedOf(study.fields);
  const unlooked = unlookedOf(study.fields);
  const look = unlooked[0];
  if (!first)
    return look
      ? `Rate each field in a word below: one press a field sorts them at once. Look at ${look.name} first, then count where the weed stands.`
      : null;
  if (look)
    return `Next: treat ${first.name} first, and look at ${listed(unlooked.slice(0, 2).map((one) => one.name))}.`;
  return `Next: treat ${first.name} first.`;
}

/**
 * The finding while the order is there and its numbers are still computed.
 * @param seedStays at a first look, before the logs are retraced
 */
export function firstFinding(fields: readonly FieldShown[], seedStays: boolean): string {
  const [first, second] = rankedOf(fields);
  if (!first) return `Nobody has looked at any of the ${counted(fields.length, 'field')} yet: go and look.`;
  const order = second ? `${first.name} first, then ${second.name}` : `${first.name} first`;
  if (seedStays) return `At a first look: treat ${order}`;
  return second ? `Treat ${order}: what they cost is still computed` : `Treat ${order}`;
}
