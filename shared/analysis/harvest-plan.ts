/**
 * In which order to harvest and where to clean the combine out: machine by machine, from what the fields' own weeds leave aboard and what
 * a seed costs where it falls. Where money can be told the cheapest order is found; else the cleanest field goes first and the worst last.
 */
import { parameter, resolveParameter, resolveParameters } from '../agronomy/parameter.ts';
import { ARRIVAL_PARAMETERS, arrivalSeeds } from '../harvest/arrival-load.ts';
import { USUAL_HEADER_M } from '../harvest/machine-parameters.ts';
import { type HarvestOrdered, orderHarvest } from '../harvest/order/order-harvest.ts';
import { type OrderProblem, type Walked, walkOrder } from '../harvest/order/order-problem.ts';
import type { Farm } from '../model/farm.ts';
import { arrivalOf, fieldsCutBy, harvestOf, machineOf } from '../model/lookups.ts';
import { type Case, CASES, foldCases, type Range } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import { type HarvestClass, rankOf } from './harvest-class.ts';
import { type HarvestedField, harvestedField } from './harvested-field.ts';
import type { ResultOf } from './step.ts';
import { distancesBetween, moneyOfWays, type Way } from './harvest-ways.ts';
import {
  byCleanliness,
  CLEAN_OUTS,
  type CleanOutKind,
  moneyOfSeed,
  type OrderBy,
  orderProblem,
  settledStops,
  whyNoMoney,
} from './harvest-problem.ts';
import { type StopWorth, stopWorths } from './stop-worth.ts';

export interface PlannedField {
  readonly field: string;
  readonly name: string;
  readonly crop: string;
  readonly is: HarvestClass;
  /** The weed that makes it so, and on how much of the ground it is above its threshold. */
  readonly weed: string | null;
  readonly infestedFraction: number | null;
  readonly ripeFrom: string | null;
  /** From the place before. */
  readonly way: Way | null;
  /** All weeds: aboard on arrival, taken out before, fallen on the field, left aboard by its own weeds. */
  readonly ridesIn: Range;
  readonly takenOut: Range;
  readonly falls: Range;
  readonly ownAboard: Range;
  readonly cleanOut: CleanOutKind | null;
  /** The clean-out is the person's word, not the plan's. */
  readonly cleanOutSaid: boolean;
  /** It goes from a worse field into a cleaner one. */
  readonly fromWorse: boolean;
  /** What a clean-out before this field is worth; empty before the first where nothing is aboard. */
  readonly stops: readonly StopWorth[];
}

export interface CostOfOrder {
  /** Present value of the yield that seed from other fields costs. */
  readonly seed: Range;
  readonly cleanOut: number;
  readonly travel: number;
}

export interface MachinePlan {
  readonly machine: string;
  readonly name: string;
  /** What is still to be cut, or, once all is cut, the whole season again. */
  readonly looks: 'ahead' | 'back';
  /** In the order in which they were cut. */
  readonly cut: readonly { readonly field: string; readonly name: string }[];
  /** Fields through which no way of the machine is known. */
  readonly leftOut: readonly { readonly field: string; readonly name: string }[];
  /** All weeds, as the machine stands now. */
  readonly aboard: Range;
  /** It comes from elsewhere with seed aboard, and cut nothing here yet. */
  readonly arrivesDirty: boolean;
  readonly by: OrderBy;
  /** Why money could not be told; null where it was. By class then decides alone. */
  readonly whyNotMoney: string | null;
  readonly isExact: boolean;
  /** In money, each seed at its mean: what the order costs, the least that any of its kind can cost, and cleanest first beside it. */
  readonly cost: number | null;
  readonly bound: number | null;
  readonly costByClass: number | null;
  readonly fields: readonly PlannedField[];
  /** Seed of one field that falls on another, and its cost: in this order and as it was cut. */
  readonly falls: Range;
  readonly costs: CostOfOrder | null;
  readonly asCut: {
    readonly fields: readonly string[];
    readonly falls: Range;
    readonly costs: CostOfOrder | null;
  } | null;
}

export interface HarvestPlan {
  readonly season: number;
  readonly currency: string;
  readonly costPerHour: number | null;
  /** Typed, else null; what was reported stands in `reportedMin`. */
  readonly cleanOutMin: Readonly<Record<CleanOutKind, number | null>>;
  readonly reportedMin: Readonly<Record<CleanOutKind, { readonly low: number; readonly high: number }>>;
  readonly removedFraction: Readonly<Record<CleanOutKind, { readonly low: number; readonly high: number }>>;
  readonly roadSpeedMS: number | null;
  readonly machines: readonly MachinePlan[];
}

export interface HarvestPlanAsk {
  readonly season: number;
  readonly by: OrderBy;
}

