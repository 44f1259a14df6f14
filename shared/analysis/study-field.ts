/** One field of the study: its numbers with ranges, ledgers per case, programs, zones, and the reason in words. */
import type { RangeSaying } from '../agronomy/infested-range.ts';
import type { Ledger } from '../harvest/ledger.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import type { Compared } from './compare-programs.ts';
import { fieldAreaM2, introduceField } from './field-about.ts';
import type { FieldFacts } from './field-facts.ts';
import {
  byControl,
  type ByCase,
  harvestLine,
  none,
  programLines,
  seasonLine,
  tellLedger,
  zoneLines,
} from './field-numbers.ts';
import { lossLines, seedLines } from './field-seed.ts';
import { FigureBook } from './formula.ts';
import { type OwnLossLine, ownLossLine } from './own-loss-line.ts';
import type { Want } from './remembered.ts';
import type { RunnerProgress } from './runner.ts';
import type { Scope, StepId } from './step.ts';
import type { RoundDays } from './steps/evidence.ts';
import type { FieldGround } from './steps/field.ts';
import type { HarvestFacts } from './steps/harvest-facts.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { OwnLoss } from './steps/own-loss.ts';
import type { FieldSeason } from './steps/season.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';
import type { FieldBank } from './steps/seedbank.ts';
import type { FieldYieldLoss } from './steps/yield-loss.ts';
import type { FieldZones } from './steps/zones.ts';
import type { VariogramLine } from './variogram-line.ts';
import { inWords } from '../zones/phrase.ts';
import { reasonInWords } from './words.ts';

export type Rung = 'a' | 'b' | 'c' | 'd' | 'e';
export type FieldLedgers = Readonly<Record<Case, Ledger>>;

