/** What is known of a field before any biology: its evidence, where each weed was found, and how much ground it holds. */
import { infestedAny, type Seen, speciesLines } from './field-numbers.ts';
import type { FieldFacts } from './field-facts.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { Want } from './remembered.ts';
import type { RunnerProgress } from './runner.ts';
import type { FieldGround } from './steps/field.ts';
import type { HarvestFacts } from './steps/harvest-facts.ts';
import type { InfestationFacts, WeedFacts } from './steps/infestation-facts.ts';
import type { FieldScouting } from './steps/scouting.ts';
import type { FieldStudy, Rung } from './study-field.ts';

/** The part of a field's study that hangs on no case. */
export type FieldAbout = Pick<
  FieldStudy,
  | 'id'
  | 'name'
  | 'evidence'
  | 'evidenceIs'
  | 'afterHarvest'
  | 'tier'
  | 'rank'
  | 'rankByThisYear'
  | 'lookRank'
  | 'chosenProgram'
  | 'areaM2'
  | 'unknownAreaM2'
  | 'infestedAreaM2'
  | 'bySpecies'
>;

export interface Introduced {
  readonly about: FieldAbout;
  readonly known: InfestationFacts;
  readonly harvest: HarvestFacts | null;
  /** Somebody looked, and it is known what they saw. */
  readonly seen: boolean;
}

const NO_WEEDS: InfestationFacts = { weeds: [], anyInfestedM2: null, spokenForM2: 0 };

export function* introduceField(
  facts: FieldFacts,
  areaM2: number,
  figures: FigureBook,
  want: Want,
): Generator<RunnerProgress, Introduced, void> {
  const { field, priority } = facts;
  const place = { field: field.id, season: facts.season! };
  const known = (yield* want<InfestationFacts>('infestation-facts', place)) ?? NO_WEEDS;
  const harvest = yield* want<HarvestFacts>('harvest-facts', place);
  let looked = false;
  for (const round of facts.rounds) {
    const scouting = yield* want<FieldScouting>('scouting', { field: field.id, round });
    looked ||= (scouting?.species.length ?? 0) > 0;
  }
  const afterHarvest = roundsAfter(known.weeds);
  const numbers = { at: `fields/${field.id}`, areaM2, figures, known };
  return {
    about: {
      id: field.id,
      name: field.name,
      evidence: rungOf(facts, known.weeds, harvest),
      evidenceIs: evidenceInWords(known.weeds, harvest, looked, afterHarvest.length > 0),
      afterHarvest,
      tier: priority?.tier ?? null,
      rank: priority?.rank ?? null,
      rankByThisYear: priority?.rankByThisYear ?? null,
      lookRank: priority?.lookRank ?? null,
      chosenProgram: priority?.chosen ?? null,
      areaM2,
      unknownAreaM2: unknownToAll(numbers),
      infestedAreaM2: infestedAny(numbers),
      bySpecies: speciesLines(numbers),
    },
    known,
    harvest,
    seen: known.weeds.some((one) => one.map.basis !== 'nothing'),
  };
}

/** Geodesic area less exclusions, as a figure. */
export function fieldAreaM2({ field }: FieldFacts, ground: FieldGround, figures: FigureBook): number {
  return figures.exact(`fields/${field.id}/areaM2`, FORMULAS.fieldArea, {
    A_boundary: { value: ground.boundaryAreaM2, from: { words: `the boundary of ${field.name}` } },
    A_excluded: {
      value: ground.boundaryAreaM2 - ground.areaM2,
      from: { words: `${field.exclusions.length} exclusions` },
    },
  })!;
}

function rungOf(facts: FieldFacts, weeds: readonly WeedFacts[], harvest: HarvestFacts | null): Rung {
  const bases = weeds.map((one) => one.map.basis);
  if (bases.every((one) => one === 'nothing')) return 'a';
  if (bases.every((one) => one === 'nothing' || one === 'rating' || one === 'drawn patches')) return 'b';
  if (!harvest || harvest.assumed) return 'c';
  return facts.hasWeather && facts.wasSprayed && facts.hasHistory ? 'e' : 'd';
}

/** Each once, whichever weeds were looked for. */
function roundsAfter(weeds: readonly WeedFacts[]): FieldAbout['afterHarvest'] {
  const all = weeds.flatMap((one) => one.afterHarvest);
  return all.filter((one, at) => all.findIndex((it) => it.id === one.id) === at);
}

function evidenceInWords(
  weeds: readonly WeedFacts[],
  harvest: HarvestFacts | null,
  looked: boolean,
  afterHarvest: boolean,
): string {
  const counted = weeds.filter((one) => one.map.places > 0);
  const parts: string[] = [];
  if (counted.length > 0) parts.push(`${Math.max(...counted.map((one) => one.map.places))} counted places`);
  else if (weeds.some((one) => one.map.basis === 'drawn patches')) parts.push('drawn patches');
  else if (weeds.some((one) => one.map.basis === 'rating')) parts.push('a rating');
  else if (afterHarvest) parts.push('looked at only after it was cut');
  else parts.push(looked ? 'looked at, nothing recorded' : 'nobody looked');
  if (harvest && !harvest.assumed) parts.push('a harvest log');
  return parts.join(' and ');
}

/** Ground on which no weed was looked for. */
function unknownToAll({ at, areaM2, figures, known }: Seen): number {
  return figures.exact(`${at}/unknownAreaM2`, FORMULAS.unknownGround, {
    A: { value: areaM2, from: { path: `${at}/areaM2` } },
    A_known: {
      value: known.spokenForM2,
      from: { words: 'all weeds together: ground that the evidence of at least one of them speaks for' },
    },
  })!;
}
