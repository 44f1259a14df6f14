/** The numbers of a machine's order of harvest, each made through its formula and kept as a figure under its path. */
import type { HarvestOrdered } from '../harvest/order/order-harvest.ts';
import type { Leg, OrderProblem, Walked } from '../harvest/order/order-problem.ts';
import type { Farm } from '../model/farm.ts';
import { type Case, eachCase, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import type { FigureBook, Input } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import { rankOf } from './harvest-class.ts';
import type { CostOfOrder, MachinePlan, PlannedField } from './harvest-plan.ts';
import { CLEAN_OUTS, moneyOfSeed } from './harvest-problem.ts';
import type { Way } from './harvest-ways.ts';
import type { HarvestedField } from './harvested-field.ts';
import { NOT_MEASURED, stopWorths } from './stop-worth.ts';

export interface Lines {
  readonly farm: Farm;
  readonly path: string;
  readonly fields: readonly HarvestedField[];
  /** Cut already, in their order. */
  readonly before: readonly HarvestedField[];
  readonly looks: 'ahead' | 'back';
  readonly byMoney: boolean;
  readonly ways: readonly (readonly (Way | null)[])[];
  readonly problems: Readonly<Record<Case, OrderProblem>>;
  readonly found: HarvestOrdered;
  readonly walked: Readonly<Record<Case, Walked>>;
  readonly figures: FigureBook;
}

const LODGED = ['machine.lodged.share', 'machine.lodged.timeConstantS'];
/** Less than this share of what a field left aboard is not spoken of any more (assumed, no source). */
const LEAST_RIDING = 0.01;
const MORE = { behind: LODGED, notes: [NOT_MEASURED] };

/** What came in aboard and fell on the field: neither destroyed nor beside it. */
export function fallsOn({ arrivingSeeds, removedSeeds }: Leg, field: HarvestedField, which: Case): number {
  return (total(arrivingSeeds) - total(removedSeeds)) * field.by[which].landedFraction;
}

export function aboardNow(
  { figures, path, fields, before }: Lines,
  start: Readonly<Record<Case, readonly number[]>>,
): Range {
  const species = (fields[0] ?? before[0])?.species ?? [];
  const unlooked = before.filter((one) => one.weed === null).map((one) => one.name);
  const from = before.length === 0 ? 'as it came' : `after ${before.map((one) => one.name).join(', ')}`;
  const unknown = `What ${unlooked.join(', ')} left aboard nobody knows, and it is not in this: nobody looked there.`;
  return figures.range(
    `${path}/aboard`,
    FORMULAS.seedsAboard,
    (which) => byWeed('L', species, start[which], from, which),
    { behind: LODGED, notes: unlooked.length === 0 ? [NOT_MEASURED] : [NOT_MEASURED, unknown] },
  );
}

/** The fields of the list, in its order. */
export function fieldLines(lines: Lines): PlannedField[] {
  const { fields, before, found, ways } = lines;
  return found.order.map((at, step) => {
    const field = fields[at]!;
    const last = step === 0 ? (before.at(-1) ?? null) : fields[found.order[step - 1]!]!;
    const stop = found.stops[step] ?? null;
    const path = `${lines.path}/${field.id}`;
    return {
      path,
      ...plainly(field),
      way: ways[step === 0 ? 0 : found.order[step - 1]! + 1]![at + 1]!,
      afterUnlooked: stillAboard(lines, step).map(({ id, name }) => ({ field: id, name })),
      ...seedLines(lines, path, step),
      cleanOut: stop === null ? null : CLEAN_OUTS[stop]!,
      cleanOutSaid: lines.looks === 'ahead' && field.cleanOutBefore !== null,
      fromWorse: last !== null && isWorse(last, field),
      isAfterUnlooked: last !== null && last.weed === null,
      stops: stopWorths({ ...lines, order: found.order, stops: found.stops, step, path }),
    };
  });
}

/** Fields that nobody looked at, of whose seed enough may still ride when the machine comes to a field of the list; in the order cut. */
function stillAboard({ fields, before, found, problems }: Lines, step: number): HarvestedField[] {
  const removed = (stop: number | null) => (stop === null ? 0 : problems.harsh.cleanOuts[stop]!.removedFraction);
  const passed = [
    ...before.map((field) => ({ field, stop: field.cleanOutBefore && CLEAN_OUTS.indexOf(field.cleanOutBefore) })),
    ...found.order.slice(0, step).map((at, place) => ({ field: fields[at]!, stop: found.stops[place] ?? null })),
  ];
  const unlooked: HarvestedField[] = [];
  for (let rides = 1; passed.length > 0 && rides >= LEAST_RIDING;) {
    const { field, stop } = passed.pop()!;
    if (field.weed === null) unlooked.unshift(field);
    rides *= field.by.harsh.keptFraction * (1 - removed(stop));
  }
  return unlooked;
}

function seedLines(
  { figures, fields, found, walked, problems, path: whole }: Lines,
  path: string,
  step: number,
): Pick<PlannedField, 'ridesIn' | 'takenOut' | 'falls' | 'ownAboard'> {
  const field = fields[found.order[step]!]!;
  const legs = eachCase((which) => walked[which].legs[step]!);
  const before =
    step === 0
      ? null
      : { field: fields[found.order[step - 1]!]!, legs: eachCase((which) => walked[which].legs[step - 1]!) };
  const ridesIn = before
    ? figures.range(
        `${path}/ridesIn`,
        FORMULAS.ridesIn,
        (which) => {
          const { arrivingSeeds, removedSeeds } = before.legs[which];
          const { keptFraction, ownSeeds } = before.field.by[which];
          return {
            L_before: { value: total(arrivingSeeds), from: { path: `${whole}/${before.field.id}/ridesIn` } },
            R_before: { value: total(removedSeeds), from: { path: `${whole}/${before.field.id}/takenOut` } },
            a: { value: keptFraction, from: words(`the combine’s way through ${before.field.name}`, which) },
            b: ownInput(before.field, total(ownSeeds), `${whole}/${before.field.id}/ownAboard`),
          };
        },
        MORE,
      )
    : figures.range(
        `${path}/ridesIn`,
        FORMULAS.seedsAboard,
        (which) => ({ L_now: { value: total(legs[which].arrivingSeeds), from: { path: `${whole}/aboard` } } }),
        MORE,
      );
  const stop = found.stops[step] ?? null;
  const takenOut = figures.range(
    `${path}/takenOut`,
    FORMULAS.takenOut,
    (which) => ({
      c: {
        value: stop === null ? 0 : problems[which].cleanOuts[stop]!.removedFraction,
        from:
          stop === null ? { words: 'no clean-out before it' } : { parameter: `machine.cleanOut.${CLEAN_OUTS[stop]!}` },
      },
      L: { value: total(legs[which].arrivingSeeds), from: { path: `${path}/ridesIn` } },
    }),
    { behind: stop === null ? [] : [`machine.cleanOut.${CLEAN_OUTS[stop]!}`] },
  );
  const falls = figures.range(`${path}/falls`, FORMULAS.fallsOnField, (which) => ({
    f: { value: field.by[which].landedFraction, from: words(`the combine’s way through ${field.name}`, which) },
    L: { value: total(legs[which].arrivingSeeds), from: { path: `${path}/ridesIn` } },
    R: { value: total(legs[which].removedSeeds), from: { path: `${path}/takenOut` } },
  }));
  const ownAboard =
    field.weed === null
      ? UNKNOWN_RANGE
      : figures.range(
          `${path}/ownAboard`,
          FORMULAS.ownAboard,
          (which) =>
            byWeed('b', field.species, field.by[which].ownSeeds, `the combine’s way through ${field.name}`, which),
          MORE,
        );
  return { ridesIn, takenOut, falls, ownAboard };
}

/** Of the whole order: what falls where it did not grow, and what that and the stops and ways cost. */
export function orderLines({
  figures,
  path,
  fields,
  found,
  walked,
  byMoney,
}: Lines): { readonly falls: Range; readonly costs: CostOfOrder | null } & Pick<MachinePlan, 'cost' | 'bound'> {
  const each = (symbol: string, of: (leg: Leg, which: Case) => Input) => (which: Case) =>
    Object.fromEntries(walked[which].legs.map((leg) => [`${symbol}_${fields[leg.field]!.id}`, of(leg, which)]));
  const falls = figures.range(
    `${path}/falls`,
    FORMULAS.fallsElsewhere,
    each('N', (leg, which) => ({
      value: fallsOn(leg, fields[leg.field]!, which),
      from: { path: `${path}/${fields[leg.field]!.id}/falls` },
    })),
    MORE,
  );
  if (!byMoney) return { falls, costs: null, cost: null, bound: null };
  const seed = figures.range(
    `${path}/costs/seed`,
    FORMULAS.seedCosts,
    each('M', (leg, which) => ({
      value: moneyOfSeed({ ...walked[which], legs: [leg] }, fields, which),
      from: words(`seed that rides into ${fields[leg.field]!.name}`, which),
    })),
    { behind: [...LODGED, 'seedbank.enteringFraction'], notes: [NOT_MEASURED] },
  );
  const { seedCost, cleanOutCost, travelCost } = walked.central;
  const cost = figures.exact(`${path}/cost`, FORMULAS.orderCost, {
    S: { value: seedCost, from: { words: 'all fields of the list, central case' } },
    K: { value: cleanOutCost, from: { words: 'minutes and an hour’s cost as typed; only stops of the list' } },
    D: { value: travelCost, from: { words: 'ways of the list, at the speed and an hour’s cost as typed' } },
  });
  const bound = figures.exact(`${path}/bound`, FORMULAS.orderBound, {
    B: { value: found.bound, from: { words: found.isExact ? 'proven: no order costs less' : 'the best bound found' } },
  });
  return { falls, costs: { seed, cleanOut: cleanOutCost, travel: travelCost }, cost, bound };
}

function ownInput(field: HarvestedField, seeds: number, path: string): Input {
  return field.weed === null
    ? { value: seeds, from: { words: `nobody looked at ${field.name}: not known, and counted as none` } }
    : { value: seeds, from: { path } };
}

function byWeed(
  symbol: string,
  species: readonly string[],
  seeds: readonly number[],
  from: string,
  which: Case,
): Record<string, Input> {
  return Object.fromEntries(
    species.map((one, kind) => [`${symbol}_${one}`, { value: seeds[kind]!, from: words(from, which) }]),
  );
}

function words(what: string, which: Case): { readonly words: string } {
  return { words: `${what}, ${which} case` };
}

function plainly(field: HarvestedField) {
  return {
    field: field.id,
    name: field.name,
    crop: field.crop,
    is: field.weed?.is ?? ('not looked' as const),
    weed: field.weed?.species ?? null,
    infestedFraction: field.weed?.infestedFraction ?? null,
    ripeFrom: field.ripeFrom,
  };
}

/** Worse in class. A field that nobody looked at may be either. */
function isWorse(last: HarvestedField, next: HarvestedField): boolean {
  return rankOf(last.weed?.is ?? 'not looked') > rankOf(next.weed?.is ?? 'not looked');
}

const total = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
