/** Sentences of the order of harvest, for the page, the command line and the sheet alike. */
import { CROPS } from '../agronomy/crops.ts';
import { parameter } from '../agronomy/parameter.ts';
import { isSpecies, speciesOf } from '../agronomy/species.ts';
import type { Range } from '../model/range.ts';
import { type Display, formatCount, formatNumber, formatQuantity, formatRange } from '../units/format.ts';
import { roughly, roughRange } from '../units/rough.ts';
import { capital, listed } from '../units/words.ts';
import type { HarvestPlan, MachinePlan, PlannedField } from './harvest-plan.ts';
import type { ChoiceId, HarvestChoices } from './harvest-choices.ts';
import type { StopWorth } from './stop-worth.ts';

export const ORDER_RULE =
  'Fields without the weed first, the worst field last (University of Maryland Extension, read): what a combine carries it then drops where it does least harm.';
export const NOT_MEASURED_TOLD =
  'No study measured how much weed seed lodges in a combine, how long it stays, or what share a clean-out takes out: read seeds and money here as more or less, and go by the class where they are wide.';
export const CLASS_RULE =
  'Clean: looked for and none found. Traces: found, on under 2% of the ground above its threshold. Infested: from 2%. Heavily infested: from 25% (limits assumed, no source).';

/** Fewer than this are none: the tail of an exponential, not seed. */
const LEAST_SEEDS = 1;

export function nameOfWeed(species: string): string {
  return isSpecies(species) ? speciesOf(species).name : species;
}

/** "infested: waterhemp on 8% of it". */
export function classInWords({
  is,
  weed,
  infestedFraction,
}: Pick<PlannedField, 'is' | 'weed' | 'infestedFraction'>): string {
  if (is === 'not looked') return 'nobody looked: it may be clean or not';
  if (is === 'clean') return 'clean: looked for, none found';
  const name = weed === null ? 'a weed' : nameOfWeed(weed);
  if (is === 'traces') return `traces of ${name}`;
  const share = infestedFraction === null ? '' : ` on about ${Math.max(1, Math.round(100 * infestedFraction))}% of it`;
  return `${is}: ${name}${share}`;
}

export function cropName(id: string): string {
  return CROPS.find((one) => one.id === id)?.name ?? id;
}

/** Seeds of a range as people say them; below one seed at the high end: "none". */
export function seedsInWords(range: Range, display: Display): string {
  if (range.central === null) return 'not known';
  if (range.high < LEAST_SEEDS) return 'none';
  return formatRange(roughRange(range), 'seed count', display);
}

/** What rides in besides what is known, to be put behind the number; nothing where all is known. */
export function besideUnlooked({ afterUnlooked }: PlannedField): string {
  if (afterUnlooked.length === 0) return '';
  const from =
    afterUnlooked.length > 2 ? `${afterUnlooked.length} fields` : listed(afterUnlooked.map((one) => one.name));
  return `, as far as is known; besides it what ${from} left aboard, where nobody looked`;
}

/** Where fields that nobody looked at stand, and why; null where there is none. */
export function unlookedInWords({ fields, looks }: MachinePlan): string | null {
  const unlooked = fields.filter((one) => one.is === 'not looked').map((one) => one.name);
  if (unlooked.length === 0) return null;
  const [one, them] = unlooked.length === 1 ? ['it stands', 'it'] : ['they stand', 'them'];
  const look = looks === 'ahead' ? ` A look before it is cut settles it.` : '';
  return `Nobody looked at ${listed(unlooked)}: not clean, but unknown. What grows there leaves seed aboard that is in no number here. Among fields ripe at the same time ${one} after those known to be clean, which ${them === 'it' ? 'it' : 'they'} could soil, and before those known to be infested, which could soil ${them}.${look}`;
}

/** One sentence: who is next, who is last, where to clean out. */
export function planFinding(plan: MachinePlan): string {
  const { fields, looks } = plan;
  const [first, last] = [fields[0], fields.at(-1)];
  if (!first || !last) return 'No field is left to cut';
  const stops = stopsIn(plan);
  const clean = stops.length === 0 ? '' : `; clean the combine out before ${listed(stops.map((one) => one.name))}`;
  if (looks === 'back')
    return `All ${fields.length} fields are cut; by what is known now, ${first.name} should have come first and ${last.name} last${clean}`;
  if (fields.length === 1) return `${first.name} is the last field to cut${clean}`;
  return `Cut ${first.name} next and ${last.name} last${clean}`;
}

