/**
 * The whole farm studied: every step that a ranked list, zones and a hand-off need, gathered into one plain result. The names are
 * those of the published JSON; every number in it that can be asked for has a figure under its path.
 */
import type { Farm } from '../model/farm.ts';
import { speciesOf, studySeason } from '../model/lookups.ts';
import { type Problem, problem } from '../model/problem.ts';
import { factsOf, type FieldFacts } from './field-facts.ts';
import { FigureBook, type Input } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import { withKnownNames } from './known-names.ts';
import { Memory } from './memory.ts';
import { Planner } from './planner.ts';
import { inOrder, type RankedField, rankField, type Ranking } from './ranking.ts';
import { Remembered, wantOf } from './remembered.ts';
import { Runner, type RunnerProgress } from './runner.ts';
import type { FileDoor, ResultStore } from './step.ts';
import { steps } from './steps.ts';
import type { Priority, ProgramOffer } from './steps/priority.ts';
import { type FieldLedgers, type FieldStudy, studyField } from './study-field.ts';
import { palmerFound, strayObservations, whatIsBorrowed, whatIsMissing } from './study-notes.ts';
import { farmSentence } from './words.ts';

export interface Study {
  readonly schema: 1;
  readonly farm: {
    readonly id: string;
    readonly name: string;
    readonly invented: boolean;
    readonly season: number | null;
    readonly areaM2: number;
    readonly currency: string;
  };
  /** One sentence that says where the farm stands. */
  readonly summary: string;
  /** Numbers in that sentence as they stand in it, with the path of their working. */
  readonly summaryNumbers: readonly { readonly text: string; readonly path: string }[];
  readonly budget: {
    readonly available: number | null;
    readonly spentPerYear: number | null;
    readonly gain: number | null;
    readonly gainBound: number | null;
    readonly exact: boolean | null;
    readonly horizonYears: number;
    readonly discountFraction: number;
  };
  readonly fields: readonly FieldStudy[];
  /** Fields whose two ranks differ by `at least` places: where this year's loss alone would mislead. */
  readonly disagreements: readonly { readonly id: string; readonly rank: number; readonly rankByThisYear: number }[];
  readonly problems: readonly Problem[];
  /** By step: results computed and results reused. */
  readonly steps: Readonly<Record<string, { readonly ran: number; readonly reused: number }>>;
}

export interface StudyRun {
  readonly study: Study;
  readonly figures: FigureBook;
  readonly usedKeys: ReadonlySet<string>;
}

export type { FieldLedgers, FieldStudy };

/** The ranked list, before the ranges of the fields: certain by then, unless it is a first look and says so. */
export interface RankedEvent {
  readonly ranking: Ranking;
}
export type StudyEvent = RunnerProgress | RankedEvent;

/** Two ranks this far apart are a disagreement. */
const APART = 3;

export function startRunner(farm: Farm, door: FileDoor, store: ResultStore): Runner {
  const { farm: usable, problems } = withKnownNames(farm);
  return new Runner(usable, new Planner(steps), door, new Memory(store), problems);
}

/** The study of the farm's last season, from one look at it; results that the store lacks are written to it. */
export function* studyFarm(runner: Runner): Generator<RunnerProgress, StudyRun, void> {
  const work = studySeasonOf(runner, studySeason(runner.farm), new Remembered());
  for (;;) {
    const turn = work.next();
    if (turn.done) {
      drain(runner.save());
      return turn.value;
    }
    if (!('ranking' in turn.value)) yield turn.value;
  }
}

