/** A pass in words: when, what with, which sites of action, and which of them still work on the weeds here. */
import { controlRange } from '../../../shared/agronomy/control.ts';
import { groupOf } from '../../../shared/agronomy/sites-of-action.ts';
import { speciesOf } from '../../../shared/agronomy/species.ts';
import type { ControlRating, Farm, Pass, Program } from '../../../shared/model/farm.ts';
import { CONTROL_RATINGS } from '../../../shared/model/farm-words.ts';
import { speciesOf as weedsOf } from '../../../shared/model/lookups.ts';

export function whenInWords({ daysFromPlanting: days }: Pick<Pass, 'daysFromPlanting'>): string {
  if (days === 0) return 'at planting';
  return days < 0 ? `${-days} days before planting` : `${days} days after planting`;
}

export function partsInWords(farm: Farm, pass: Pass): string {
  if (pass.parts.length === 0) return pass.means === 'residual' || pass.means === 'post' ? 'no ingredient told' : '';
  return pass.parts
    .map(({ ingredient, rateFraction }) => {
      const group = groupOf(farm, ingredient)?.group;
      return `${ingredient} (${group === undefined ? 'group not known' : `group ${group}`}) at ${Math.round(100 * rateFraction)}% of the full rate`;
    })
    .join(' + ');
}

export function passesOf(program: Program, crop: string): readonly Pass[] {
  return program.passes
    .filter((pass) => pass.crops.length === 0 || pass.crops.includes(crop))
    .sort((a, b) => a.daysFromPlanting - b.daysFromPlanting);
}

/** "excellent 90–99%": the shares that a rating stands for. */
export function ratingInWords(rating: ControlRating): string {
  const { low, high } = controlRange(rating);
  return rating === 'none' ? 'none' : `${rating} ${Math.round(100 * low)}–${Math.round(100 * high)}%`;
}

export const RATINGS_IN_WORDS = CONTROL_RATINGS.map(ratingInWords).join(', ');

export interface SitesOfAction {
  /** Groups of all ingredients, each once, in rising order. */
  readonly groups: readonly string[];
  readonly unknown: readonly string[];
  /** Of each weed with a told population: groups that fail or are doubtful on it. */
  readonly lost: readonly {
    readonly weed: string;
    readonly fails: readonly string[];
    readonly doubtful: readonly string[];
  }[];
}

export function sitesOf(farm: Farm, program: Program, crop: string): SitesOfAction {
  const ingredients = [...new Set(passesOf(program, crop).flatMap((pass) => pass.parts.map((one) => one.ingredient)))];
  const found = ingredients.map((ingredient) => ({ ingredient, group: groupOf(farm, ingredient)?.group }));
  const groups = [...new Set(found.flatMap((one) => one.group ?? []))].sort((a, b) => Number(a) - Number(b));
  return {
    groups,
    unknown: found.filter((one) => one.group === undefined).map((one) => one.ingredient),
    lost: weedsOf(farm).flatMap((id) => {
      const states = farm.population[id] ?? {};
      const those = (state: string) => groups.filter((group) => states[group] === state);
      const [fails, doubtful] = [those('fails'), those('doubtful')];
      return fails.length + doubtful.length > 0 ? [{ weed: speciesOf(id).name, fails, doubtful }] : [];
    }),
  };
}

export function sitesInWords({ groups, unknown, lost }: SitesOfAction): string {
  if (groups.length === 0) return unknown.length > 0 ? `Site of action not known: ${unknown.join(', ')}.` : '';
  const named = (list: readonly string[]) => `group${list.length === 1 ? '' : 's'} ${list.join(', ')}`;
  const said = (list: readonly string[], one: string, many: string) =>
    list.length > 0 ? [`${named(list)} ${list.length === 1 ? one : many}`] : [];
  const on = lost.map(
    ({ weed, fails, doubtful }) =>
      `on ${weed}, ${[...said(fails, 'fails', 'fail'), ...said(doubtful, 'is doubtful', 'are doubtful')].join(' and ')}`,
  );
  const count = `${groups.length} site${groups.length === 1 ? '' : 's'} of action (${named(groups)})`;
  const missing = unknown.length > 0 ? ` Not known: ${unknown.join(', ')}.` : '';
  return `${count}${on.length > 0 ? `; ${on.join('; ')}` : ''}.${missing}`;
}