/** Fields before which the plan, or where money cannot be told the classes, want a clean-out. */
export function stopsIn(plan: MachinePlan): PlannedField[] {
  return plan.fields.filter((one, step) => cleanOutWanted(plan, one, step));
}

export function cleanOutWanted(plan: MachinePlan, field: PlannedField, step: number): boolean {
  if (field.cleanOut !== null) return true;
  if (step === 0 && plan.arrivesDirty) return true;
  // Nobody knows what is aboard after a field that nobody looked at: into a cleaner one it is taken for infested.
  if (field.fromWorse && field.isAfterUnlooked) return true;
  const told = field.stops.some((one) => one.verdict !== null);
  return field.fromWorse && !told && (field.ridesIn.central ?? 0) >= LEAST_SEEDS;
}

/** How the order was found, and how near it is to the best. */
export function howOrdered(plan: MachinePlan, display: Display): string {
  const { by, whyNotMoney, isExact, cost, bound, costByClass, fields } = plan;
  if (fields.length === 0) return '';
  if (whyNotMoney !== null) return `${whyNotMoney} So the class decides, then what each field leaves aboard.`;
  if (fields.length < 2) return '';
  const gap = cost === null || bound === null || cost <= 0 ? 0 : (cost - bound) / cost;
  const near = `the best that a search found; none can cost over ${formatNumber(100 * gap, gap < 0.1 ? 1 : 0)}% less`;
  if (by === 'class')
    return `Cleanest first and worst last; among fields of one class ${isExact ? 'no other order costs less' : near}, by central biology.`;
  const saved = (costByClass ?? 0) - (cost ?? 0);
  const beside =
    saved < 1
      ? 'cleanest first costs no more to speak of'
      : `cleanest first would cost ${formatQuantity(roughly(saved), 'money', display, 0)} more`;
  return `Whatever costs least, by central biology: ${isExact ? 'no other order costs less' : near}; ${beside}.`;
}

export interface Inputs {
  readonly display: Display;
  readonly reportedMin: Readonly<Record<'limited' | 'thorough', { readonly low: number; readonly high: number }>>;
}

/** What a clean-out before a field is worth, both kinds in a sentence or two: minutes first, then money, then seed. */
export function stopsInWords(stops: readonly StopWorth[], inputs: Inputs): string {
  const [limited, thorough] = stops;
  if (!limited || !thorough) return '';
  const keeps = `keeps ${seedsInWords(thorough.seeds, inputs.display)} off this field and those after it`;
  if (thorough.money.central === null)
    return `A thorough clean-out here ${keeps}; a limited one ${seedsInWords(limited.seeds, inputs.display)}.`;
  const money = (one: StopWorth) => moneyInWords(one.money, inputs.display);
  if (thorough.breakEvenMin.central === null)
    return `A limited clean-out here saves ${money(limited)}, a thorough one ${money(thorough)}, over the years to come: each pays where it costs you less. The thorough one ${keeps}.`;
  const pays = stops.map((one) => `a ${one.kind} one up to ${minutesInWords(one.breakEvenMin)}`).join(', ');
  const takes = stops.map((one) => takesInWords(one, inputs)).join('; ');
  return `A clean-out here pays: ${pays}. ${capital(takes)}. The thorough one saves ${money(thorough)} over the years to come and ${keeps}.`;
}

/** What it takes, and whether that pays. */
export function takesInWords({ kind, minutes, verdict, breakEvenMin }: StopWorth, { reportedMin }: Inputs): string {
  if (minutes === null) {
    const { low, high } = reportedMin[kind];
    const far = (breakEvenMin.high ?? 0) < low ? ', more than it can pay' : '';
    return `a ${kind} one is reported to take ${spanOfMinutes({ low, high })}${far}`;
  }
  const says = { pays: 'pays', 'may pay': 'may pay', 'does not pay': 'does not pay' }[verdict ?? 'may pay'];
  return `yours of ${formatNumber(minutes, 0)} minutes (${kind}) ${says}`;
}

/** Whole money, two figures: "$15 to $2,900, most likely $48". */
export function moneyInWords(range: Range, display: Display): string {
  if (range.central === null) return 'not known';
  if (range.high < 1) return `under ${formatQuantity(1, 'money', display, 0)}`;
  return formatRange(roughRange(range), 'money', display, 0);
}

/** "31 to 46%, most likely 39%". */
export function shareInWords(range: Range): string {
  if (range.central === null) return 'not known';
  const say = (share: number) => (share > 0 && share < 0.005 ? 'under 1%' : `${Math.round(100 * share)}%`);
  const [low, central, high] = [say(range.low), say(range.central), say(range.high)];
  return low === high ? central : `${low.replace('%', '')} to ${high}, most likely ${central}`;
}

