/**
 * The whole farm studied: every step that a ranked list, zones and a hand-off need, gathered into one plain result. The names are
 * those of the published JSON; every number in it that can be asked for has a figure under its path.
 */
import { cautionsFor } from '../agronomy/cautions.ts';
import { borrowedAmong } from '../agronomy/parameter.ts';
import type { Farm } from '../model/farm.ts';
import { studySeason, speciesOf } from '../model/lookups.ts';
import { type Problem, problem } from '../model/problem.ts';
import { FigureBook, type Input } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import { withKnownNames } from './known-names.ts';
import { Runner, type RunnerProgress } from './runner.ts';
import type { FileDoor, ResultStore, Scope, StepId } from './step.ts';
import { steps } from './steps.ts';
import type { FieldGround } from './steps/field.ts';
import type { Priority, ProgramOffer } from './steps/priority.ts';
import { type FieldLedgers, type FieldStudy, studyField } from './study-field.ts';
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

/** Two ranks this far apart are a disagreement. */
const APART = 3;

export function startRunner(farm: Farm, door: FileDoor, store: ResultStore): Runner {
  const { farm: usable, problems } = withKnownNames(farm);
  return new Runner(usable, steps, door, store, problems);
}

export function* studyFarm(runner: Runner): Generator<RunnerProgress, StudyRun, void> {
  const { farm } = runner;
  const figures = new FigureBook();
  const season = studySeason(farm);
  const told: Problem[] = [];
  const want = function* <T>(step: StepId, scope: Scope): Generator<RunnerProgress, T | null, void> {
    const outcome = yield* runner.outcome(step, scope);
    return outcome.ok ? (outcome.value as T) : null;
  };

  const canRank = season !== null && speciesOf(farm).length > 0;
  const priority = canRank ? yield* want<Priority>('priority', { season }) : null;
  const fields: FieldStudy[] = [];
  for (const field of farm.fields) {
    const ground = yield* want<FieldGround>('field', { field: field.id });
    if (!ground) continue;
    fields.push(yield* studyField({ farm, season, field, ground, priority, figures, want, ranked: canRank }));
  }
  if (!canRank) {
    const bySize = [...fields].sort((a, b) => b.areaM2 - a.areaM2 || (a.id < b.id ? -1 : 1));
    bySize.forEach((one, index) => (fields[fields.indexOf(one)] = { ...one, lookRank: index + 1 }));
  }
  fields.sort(
    (a, b) =>
      (a.rank ?? Infinity) - (b.rank ?? Infinity) ||
      (a.lookRank ?? Infinity) - (b.lookRank ?? Infinity) ||
      b.areaM2 - a.areaM2,
  );
  told.push(...(yield* strayObservations(farm, season, want)));
  told.push(...whatIsMissing(farm, fields), ...whatIsBorrowed(runner), ...palmerFound(fields));
  if (season === null) {
    told.push(
      problem('note', 'nothing-known-yet', 'The farm has boundaries only.', {
        hint: 'Rate each field in a word, or add counts, crops or harvest logs.',
      }),
    );
  }
  tellBudget(figures, priority);
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
    summary: farmSentence(fields),
    budget: {
      available: farm.planning.budget,
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
    problems: [...runner.problems(), ...told],
    steps: Object.fromEntries(runner.counts),
  };
  return { study, figures, usedKeys: runner.usedKeys };
}

/** What keeps money out of the answer, or rests on an assumption, said once for the farm. */
function whatIsMissing(farm: Farm, fields: readonly FieldStudy[]): Problem[] {
  const told: Problem[] = [];
  const looked = fields.filter((one) => one.rank !== null);
  if (looked.length === 0) return told;
  const unpriced = [
    ...new Set(looked.filter((one) => one.yieldLossMoney.central === null).flatMap((one) => one.crop ?? [])),
  ];
  if (unpriced.length > 0 || looked.some((one) => one.stake.central === null)) {
    const crops = unpriced.length > 0 ? unpriced.join(' and ') : 'a crop of the rotation';
    told.push(
      problem(
        'warning',
        'price-missing',
        `The price of ${crops} is not told: what the weed costs cannot be told in money.`,
        {
          hint: 'Say the prices of the crops.',
        },
      ),
    );
  }
  if (farm.programs.some((one) => one.assumed)) {
    told.push(
      problem(
        'note',
        'programs-assumed',
        'The programs are a pattern to start from: their ratings are assumed, and they have no cost.',
        {
          hint: 'Put the ratings of your state’s guide and your costs in their place.',
        },
      ),
    );
  }
  for (const one of looked) {
    if (one.cropFrom !== null && /assumed|carried on/.test(one.cropFrom)) {
      told.push(
        problem('note', 'crop-assumed', `Field ${one.name}: ${one.cropFrom}.`, {
          where: { id: one.id },
          hint: 'Say what was planted.',
        }),
      );
    }
  }
  return told;
}

/** Palmer amaranth is a noxious weed in many states: where it is found, its cautions come with it. */
function palmerFound(fields: readonly FieldStudy[]): Problem[] {
  const names = fields
    .filter((field) => field.bySpecies.some((one) => one.species === 'palmer-amaranth' && one.positives > 0))
    .map((field) => field.name);
  if (names.length === 0) return [];
  const cautions = cautionsFor(['first find of Palmer amaranth']).map((one) => one.text);
  return [
    problem('warning', 'palmer-amaranth', `Palmer amaranth was found in ${names.join(', ')}. ${cautions[0]}`, {
      hint: cautions.slice(1).join(' '),
    }),
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
      (offer) => offer.gain.central,
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

/** Parameters without a value of their own, taken over from another species or crop. */
function whatIsBorrowed(runner: Runner): Problem[] {
  const borrowed = borrowedAmong([...runner.usedParameters]);
  if (borrowed.length === 0) return [];
  const names = borrowed.slice(0, 3).map((one) => one.id);
  return [
    problem(
      'note',
      'parameters-borrowed',
      `${borrowed.length} parameters have no value of their own and are taken over from another weed or crop: ${names.join(', ')}${borrowed.length > 3 ? ' …' : ''}.`,
      { hint: 'The working of a number names them; the farm’s own values may replace them.' },
    ),
  ];
}

type Want = <T>(step: StepId, scope: Scope) => Generator<RunnerProgress, T | null, void>;

/** Observations that lie in no field are told, file by file, never dropped in silence. */
function* strayObservations(farm: Farm, season: number | null, want: Want): Generator<RunnerProgress, Problem[], void> {
  const told: Problem[] = [];
  if (season === null) return told;
  for (const round of farm.rounds.filter((one) => one.season === season)) {
    let [brought, placed] = [round.typed.length, 0];
    for (const file of round.files) {
      const read = yield* want<{ records: { kind: string; observations?: readonly unknown[] } }>('records', { file });
      brought += read?.records.observations?.length ?? 0;
    }
    for (const field of farm.fields) {
      const scouting = yield* want<{ observations: number }>('scouting', { field: field.id, round: round.id });
      placed += scouting?.observations ?? 0;
    }
    if (placed < brought) {
      told.push(
        problem(
          'warning',
          'outside-all-fields',
          `${brought - placed} of ${brought} observations of ${round.id} lie in no field.`,
          { where: { id: round.id }, hint: 'Check their coordinates, or add the boundary of their field.' },
        ),
      );
    }
  }
  return told;
}
