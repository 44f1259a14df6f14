/** One field of the study: its numbers with ranges, ledgers per case, programs, zones, and the reason in words. */
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import type { Ledger } from '../harvest/ledger.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import type { Farm, Field } from '../model/farm.ts';
import { harvestOf, roundsOf, seasonOf, speciesOf } from '../model/lookups.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import type { Compared } from './compare-programs.ts';
import {
  byControl,
  type ByCase,
  harvestLine,
  infestedAny,
  lossParameters,
  none,
  programLines,
  seasonLine,
  seedParameters,
  speciesLines,
  tellLedger,
  zoneLines,
} from './field-numbers.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { RunnerProgress } from './runner.ts';
import type { Scope, StepId } from './step.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldHarvestPath } from './steps/harvest-path.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldPriority, Priority } from './steps/priority.ts';
import type { FieldScouting } from './steps/scouting.ts';
import type { FieldSeason } from './steps/season.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';
import type { FieldBank } from './steps/seedbank.ts';
import type { FieldYieldLoss } from './steps/yield-loss.ts';
import type { FieldZones } from './steps/zones.ts';
import { reasonInWords } from './words.ts';

export type Rung = 'a' | 'b' | 'c' | 'd' | 'e';
export type FieldLedgers = Readonly<Record<Case, Ledger>>;

export interface FieldStudy {
  readonly id: string;
  readonly name: string;
  /** Rung of the ladder of evidence. */
  readonly evidence: Rung;
  readonly evidenceIs: string;
  readonly tier: 1 | 2 | 3 | null;
  readonly rank: number | null;
  readonly rankByThisYear: number | null;
  /** Among the fields that nobody looked at: where to look first. */
  readonly lookRank: number | null;
  readonly why: string;
  readonly areaM2: number;
  readonly unknownAreaM2: number | null;
  readonly infestedAreaM2: Range;
  readonly bySpecies: readonly {
    readonly species: string;
    readonly name: string;
    readonly basis: string;
    readonly method: string;
    /** Null on a rating or a class of density: they make tiers, never a density. */
    readonly meanDensityPerM2: Range;
    readonly infestedAreaM2: Range;
    readonly places: number;
    readonly positives: number;
    readonly notes: readonly string[];
  }[];
  readonly crop: string | null;
  /** Why that crop: planned, the rotation carried on, or assumed. */
  readonly cropFrom: string | null;
  readonly expectedYieldFrom: string | null;
  readonly yieldLossFraction: Range;
  readonly yieldLossKg: Range;
  readonly yieldLossMoney: Range;
  readonly seedsProduced: Range;
  readonly seedsLandedInField: Range;
  readonly carriedIn: Range;
  readonly carriedOut: Range;
  readonly ledger: FieldLedgers | null;
  readonly harvest: {
    readonly assumedPath: boolean;
    readonly records: number;
    readonly flagged: Readonly<Record<string, number>>;
    readonly flowDelayS: number | null;
    readonly coveredAreaM2: number;
    readonly standardMassKg: number | null;
    readonly meanYieldKgHa: number | null;
    readonly headerWidthM: number;
    readonly headerWidthFrom: string;
    /** Assumed path: share of the landed seed that would lie elsewhere if the strips were driven the other way. */
    readonly directionShare: number | null;
  } | null;
  readonly season: {
    readonly bySpecies: readonly {
      readonly species: string;
      readonly emergenceFrom: string | null;
      readonly uncoveredFraction: Range;
    }[];
    readonly cover: readonly {
      readonly ingredient: string;
      readonly on: string;
      readonly rateFraction: number;
      readonly days: Range;
    }[];
  } | null;
  readonly stake: Range;
  readonly stakePerHa: Range;
  readonly chosenProgram: string | null;
  readonly programs: readonly {
    readonly id: string;
    /** Beside current practice: by money where it can be told, else by what the passes kill. */
    readonly compared: Compared;
    readonly gain: Range;
    readonly gainPerHa: Range;
    readonly costPerHa: Range;
    readonly seedbankPerM2ByYear: readonly Range[];
  }[];
  readonly zones: readonly {
    readonly id: string;
    readonly areaM2: number;
    readonly rank: number;
    readonly why: string;
    readonly area: MultiPolygon;
  }[];
  readonly zonesTold: readonly string[];
}

interface Input {
  readonly farm: Farm;
  readonly season: number | null;
  readonly field: Field;
  readonly ground: FieldGround;
  readonly priority: Priority | null;
  readonly figures: FigureBook;
  readonly ranked: boolean;
  want<T>(step: StepId, scope: Scope): Generator<RunnerProgress, T | null, void>;
}