/** @param remembered what earlier studies of the farm made, and this one may use again */
export function* studySeasonOf(
  runner: Runner,
  season: number | null,
  remembered: Remembered,
): Generator<StudyEvent, StudyRun, void> {
  const { farm } = runner;
  const want = wantOf(runner);
  const { canRank, isPast, priority, factsOfFields } = yield* prioritize(runner, season);
  if (canRank) {
    const fields = yield* rankFields(runner, factsOfFields, remembered);
    yield { ranking: { season: season!, seedStays: false, quickMaps: false, fields } };
  }

  const figures = new FigureBook();
  let fields: FieldStudy[] = [];
  for (const facts of factsOfFields) {
    const name = `study ${season} ${facts.field.id}`;
    const made = yield* remembered.of(runner, name, facts, (ask) => studyField(facts, ask));
    if (!made) continue;
    fields.push(made.study);
    figures.include(made.figures);
  }
  if (!canRank) {
    const bySize = [...fields].sort((a, b) => b.areaM2 - a.areaM2 || (a.id < b.id ? -1 : 1));
    bySize.forEach((one, index) => (fields[fields.indexOf(one)] = { ...one, lookRank: index + 1 }));
  }
  fields = inOrder(fields);
  const told: Problem[] = [
    ...(yield* strayObservations(farm, season, want)),
    ...whatIsMissing(farm, fields),
    ...whatIsBorrowed([...runner.borrowedParameters].sort()),
    ...palmerFound(fields),
    ...whenIsIt(season, isPast),
  ];
  tellBudget(figures, priority);
  const summary = farmSentence(fields, figures);
  const study: Study = {
    schema: 1,
    farm: {
      id: farm.id,
      name: farm.name,
      invented: farm.invented,
      season,
      areaM2: fields.reduce((sum, one) => sum + one.areaM2, 0),
      currency: farm.currency,
    },
    summary: summary.text,
    summaryNumbers: summary.numbers,
    budget: {
      available: isPast ? null : farm.planning.budget,
      spentPerYear: priority?.budget?.spent ?? null,
      gain: priority?.budget?.gain ?? null,
      gainBound: priority?.budget?.bound ?? null,
      exact: priority?.budget?.exact ?? null,
      horizonYears: farm.planning.horizonYears,
      discountFraction: farm.planning.discountFraction,
    },
    fields,
    disagreements: fields.flatMap(({ id, rank, rankByThisYear }) =>
      rank !== null && rankByThisYear !== null && Math.abs(rank - rankByThisYear) >= APART
        ? [{ id, rank, rankByThisYear }]
        : [],
    ),
    problems: [...(yield* runner.problems()), ...told],
    steps: Object.fromEntries([...runner.counts].map(([id, count]) => [id, { ...count }])),
  };
  return { study, figures, usedKeys: runner.usedKeys };
}

/** The ranking alone, by a runner over the steps of a first or a quick look; null where nothing can be ranked. */
export function* rankSeason(
  runner: Runner,
  season: number | null,
  remembered: Remembered,
  look: Pick<Ranking, 'seedStays' | 'quickMaps'>,
): Generator<RunnerProgress, Ranking | null, void> {
  const { canRank, factsOfFields } = yield* prioritize(runner, season);
  if (!canRank) return null;
  return { season: season!, ...look, fields: yield* rankFields(runner, factsOfFields, remembered) };
}

function* prioritize(runner: Runner, season: number | null) {
  const { farm } = runner;
  const canRank = season !== null && speciesOf(farm).length > 0;
  const isPast = season !== null && season < (studySeason(farm) ?? season);
  const priority = canRank ? yield* wantOf(runner)<Priority>('priority', { season }) : null;
  const factsOfFields = farm.fields.map((field) => {
    const mine = priority?.fields.find((one) => one.field === field.id) ?? null;
    return factsOf(farm, field, season, { canRank, isPast, priority: mine });
  });
  return { canRank, isPast, priority, factsOfFields };
}

function* rankFields(
  runner: Runner,
  factsOfFields: readonly FieldFacts[],
  remembered: Remembered,
): Generator<RunnerProgress, RankedField[], void> {
  const fields: RankedField[] = [];
  for (const facts of factsOfFields) {
    const name = `rank ${facts.season} ${facts.field.id}`;
    const one = yield* remembered.of(runner, name, facts, (ask) => rankField(facts, ask));
    if (one) fields.push(one);
  }
  return inOrder(fields);
}

function drain(work: Generator<unknown, void, void>): void {
  while (!work.next().done);
}

/** What the season that is looked at means for what is told. */
function whenIsIt(season: number | null, isPast: boolean): Problem[] {
  if (season === null) {
    return [
      problem('note', 'nothing-known-yet', 'The farm has boundaries only.', {
        hint: 'Rate each field in a word, or add counts, crops or harvest logs.',
      }),
    ];
  }
  if (!isPast) return [];
  return [
    problem(
      'note',
      'earlier-season',
      `Season ${season} is looked at from the records of that year; programs and prices are those of the farm now, and no program is chosen within a budget.`,
    ),
  ];
}

/** The two sums of the best set, from the programs that it chose. */
function tellBudget(figures: FigureBook, priority: Priority | null): void {
  if (!priority?.budget) return;
  const chosen = priority.fields.flatMap((one) => {
    const offer = one.offers.find((it) => it.program === one.chosen);
    return offer ? [{ field: one.field, offer }] : [];
  });
  const inputs = (
    symbol: string,
    of: (offer: ProgramOffer) => number | null,
    from: (field: string, program: string) => Input['from'],
  ) =>
    Object.fromEntries(
      chosen.map(({ field, offer }) => [`${symbol}_${field}`, { value: of(offer), from: from(field, offer.program) }]),
    );
  figures.exact(
    'budget/gain',
    FORMULAS.bestSetGain,
    inputs(
      'G',
      (offer) => offer.gain,
      (field, program) => ({ words: `${program} on ${field}: see fields/${field}/programs/${program}/gain` }),
    ),
  );
  figures.exact(
    'budget/spentPerYear',
    FORMULAS.bestSetCost,
    inputs(
      'C',
      (offer) => offer.extraCostPerYear,
      (field, program) => ({ words: `${program} on ${field}, costs as typed` }),
    ),
  );
}
