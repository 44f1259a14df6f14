/** What is known of a field before any biology: its evidence, where each weed was found, and how much ground it holds. */
import { infestedAny, type Seen, speciesLines } from './field-numbers.ts';
import type { FieldFacts } from './field-facts.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import { spokenForByAnyM2 } from './known-ground.ts';
import type { Want } from './remembered.ts';
import type { RunnerProgress } from './runner.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldHarvestPath } from './steps/harvest-path.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import type { FieldScouting } from './steps/scouting.ts';
import type { FieldStudy, Rung } from './study-field.ts';

/** The part of a field's study that hangs on no case. */
export type FieldAbout = Pick<
  FieldStudy,
  | 'id'
  | 'name'
  | 'evidence'
  | 'evidenceIs'
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
  readonly infestations: readonly FieldInfestation[];
  readonly path: FieldHarvestPath | null;
  /** Somebody looked, and it is known what they saw. */
  readonly seen: boolean;
}

export function* introduceField(
  facts: FieldFacts,
  ground: FieldGround,
  areaM2: number,
  figures: FigureBook,
  want: Want,
): Generator<RunnerProgress, Introduced, void> {
  const { field, priority } = facts;
  const place = { field: field.id, season: facts.season! };
  const infestations: FieldInfestation[] = [];
  for (const species of facts.species) {
    const one = yield* want<FieldInfestation>('infestation', { ...place, species });
    if (one) infestations.push(one);
  }
  const path = yield* want<FieldHarvestPath>('harvest-path', place);
  let looked = false;
  for (const round of facts.rounds) {
    const scouting = yield* want<FieldScouting>('scouting', { field: field.id, round });
    looked ||= (scouting?.species.length ?? 0) > 0;
  }
  const numbers = { at: `fields/${field.id}`, areaM2, figures, infestations };
  return {
    about: {
      id: field.id,
      name: field.name,
      evidence: rungOf(facts, infestations, path),
      evidenceIs: evidenceInWords(infestations, path, looked),
      tier: priority?.tier ?? null,
      rank: priority?.rank ?? null,
      rankByThisYear: priority?.rankByThisYear ?? null,
      lookRank: priority?.lookRank ?? null,
      chosenProgram: priority?.chosen ?? null,
      areaM2,
      unknownAreaM2: unknownToAll(numbers, ground),
      infestedAreaM2: infestedAny(numbers),
      bySpecies: speciesLines(numbers),
    },
    infestations,
    path,
    seen: infestations.some((one) => one.map.basis !== 'nothing'),
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

function rungOf(facts: FieldFacts, infestations: readonly FieldInfestation[], path: FieldHarvestPath | null): Rung {
  const bases = infestations.map((one) => one.map.basis);
  if (bases.every((one) => one === 'nothing')) return 'a';
  if (bases.every((one) => one === 'nothing' || one === 'rating' || one === 'drawn patches')) return 'b';
  if (!path || path.path.assumed) return 'c';
  return facts.hasWeather && facts.wasSprayed && facts.hasHistory ? 'e' : 'd';
}

function evidenceInWords(
  infestations: readonly FieldInfestation[],
  path: FieldHarvestPath | null,
  looked: boolean,
): string {
  const counted = infestations.filter((one) => one.map.places > 0);
  const parts: string[] = [];
  if (counted.length > 0) parts.push(`${Math.max(...counted.map((one) => one.map.places))} counted places`);
  else if (infestations.some((one) => one.map.basis === 'drawn patches')) parts.push('drawn patches');
  else if (infestations.some((one) => one.map.basis === 'rating')) parts.push('a rating');
  else parts.push(looked ? 'looked at, nothing recorded' : 'nobody looked');
  if (path && !path.path.assumed) parts.push('a harvest log');
  return parts.join(' and ');
}

/** Ground on which no weed was looked for. */
function unknownToAll({ at, areaM2, figures, infestations }: Seen, ground: FieldGround): number {
  return figures.exact(`${at}/unknownAreaM2`, FORMULAS.unknownGround, {
    A: { value: areaM2, from: { path: `${at}/areaM2` } },
    A_known: {
      value: spokenForByAnyM2(infestations, ground, areaM2),
      from: { words: 'all weeds together: ground that the evidence of at least one of them speaks for' },
    },
  })!;
}