export function* studyField(input: Input): Generator<RunnerProgress, FieldStudy, void> {
  const { farm, season, field, ground, figures, want } = input;
  const at = `fields/${field.id}`;
  const place = { field: field.id, season: season ?? 0 };
  const mine = input.priority?.fields.find((one) => one.field === field.id) ?? null;
  const areaM2 = figures.exact(`${at}/areaM2`, FORMULAS.fieldArea, {
    A_boundary: { value: ground.boundaryAreaM2, from: { words: `the boundary of ${field.name}` } },
    A_excluded: {
      value: ground.boundaryAreaM2 - ground.areaM2,
      from: { words: `${field.exclusions.length} exclusions` },
    },
  })!;
  if (season === null) return nothingKnown(farm, field, areaM2, mine);
  if (!input.ranked) {
    // No weed is on record, but what was harvested can be told.
    const found =
      harvestOf(farm, field.id, season).files.length > 0 ? yield* want<FieldHarvestPath>('harvest-path', place) : null;
    const known = nothingKnown(farm, field, areaM2, mine);
    return found
      ? { ...known, evidenceIs: 'a harvest log, nobody looked', harvest: harvestLine({ at, figures }, found, null) }
      : known;
  }

  const infestations: FieldInfestation[] = [];
  for (const species of speciesOf(farm)) {
    const one = yield* want<FieldInfestation>('infestation', { ...place, species });
    if (one) infestations.push(one);
  }
  const each = function* <T>(step: StepId, more: Scope = {}): Generator<RunnerProgress, ByCase<T>, void> {
    const out = { mild: null, central: null, harsh: null } as ByCase<T>;
    for (const which of CASES) out[which] = yield* want<T>(step, { ...place, ...more, case: which });
    return out;
  };
  const seasons = yield* each<FieldSeason>('season');
  const path = yield* want<FieldHarvestPath>('harvest-path', place);
  const seen = infestations.some((one) => one.map.basis !== 'nothing');
  const zones = seen ? yield* want<FieldZones>('zones', place) : null;
  const loss = seen ? yield* each<FieldYieldLoss>('yield-loss') : none<FieldYieldLoss>();
  const seed = seen ? yield* each<FieldSeedReturn>('seed-return') : none<FieldSeedReturn>();
  const moved = yield* each<FieldLanded>('landed');
  const landed = seen ? moved : none<FieldLanded>();
  const banks: { id: string; by: ByCase<FieldBank> }[] = [];
  for (const { id } of farm.programs)
    banks.push({ id, by: seen ? yield* each<FieldBank>('seedbank', { program: id }) : none<FieldBank>() });
  let looked = false;
  for (const round of roundsOf(farm, season)) {
    const scouting = yield* want<FieldScouting>('scouting', { field: field.id, round: round.id });
    looked ||= (scouting?.species.length ?? 0) > 0;
  }

  const numbers = { at, areaM2, figures, infestations, loss, seed, landed, banks, farm };
  const bySpecies = speciesLines(numbers);
  const infestedAreaM2 = infestedAny(numbers);
  const lossFraction = figures.range(
    `${at}/yieldLossFraction`,
    FORMULAS.yieldLossFraction,
    (which) => ({ L: { value: loss[which]?.lossFraction ?? null, from: { words: `step yield-loss, ${which} case` } } }),
    { behind: lossParameters(farm, loss.central?.crop ?? null) },
  );
  const lossKg = figures.range(`${at}/yieldLossKg`, FORMULAS.yieldLossKg, (which) => ({
    L: { value: loss[which]?.lossFraction ?? null, from: { path: `${at}/yieldLossFraction` } },
    Y: {
      value: loss[which]?.expectedYieldKgHa ?? null,
      from: { words: loss[which]?.expectedYieldFrom ?? 'no crop' },
    },
    A: { value: areaM2, from: { path: `${at}/areaM2` } },
  }));
  const lossMoney = figures.range(`${at}/yieldLossMoney`, FORMULAS.yieldLossMoney, (which) => ({
    m: { value: loss[which]?.lossKg ?? null, from: { path: `${at}/yieldLossKg` } },
    price: { value: loss[which]?.priceKg ?? null, from: { words: `prices of ${season}` } },
  }));
  const produced = figures.range(
    `${at}/seedsProduced`,
    FORMULAS.seedsProduced,
    (which) =>
      seed[which]
        ? Object.fromEntries(
            seed[which].species.map((one) => [
              `N_${one.species}`,
              {
                value: one.producedSeeds,
                from: { words: `${speciesInfo(one.species).name}, sum over the field, ${which} case` },
              },
            ]),
          )
        : { N_none: { value: null, from: { words: 'nobody looked' } } },
    { behind: seedParameters(farm, seed.central?.crop ?? null) },
  );
  const landedIn = figures.range(
    `${at}/seedsLandedInField`,
    FORMULAS.seedsLanded,
    (which) => ({
      N_header: { value: landed[which]?.ledger.headerLossSeeds ?? null, from: { words: `ledger, ${which} case` } },
      N_machine: {
        value: landed[which]?.ledger.landedByMachineSeeds ?? null,
        from: { words: `ledger, ${which} case` },
      },
    }),
    {
      behind: [
        'machine.headerLossFraction',
        'machine.grain.share',
        'machine.lodged.share',
        'machine.chaffOfThrownFraction',
      ],
    },
  );
  const carry = (name: 'carriedIn' | 'carriedOut', key: 'carriedInSeeds' | 'carriedOutSeeds') =>
    figures.range(
      `${at}/${name}`,
      FORMULAS.carried,
      (which) => ({
        N: { value: moved[which]?.[key] ?? null, from: { words: `the machine’s fields in time order, ${which} case` } },
      }),
      { behind: ['machine.lodged.share', 'machine.lodged.timeConstantS'] },
    );
  const { stake, stakePerHa, programs } = programLines(numbers);
  const ledger =
    landed.mild && landed.central && landed.harsh
      ? { mild: landed.mild.ledger, central: landed.central.ledger, harsh: landed.harsh.ledger }
      : null;
  tellLedger(numbers);
  const evidence = rungOf(farm, season, field.id, infestations, path);
  const study: Omit<FieldStudy, 'why'> = {
    id: field.id,
    name: field.name,
    evidence,
    evidenceIs: evidenceInWords(infestations, path, looked),
    tier: mine?.tier ?? null,
    rank: mine?.rank ?? null,
    rankByThisYear: mine?.rankByThisYear ?? null,
    lookRank: mine?.lookRank ?? null,
    areaM2,
    unknownAreaM2: unknownArea(infestations, areaM2),
    infestedAreaM2,
    bySpecies,
    crop: loss.central?.crop ?? null,
    cropFrom: loss.central?.cropBecause ?? null,
    expectedYieldFrom: loss.central?.expectedYieldFrom ?? null,
    yieldLossFraction: lossFraction,
    yieldLossKg: lossKg,
    yieldLossMoney: lossMoney,
    seedsProduced: produced,
    seedsLandedInField: landedIn,
    carriedIn: carry('carriedIn', 'carriedInSeeds'),
    carriedOut: carry('carriedOut', 'carriedOutSeeds'),
    ledger,
    harvest: path ? harvestLine(numbers, path, landed.central?.directionShare ?? null) : null,
    season: seasonLine(numbers, seasons),
    stake,
    stakePerHa,
    chosenProgram: mine?.chosen ?? null,
    programs,
    zones: zoneLines(numbers, zones, mine),
    zonesTold: zones?.told ?? [],
  };
  return { ...study, why: reasonInWords(farm, study, mine, landed.central) };
}