/** @param figures takes the working of each shown number, under `harvest-plan/` */
export function harvestPlan(farm: Farm, ask: HarvestPlanAsk, result: ResultOf, figures: FigureBook): HarvestPlan {
  const { season } = ask;
  const ours = farm.fields.filter((one) => one.ours);
  const machines = [...new Set(ours.map((one) => harvestOf(farm, one.id, season).machine))];
  const { costPerHour = null, roadSpeedMS = null, limitedMin = null, thoroughMin = null } = farm.planning.harvest ?? {};
  const ends = (id: string, scale = 1) => ({ low: parameter(id).low * scale, high: parameter(id).high * scale });
  return {
    season,
    currency: farm.currency,
    costPerHour,
    cleanOutMin: { limited: limitedMin, thorough: thoroughMin },
    reportedMin: {
      limited: ends('machine.cleanOut.limitedMinutes'),
      thorough: ends('machine.cleanOut.thoroughHours', 60),
    },
    removedFraction: { limited: ends('machine.cleanOut.limited'), thorough: ends('machine.cleanOut.thorough') },
    roadSpeedMS,
    machines: machines.map((machine) => machinePlan(farm, machine, ask, result, figures)),
  };
}

function machinePlan(
  farm: Farm,
  machine: string,
  ask: HarvestPlanAsk,
  result: ResultOf,
  figures: FigureBook,
): MachinePlan {
  const { season } = ask;
  const ids = fieldsCutBy(farm, machine, season);
  const known = ids.flatMap((id) => harvestedField(farm, id, season, result) ?? []);
  const nameOf = (field: string) => farm.fields.find((one) => one.id === field)!.name;
  const looks = known.length > 0 && known.every((one) => one.isCut) ? 'back' : 'ahead';
  const cut = inOrderCut(known.filter((one) => one.isCut));
  const fields = looks === 'back' ? known : known.filter((one) => !one.isCut);
  const before = looks === 'back' ? [] : cut;
  const arrival = arrivalOf(farm, machine, season).load;
  const headerWidthM = machineOf(farm, machine)?.headerWidthM ?? USUAL_HEADER_M;
  const start = Object.fromEntries(
    CASES.map((which) => {
      const p = resolveParameters(ARRIVAL_PARAMETERS, which, farm.ownValues);
      const brought = arrivalSeeds(arrival, known[0]?.species ?? [], { headerWidthM, which }, p);
      return [which, aboardAfter(before, brought, which, farm)];
    }),
  ) as Record<Case, readonly number[]>;
  const arrivesDirty = arrival !== 'clean' && before.length === 0;
  const whyNotMoney = whyNoMoney(fields);
  const byMoney = whyNotMoney === null;
  const by = byMoney ? ask.by : 'class';
  const ways = distancesBetween(farm, before.at(-1) ?? null, fields);
  const travel = moneyOfWays(farm, ways);
  const problemsBy = (order: OrderBy) =>
    Object.fromEntries(
      CASES.map((which) => [
        which,
        orderProblem(farm, { fields, looks, which, byMoney, by: order, travel, startSeeds: start[which] }),
      ]),
    ) as Record<Case, OrderProblem>;
  const problems = problemsBy(by);
  const found = byMoney ? orderHarvest(problems.central) : byClass(problems.central, fields);
  const costByClass = by === 'class' ? found.cost : orderHarvest(problemsBy('class').central).cost;
  const walked = Object.fromEntries(
    CASES.map((which) => [which, walkOrder(problems[which], found.order, found.stops)]),
  ) as Record<Case, Walked>;
  const asCut = looks === 'back' ? asItWasCut(problems, fields, cut, byMoney) : null;
  return {
    machine,
    name: machineOf(farm, machine)?.name ?? (machines(farm) > 1 ? machine : 'the combine'),
    looks,
    cut: cut.map(({ id, name }) => ({ field: id, name })),
    leftOut: ids.filter((id) => !known.some((one) => one.id === id)).map((field) => ({ field, name: nameOf(field) })),
    aboard: foldCases(sumOver((which) => total(start[which]))),
    arrivesDirty,
    by,
    whyNotMoney,
    isExact: byMoney && found.isExact,
    cost: byMoney ? found.cost : null,
    bound: byMoney ? found.bound : null,
    costByClass: byMoney ? costByClass : null,
    fields: found.order.map((at, step) => {
      const last = step === 0 ? (before.at(-1) ?? null) : fields[found.order[step - 1]!]!;
      const stop = found.stops[step] ?? null;
      const field = fields[at]!;
      return {
        ...plainly(field),
        way: ways[step === 0 ? 0 : found.order[step - 1]! + 1]![at + 1]!,
        ridesIn: overLegs(walked, (one) => total(one.legs[step]!.arrivingSeeds)),
        takenOut: overLegs(walked, (one) => total(one.legs[step]!.removedSeeds)),
        falls: overLegs(walked, (one, which) => fallsOn(one, step, field, which)),
        ownAboard: foldCases(sumOver((which) => total(field.by[which].ownSeeds))),
        cleanOut: stop === null ? null : CLEAN_OUTS[stop]!,
        cleanOutSaid: looks === 'ahead' && field.cleanOutBefore !== null,
        fromWorse: last !== null && isWorse(last, field),
        stops: stopWorths({
          problems,
          order: found.order,
          stops: found.stops,
          step,
          fields,
          byMoney,
          farm,
          figures,
          path: `harvest-plan/${machine}/${field.id}`,
        }),
      };
    }),
    falls: fallsInAll(walked, fields),
    costs: byMoney ? costsOf(walked, fields) : null,
    asCut,
  };
}

