/** Sentences made from the numbers: the farm in one, and for each field why it stands where it stands. */
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import type { Farm } from '../model/farm.ts';
import type { Range } from '../model/range.ts';
import { formatQuantity, formatRange } from '../units/format.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldPriority } from './steps/priority.ts';
import type { FieldStudy } from './study-field.ts';

/** Fewest fields that together hold this share of the seed are named in the farm's sentence. */
const MOST_OF_SEED = 0.6;

export function farmSentence(fields: readonly FieldStudy[]): string {
  const looked = fields.filter((one) => one.rank !== null);
  const unlooked = fields.length - looked.length;
  if (fields.length === 0) return 'The farm has no fields yet: bring their boundaries in.';
  if (looked.length === 0) return `Nobody has looked at any of the ${count(fields.length, 'field')} yet: go and look.`;
  const left = unlooked === 0 ? '' : ` Nobody looked at ${unlooked} of ${count(fields.length, 'field')}.`;
  const bySeed = [...looked].sort((a, b) => (b.seedsProduced.central ?? 0) - (a.seedsProduced.central ?? 0));
  const total = sum(bySeed, 'central');
  if (total === 0)
    return `No weed seed is expected from the ${count(looked.length, 'field')} that were looked at.${left}`;
  let k = 0;
  let held = 0;
  while (k < bySeed.length && held < MOST_OF_SEED * total) held += bySeed[k++]!.seedsProduced.central ?? 0;
  const share = (top: 'low' | 'high') => {
    const rest = top === 'low' ? 'high' : 'low';
    const mine = sum(bySeed.slice(0, k), top);
    const others = sum(bySeed.slice(k), rest);
    return mine + others === 0 ? 0 : mine / (mine + others);
  };
  const worst = `${Math.round(100 * share('low'))} to ${Math.round(100 * share('high'))} %, most likely ${Math.round((100 * held) / total)} %`;
  return `Most of this season's weed seed (${worst}) came from ${k} of ${count(looked.length, 'field')}: ${listed(bySeed.slice(0, k).map((one) => one.name))}.${left}`;
}

export function reasonInWords(
  farm: Farm,
  field: Omit<FieldStudy, 'why'>,
  priority: FieldPriority | null,
  landed: FieldLanded | null,
): string {
  const { display } = farm;
  if (field.tier === null) {
    const carried = field.carriedIn.central;
    return carried !== null && carried >= 1
      ? `Nobody looked here this season: go and look. The combine brought in about ${formatQuantity(carried, 'seed count', display)}.`
      : 'Nobody looked here this season: go and look.';
  }
  const parts: string[] = [];
  for (const one of field.bySpecies) {
    const name = speciesInfo(one.species).name;
    if (one.basis === 'nothing') continue;
    if (one.basis === 'rating') {
      parts.push(`${name}: by rating only`);
    } else if (one.positives === 0 && one.basis === 'clean round') {
      parts.push(`${name}: none found at ${count(one.places, 'place')}`);
    } else if (one.infestedAreaM2.central !== null && one.basis !== 'points') {
      parts.push(`${name} above the threshold on ${formatRange(one.infestedAreaM2, 'area', display)}`);
    } else if (one.meanDensityPerM2.central !== null) {
      parts.push(`${name}: ${one.meanDensityPerM2.central.toPrecision(2)} plants/m² at ${count(one.places, 'place')}`);
    }
  }
  if (field.tier === 3) return `${capital(parts.join('; '))}. Keep it clean: it is cheapest now.`;
  const landedSeeds = field.seedsLandedInField.central;
  if (landedSeeds !== null && field.evidence !== 'b')
    parts.push(`about ${formatQuantity(landedSeeds, 'seed count', display)} fell here at harvest`);
  const carriedShare =
    landed?.carriedInSeeds && landedSeeds ? landed.carriedInSeeds / (landedSeeds + landed.carriedInSeeds) : 0;
  if (carriedShare > 0.05) parts.push(`${Math.round(100 * carriedShare)} % of that came in with the combine`);
  if (field.stakePerHa.central !== null) {
    const prefix = field.evidence === 'b' ? 'on assumed densities, doing' : 'doing';
    parts.push(
      `${prefix} nothing new costs ${formatQuantity(field.stakePerHa.central, 'money per area', display)} over ${farm.planning.horizonYears} years`,
    );
  }
  const program = farm.programs.find((one) => one.id === priority?.chosen);
  if (program && program.id !== 'as-now' && priority?.gainPerMoney) {
    const saved = priority.gainPerMoney;
    parts.push(
      `"${program.name}" gains ${formatQuantity(saved, 'money', display)} for each ${formatQuantity(1, 'money', display)} a year`,
    );
  } else if (program?.id === 'as-now') parts.push('no program pays for itself here within the budget');
  return `${capital(parts.join('; '))}.`;
}

function sum(fields: readonly FieldStudy[], end: keyof Range): number {
  return fields.reduce((all, one) => all + (one.seedsProduced[end] ?? 0), 0);
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

function count(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