function nothingKnown(farm: Farm, field: Field, areaM2: number, mine: FieldPriority | null): FieldStudy {
  return {
    id: field.id,
    name: field.name,
    evidence: 'a',
    evidenceIs: 'boundary only',
    tier: null,
    rank: null,
    rankByThisYear: null,
    lookRank: mine?.lookRank ?? null,
    why: 'Nobody looked at this field: go and look.',
    areaM2,
    unknownAreaM2: areaM2,
    infestedAreaM2: UNKNOWN_RANGE,
    bySpecies: [],
    crop: null,
    cropFrom: null,
    expectedYieldFrom: null,
    yieldLossFraction: UNKNOWN_RANGE,
    yieldLossKg: UNKNOWN_RANGE,
    yieldLossMoney: UNKNOWN_RANGE,
    seedsProduced: UNKNOWN_RANGE,
    seedsLandedInField: UNKNOWN_RANGE,
    carriedIn: UNKNOWN_RANGE,
    carriedOut: UNKNOWN_RANGE,
    ledger: null,
    harvest: null,
    season: null,
    stake: UNKNOWN_RANGE,
    stakePerHa: UNKNOWN_RANGE,
    chosenProgram: null,
    programs: farm.programs.map(({ id }) => ({
      id,
      compared: byControl(farm, id),
      gain: UNKNOWN_RANGE,
      gainPerHa: UNKNOWN_RANGE,
      costPerHa: UNKNOWN_RANGE,
      seedbankPerM2ByYear: [],
    })),
    zones: [],
    zonesTold: [],
  };
}

function rungOf(
  farm: Farm,
  season: number,
  field: string,
  infestations: readonly FieldInfestation[],
  path: FieldHarvestPath | null,
): Rung {
  const bases = infestations.map((one) => one.map.basis);
  if (bases.every((one) => one === 'nothing')) return 'a';
  if (bases.every((one) => one === 'nothing' || one === 'rating' || one === 'drawn patches')) return 'b';
  if (!path || path.path.assumed) return 'c';
  const now = seasonOf(farm, season);
  const sprayed = now?.sprayed.some((one) => one.where.field === field) ?? false;
  const before =
    farm.rounds.some((one) => one.season < season) ||
    farm.seasons.some((one) => one.year < season && one.crops.length > 0);
  return now !== null && now.weather.length > 0 && sprayed && before ? 'e' : 'd';
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

function unknownArea(infestations: readonly FieldInfestation[], areaM2: number): number {
  const seen = infestations.filter((one) => one.map.basis !== 'nothing');
  return seen.length === 0 ? areaM2 : Math.max(...seen.map((one) => one.map.unknownAreaM2));
}