function machines(farm: Farm): number {
  return farm.machines.filter((one) => one.kind === 'combine').length;
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

/** By the days known of all, else as they were ticked off; those without either come first. */
function inOrderCut(cut: readonly HarvestedField[]): HarvestedField[] {
  const dated = cut.every((one) => one.startS !== null);
  const place = (one: HarvestedField) => (dated ? one.startS! : (one.cutAs ?? 0));
  return [...cut].sort((a, b) => place(a) - place(b) || (a.startS ?? 0) - (b.startS ?? 0));
}

function aboardAfter(
  cut: readonly HarvestedField[],
  brought: readonly number[],
  which: Case,
  farm: Farm,
): readonly number[] {
  return cut.reduce((load, one) => {
    const stays = 1 - (one.cleanOutBefore === null ? 0 : removedIn(farm, one.cleanOutBefore, which));
    const { keptFraction, ownSeeds } = one.by[which];
    return ownSeeds.map((own, kind) => load[kind]! * stays * keptFraction + own);
  }, brought);
}

function removedIn(farm: Farm, kind: CleanOutKind, which: Case): number {
  const id = `machine.cleanOut.${kind}`;
  return resolveParameter(
    id,
    which,
    farm.ownValues.find((one) => one.parameter === id),
  );
}

/** Cleanest first; clean-outs only where they are settled. */
function byClass(problem: OrderProblem, fields: readonly HarvestedField[]): HarvestOrdered {
  const order = byCleanliness(problem, fields);
  return { order, stops: settledStops(problem, order), cost: 0, bound: 0, isExact: false };
}

function asItWasCut(
  problems: Readonly<Record<Case, OrderProblem>>,
  fields: readonly HarvestedField[],
  cut: readonly HarvestedField[],
  byMoney: boolean,
): MachinePlan['asCut'] {
  if (cut.some((one) => one.startS === null)) return null;
  const order = cut.map((one) => fields.indexOf(one));
  const stops = cut.map((one) => (one.cleanOutBefore === null ? null : CLEAN_OUTS.indexOf(one.cleanOutBefore)));
  const walked = Object.fromEntries(CASES.map((which) => [which, walkOrder(problems[which], order, stops)])) as Record<
    Case,
    Walked
  >;
  return {
    fields: cut.map((one) => one.id),
    falls: fallsInAll(walked, fields),
    costs: byMoney ? costsOf(walked, fields) : null,
  };
}

function costsOf(walked: Readonly<Record<Case, Walked>>, fields: readonly HarvestedField[]): CostOfOrder {
  return {
    seed: overLegs(walked, (one, which) => moneyOfSeed(one, fields, which)),
    cleanOut: walked.central.cleanOutCost,
    travel: walked.central.travelCost,
  };
}

function fallsInAll(walked: Readonly<Record<Case, Walked>>, fields: readonly HarvestedField[]): Range {
  return overLegs(walked, (one, which) =>
    one.legs.reduce((sum, leg, step) => sum + fallsOn(one, step, fields[leg.field]!, which), 0),
  );
}

/** What came in aboard and fell on the field: neither destroyed nor beside it. */
function fallsOn(walked: Walked, step: number, field: HarvestedField, which: Case): number {
  const { arrivingSeeds, removedSeeds } = walked.legs[step]!;
  return (total(arrivingSeeds) - total(removedSeeds)) * field.by[which].landedFraction;
}

function overLegs(walked: Readonly<Record<Case, Walked>>, of: (one: Walked, which: Case) => number): Range {
  return foldCases(sumOver((which) => of(walked[which], which)));
}

function sumOver(of: (which: Case) => number): Record<Case, number> {
  return Object.fromEntries(CASES.map((which) => [which, of(which)])) as Record<Case, number>;
}

const total = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