/** "2 to 27 minutes, most likely 4". */
export function minutesInWords(range: Range): string {
  if (range.central === null) return 'not known';
  const say = (minutes: number) => (minutes < 1 ? 'under 1' : formatNumber(roughly(minutes), 0));
  const [low, central, high] = [say(range.low), say(range.central), say(range.high)];
  if (low === high) return `${low} minute${low === 'under 1' || low === '1' ? '' : 's'}`;
  return `${low.replace('under 1', '0')} to ${high} minutes, most likely ${central}`;
}

function spanOfMinutes({ low, high }: { readonly low: number; readonly high: number }): string {
  const hours = high >= 120;
  const scale = hours ? 60 : 1;
  return `${formatNumber(low / scale, 0)} to ${formatNumber(high / scale, 0)} ${hours ? 'hours' : 'minutes'}`;
}

/** What the order keeps off, beside how the fields were cut. */
export function besideAsCut({ asCut, falls, costs }: MachinePlan, display: Display): string | null {
  if (!asCut) return null;
  const seeds = `As it was cut, ${seedsInWords(asCut.falls, display)} fell on other fields than they grew on; in this order it would have been ${seedsInWords(falls, display)}.`;
  if (!asCut.costs || !costs) return seeds;
  return `${seeds} That seed costs ${moneyInWords(asCut.costs.seed, display)} over the years to come, and would have cost ${moneyInWords(costs.seed, display)}.`;
}

const HEADER = parameter('machine.headerLossFraction');
const CHOICE_NAMES: Readonly<Record<ChoiceId, string>> = {
  spread: 'Chaff and straw spread',
  'chaff-line': 'Chaff in lines',
  'impact-mill': 'Impact mill',
  'least header loss': `Header: the least loss measured (${Math.round(100 * HEADER.low)}%)`,
  'most header loss': `Header: the most loss measured (${Math.round(100 * HEADER.high)}%)`,
};

export function choiceName(id: ChoiceId): string {
  return CHOICE_NAMES[id];
}

/** What stands behind each alternative: measured by whom, or assumed. */
export const CHOICE_SOURCES: readonly string[] = [
  'Header loss: 9 and 15% of the waterhemp seed on the plant in Iowa, 22 to 40% in Missouri soybean (measured; abstracts read). How it hangs on the header’s height or speed nobody measured: lower and slower takes more in, as far as anybody can tell.',
  'Impact mill: 82 to 96% of the waterhemp seed that went through it, by year, in Iowa, 94% in Missouri (measured). Header loss, straw and grain are out of its reach. It needs about 12% more of the engine.',
  'Chaff lines: over 99% of the waterhemp seed that left the combine lay in the line, 0.4 m wide; the next year it held 1.8 times the plants of the ground beside it, with some 23 times the seed (measured, Iowa, one study). The share in straw is ours.',
  'What goes into the tank, lodges, or leaves with straw instead of chaff is assumed.',
];

/** The patches of a field, as a choice. */
export function patchInWords(name: string, { patches }: HarvestChoices, display: Display): string | null {
  if (!patches) return null;
  const ground = formatQuantity(patches.areaM2, 'area', display);
  const share = shareInWords(patches.ofSeed);
  const crop =
    patches.cropMoney === null
      ? ''
      : `, with crop worth about ${formatQuantity(roughly(patches.cropMoney), 'money', display)} before what the weed takes of it`;
  return `${name} holds its weed in patches: ${ground}${crop}, with ${share} of the seed on the plants, about ${formatCount(roughly(patches.standingSeeds.central ?? 0))} seeds. Left standing or cut last, with the combine cleaned out after, that seed rides nowhere. What is not cut is not spread (University of Maryland Extension, read); insurer and landlord come first.`;
}

/** The list as rows of a table. */
export function harvestRows(plan: HarvestPlan) {
  return plan.machines.flatMap((machine) =>
    machine.fields.map((one, step) => ({
      machine: machine.name,
      place: step + 1,
      fieldName: one.name,
      crop: cropName(one.crop),
      is: one.is as string,
      weed: one.weed === null ? null : nameOfWeed(one.weed),
      ripeFrom: one.ripeFrom,
      cleanOut: cleanOutWanted(machine, one, step) ? (one.cleanOut ?? 'yes') : null,
      ridesIn: one.ridesIn,
      falls: one.falls,
      stops: one.stops,
    })),
  );
}
