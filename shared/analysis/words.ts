/** Sentences made from the numbers: the farm in one, and for each field why it stands where it stands. */
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import type { Farm } from '../model/farm.ts';
import type { Case, Range } from '../model/range.ts';
import { formatQuantity } from '../units/format.ts';
import { infestedText } from './infested-text.ts';
import type { FieldAbout } from './field-about.ts';
import type { FieldFacts } from './field-facts.ts';
import type { FigureBook, Input } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { FieldStudy } from './study-field.ts';
import { capital, counted, listed } from '../units/words.ts';

/** Fewest fields that together hold this share of the seed are named in the farm's sentence. */
const MOST_OF_SEED = 0.6;

/** A sentence, and which of its numbers open which working. */
export interface FarmSentence {
  readonly text: string;
  readonly numbers: readonly { readonly text: string; readonly path: string }[];
}

/** Makes the figure of its number in the book. */
export function farmSentence(fields: readonly FieldStudy[], figures: FigureBook): FarmSentence {
  const plain = (text: string): FarmSentence => ({ text, numbers: [] });
  const looked = fields.filter((one) => one.rank !== null);
  const unlooked = fields.length - looked.length;
  if (fields.length === 0) return plain('The farm has no fields yet: bring their boundaries in.');
  if (looked.length === 0)
    return plain(`Nobody has looked at any of the ${counted(fields.length, 'field')} yet: go and look.`);
  const left = unlooked === 0 ? '' : ` Nobody looked at ${unlooked} of ${counted(fields.length, 'field')}.`;
  if (looked.length === 1)
    return plain(`Only ${looked[0]!.name} was looked at: what the others hold is not known.${left}`);
  const bySeed = [...looked].sort((a, b) => (b.seedsProduced.central ?? 0) - (a.seedsProduced.central ?? 0));
  const total = bySeed.reduce((sum, one) => sum + (one.seedsProduced.central ?? 0), 0);
  if (total === 0)
    return plain(`No weed seed is expected from the ${counted(looked.length, 'field')} that were looked at.${left}`);
  let k = 0;
  let held = 0;
  while (k < bySeed.length && held < MOST_OF_SEED * total) held += bySeed[k++]!.seedsProduced.central ?? 0;
  const path = 'summary/seedShare';
  const { low, central, high } = figures.range(path, FORMULAS.seedShare, (which) => seedBy(bySeed, k, which));
  const percent = (share: number | null) => Math.round(100 * (share ?? 0));
  const share = `${percent(low)} to ${percent(high)}%, most likely ${percent(central)}%`;
  const names = listed(bySeed.slice(0, k).map((one) => one.name));
  return {
    text: `Most of this season’s weed seed (${share}) came from ${k} of ${counted(looked.length, 'field')}: ${names}.${left}`,
    numbers: [{ text: share, path }],
  };
}

const END: Readonly<Record<Case, keyof Range>> = { mild: 'low', central: 'central', harsh: 'high' };

/** The cases are coherent: harsh biology is harsh on every field, so shares are taken within a case. */
function seedBy(bySeed: readonly FieldStudy[], most: number, which: Case): Record<string, Input> {
  return Object.fromEntries(
    bySeed.map((one, index) => [
      `${index < most ? 'T' : 'O'}_${one.id}`,
      { value: one.seedsProduced[END[which]] ?? 0, from: { path: `fields/${one.id}/seedsProduced` } },
    ]),
  );
}

/** The numbers in a field's reason, central case; null where they cannot be told. */
export interface CentralNumbers {
  readonly carriedInSeeds: number | null;
  /** By header and machine. */
  readonly landedSeeds: number | null;
  /** Cost of doing nothing new, money/ha. */
  readonly stakePerHa: number | null;
}

export function reasonInWords(
  { display, programs, horizonYears, priority, isPast, season }: FieldFacts,
  field: FieldAbout,
  { carriedInSeeds, landedSeeds, stakePerHa }: CentralNumbers,
): string {
  if (field.tier === null) {
    const nobody =
      field.afterHarvest.length > 0
        ? 'Somebody looked here only after the field was cut, which tells nothing of what stood in this crop'
        : isPast
          ? `Nobody looked here in ${season}`
          : 'Nobody looked here this season: go and look';
    return carriedInSeeds !== null && carriedInSeeds >= 1
      ? `${nobody}. The combine brought in about ${formatQuantity(roughly(carriedInSeeds), 'seed count', display)}.`
      : `${nobody}.`;
  }
  const parts = [...found(field, display), ...cleanOf(field)];
  if (field.tier === 3) return `${capital(parts.join('; '))}. Keep it clean: it is cheapest now.`;
  const sentences = [parts.join('; ')];
  if (landedSeeds !== null && field.evidence !== 'b') {
    const share = carriedInSeeds ? carriedInSeeds / (landedSeeds + carriedInSeeds) : 0;
    const brought = share > 0.05 ? `, ${Math.round(100 * share)}% of it brought in by the combine` : '';
    sentences.push(
      `about ${formatQuantity(roughly(landedSeeds), 'seed count', display)} fell here at harvest${brought}`,
    );
  }
  if (stakePerHa !== null) {
    const basis = field.evidence === 'b' ? 'on assumed densities, doing' : 'doing';
    const cost = formatQuantity(stakePerHa, 'money per area', display);
    sentences.push(`${basis} nothing new costs ${cost} over ${horizonYears} years`);
  }
  const program = programs.find((one) => one.id === priority?.chosen);
  if (program && program.id !== 'as-now' && priority?.gainPerMoney) {
    const saved = formatQuantity(priority.gainPerMoney, 'money', display, 0);
    sentences.push(`"${program.name}" saves about ${saved} over those years for each dollar a year that it costs more`);
  } else if (program?.id === 'as-now') {
    const pays = priority!.offers.some((one) => (one.gain ?? 0) > 0);
    sentences.push(pays ? 'within this budget the money does more on other fields' : 'no program pays for itself here');
  }
  return sentences.map((one) => `${capital(one)}.`).join(' ');
}

/** What was found, a clause a species. */
function found(field: FieldAbout, display: Farm['display']): string[] {
  return field.bySpecies.flatMap((one) => {
    const name = speciesInfo(one.species).name;
    if (one.basis === 'nothing' || one.basis === 'clean round') return [];
    if (one.basis === 'rating') return [`${name} by rating only`];
    if (one.basis === 'drawn patches') return [`${name} in drawn patches`];
    if (one.infestedAreaM2.central !== null && one.basis !== 'points') {
      return [`${name} above its threshold on ${infestedText(one, display)}`];
    }
    return [`${name} at ${one.positives} of ${counted(one.places, 'place')}`];
  });
}

function cleanOf(field: FieldAbout): string[] {
  const clean = field.bySpecies.filter((one) => one.basis === 'clean round');
  if (clean.length === 0) return [];
  const names = clean.map((one) => speciesInfo(one.species).name);
  return [
    `no ${listed(names).replace(' and ', ' or ')} at ${counted(Math.max(...clean.map((one) => one.places)), 'place')}`,
  ];
}

/** Seeds are known to two figures at best. */
function roughly(seeds: number): number {
  return Number(seeds.toPrecision(2));
}