export interface FieldStudy {
  readonly id: string;
  readonly name: string;
  /** Rung of the ladder of evidence. */
  readonly evidence: Rung;
  readonly evidenceIs: string;
  /** Rounds that looked here only after the field was cut: this season's loss and seed do not rest on them. */
  readonly afterHarvest: readonly RoundDays[];
  readonly tier: 1 | 2 | 3 | null;
  readonly rank: number | null;
  readonly rankByThisYear: number | null;
  /** Among the fields that nobody looked at: where to look first. */
  readonly lookRank: number | null;
  readonly why: string;
  readonly areaM2: number;
  /** Ground on which no weed was looked for; a rating alone leaves it all unknown. */
  readonly unknownAreaM2: number;
  readonly infestedAreaM2: Range;
  readonly bySpecies: readonly {
    readonly species: string;
    readonly name: string;
    readonly basis: string;
    readonly method: string;
    /** Null on a rating or a class of density: they make tiers, never a density. */
    readonly meanDensityPerM2: Range;
    readonly infestedAreaM2: Range;
    /** Ground that this weed's evidence does not speak for: neither its map nor, without one, its counts as a whole. */
    readonly unknownAreaM2: number;
    readonly places: number;
    readonly positives: number;
    /** What kind of range the infested area has, where the latent count model told it; few finds have no most likely area. */
    readonly rangeIs: RangeSaying | null;
    readonly notes: readonly string[];
    /** Likeness by distance, from 20 counted places on; null where there is none. */
    readonly variogram: VariogramLine | null;
  }[];
  readonly crop: string | null;
  /** Why that crop: planned, the rotation carried on, or assumed. */
  readonly cropFrom: string | null;
  readonly expectedYieldFrom: string | null;
  readonly yieldLossFraction: Range;
  readonly yieldLossKg: Range;
  readonly yieldLossMoney: Range;
  /** Weed density and yield at the places counted, and the loss curve that they show; null where nobody looked. */
  readonly ownLoss: OwnLossLine | null;
  readonly seedsProduced: Range;
  readonly seedsLandedInField: Range;
  readonly carriedIn: Range;
  readonly carriedOut: Range;
  readonly ledger: FieldLedgers | null;
  /** Of the seed carried in, what the machine had aboard when it came to the farm, in each case. */
  readonly arrived: Readonly<Record<Case, number>> | null;
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

/** The study of one field, with its figures in a book of their own; null where the field has no ground. */
export function* studyField(
  facts: FieldFacts,
  want: Want,
): Generator<RunnerProgress, { readonly study: FieldStudy; readonly figures: FigureBook } | null, void> {
  const ground = yield* want<FieldGround>('field', { field: facts.field.id });
  if (!ground) return null;
  const figures = new FigureBook();
  const areaM2 = fieldAreaM2(facts, ground, figures);
  const study = facts.canRank
    ? yield* studyRanked(facts, areaM2, figures, want)
    : yield* studyHarvestAlone(facts, areaM2, figures, want);
  return { study, figures };
}

/** No weed is on record, but what was harvested can be told. */
function* studyHarvestAlone(
  facts: FieldFacts,
  areaM2: number,
  figures: FigureBook,
  want: Want,
): Generator<RunnerProgress, FieldStudy, void> {
  const known = nothingKnown(facts, areaM2);
  const { field, season } = facts;
  const found = facts.hasLog ? yield* want<HarvestFacts>('harvest-facts', { field: field.id, season: season! }) : null;
  if (!found) return known;
  const harvest = harvestLine({ at: `fields/${field.id}`, figures }, found, null);
  return { ...known, evidenceIs: 'a harvest log, nobody looked', harvest };
}

function* studyRanked(
  facts: FieldFacts,
  areaM2: number,
  figures: FigureBook,
  want: Want,
): Generator<RunnerProgress, FieldStudy, void> {
  const { field, season } = facts;
  const at = `fields/${field.id}`;
  const place = { field: field.id, season: season! };
  const { about, known, harvest, seen } = yield* introduceField(facts, areaM2, figures, want);
  const each = function* <T>(step: StepId, more: Scope = {}): Generator<RunnerProgress, ByCase<T>, void> {
    const out = none<T>();
    for (const which of CASES) out[which] = yield* want<T>(step, { ...place, ...more, case: which });
    return out;
  };
  const seasons = yield* each<FieldSeason>('season');
  const zones = seen ? yield* want<FieldZones>('zones', place) : null;
  const own = seen ? yield* want<OwnLoss>('own-loss', place) : null;
  const loss = seen ? yield* each<FieldYieldLoss>('yield-loss') : none<FieldYieldLoss>();
  const seed = seen ? yield* each<FieldSeedReturn>('seed-return') : none<FieldSeedReturn>();
  const moved = yield* each<FieldLanded>('landed');
  const landed = seen ? moved : none<FieldLanded>();
  const banks: { id: string; by: ByCase<FieldBank> }[] = [];
  for (const { id } of facts.programs)
    banks.push({ id, by: seen ? yield* each<FieldBank>('seedbank', { program: id }) : none<FieldBank>() });

  const numbers = { at, areaM2, figures, known, loss, seed, landed, banks, facts };
  const losses = lossLines(numbers);
  const seeds = seedLines(numbers, moved);
  const { stake, stakePerHa, programs } = programLines(numbers);
  const ledger =
    landed.mild && landed.central && landed.harsh
      ? { mild: landed.mild.ledger, central: landed.central.ledger, harsh: landed.harsh.ledger }
      : null;
  tellLedger(numbers);
  return {
    ...about,
    why: reasonInWords(facts, about, {
      carriedInSeeds: seeds.carriedIn.central,
      landedSeeds: seeds.seedsLandedInField.central,
      stakePerHa: stakePerHa.central,
    }),
    crop: loss.central?.crop ?? null,
    cropFrom: loss.central?.cropBecause ?? null,
    expectedYieldFrom: loss.central?.expectedYieldFrom ?? null,
    ...losses,
    ownLoss: own && ownLossLine(`${at}/ownLoss`, own, figures),
    ...seeds,
    ledger,
    arrived: ledger && {
      mild: landed.mild!.arrivedSeeds,
      central: landed.central!.arrivedSeeds,
      harsh: landed.harsh!.arrivedSeeds,
    },
    harvest: harvest ? harvestLine(numbers, harvest, landed.central?.directionShare ?? null) : null,
    season: seasonLine(numbers, seasons),
    stake,
    stakePerHa,
    programs,
    zones: zoneLines(numbers, zones, facts.priority),
    zonesTold: (zones?.told ?? []).map((one) => inWords(one, facts.display)),
  };
}

function nothingKnown({ field, priority, programs, isPast, season }: FieldFacts, areaM2: number): FieldStudy {
  return {
    id: field.id,
    name: field.name,
    evidence: 'a',
    evidenceIs: 'boundary only',
    afterHarvest: [],
    tier: null,
    rank: null,
    rankByThisYear: null,
    lookRank: priority?.lookRank ?? null,
    why: isPast ? `Nobody looked at this field in ${season}.` : 'Nobody looked at this field: go and look.',
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
    ownLoss: null,
    seedsProduced: UNKNOWN_RANGE,
    seedsLandedInField: UNKNOWN_RANGE,
    carriedIn: UNKNOWN_RANGE,
    carriedOut: UNKNOWN_RANGE,
    ledger: null,
    arrived: null,
    harvest: null,
    season: null,
    stake: UNKNOWN_RANGE,
    stakePerHa: UNKNOWN_RANGE,
    chosenProgram: null,
    programs: programs.map(({ id }) => ({
      id,
      compared: byControl(programs, id),
      gain: UNKNOWN_RANGE,
      gainPerHa: UNKNOWN_RANGE,
      costPerHa: UNKNOWN_RANGE,
      seedbankPerM2ByYear: [],
    })),
    zones: [],
    zonesTold: [],
  };
}
