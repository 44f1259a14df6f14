/**
 * In which order to harvest and where to clean the combine out: machine by machine, from what the fields' own weeds leave aboard and what
 * a seed costs where it falls. Where money can be told the cheapest order is found; else the cleanest field goes first and the worst last.
 */
import { parameter, resolveParameter, resolveParameters } from '../agronomy/parameter.ts';
import { ARRIVAL_PARAMETERS, arrivalSeeds } from '../harvest/arrival-load.ts';
import { USUAL_HEADER_M } from '../harvest/machine-parameters.ts';
import { type HarvestOrdered, orderHarvest } from '../harvest/order/order-harvest.ts';
import { type OrderProblem, walkOrder } from '../harvest/order/order-problem.ts';
import type { Farm } from '../model/farm.ts';
import { arrivalOf, fieldsCutBy, harvestOf, machineOf } from '../model/lookups.ts';
import { type Case, eachCase, foldCases, type Range } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import type { HarvestClass } from './harvest-class.ts';
import { aboardNow, fallsOn, fieldLines, type Lines, orderLines } from './harvest-lines.ts';
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
import type { StopWorth } from './stop-worth.ts';

export interface PlannedField {
  /** Where its numbers stand in the working: `${path}/ridesIn`. */
  readonly path: string;
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
  /** Fields before it that nobody looked at, of whose seed a hundredth or more may still ride: that is in none of its numbers. */
  readonly afterUnlooked: readonly NamedField[];
  /** All weeds: aboard on arrival, taken out before, fallen on the field, left aboard by its own weeds (unknown where nobody looked). */
  readonly ridesIn: Range;
  readonly takenOut: Range;
  readonly falls: Range;
  readonly ownAboard: Range;
  readonly cleanOut: CleanOutKind | null;
  /** The clean-out is the person's word, not the plan's. */
  readonly cleanOutSaid: boolean;
  /** It goes from a worse field into a cleaner one; from one that nobody looked at into one that is clean or nearly so. */
  readonly fromWorse: boolean;
  /** Nobody looked at the field straight before it. */
  readonly isAfterUnlooked: boolean;
  /** What a clean-out before this field is worth; empty before the first where nothing is aboard. */
  readonly stops: readonly StopWorth[];
}

export interface NamedField {
  readonly field: string;
  readonly name: string;
}

export interface CostOfOrder {
  /** Present value of the yield that seed from other fields costs. */
  readonly seed: Range;
  readonly cleanOut: number;
  readonly travel: number;
}

export interface MachinePlan {
  /** Where its numbers stand in the working: `${path}/falls`. */
  readonly path: string;
  readonly machine: string;
  readonly name: string;
  /** What is still to be cut, or, once all is cut, the whole season again. */
  readonly looks: 'ahead' | 'back';
  /** In the order in which they were cut. */
  readonly cut: readonly NamedField[];
  /** Fields through which no way of the machine is known. */
  readonly leftOut: readonly NamedField[];
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

/**
 * @param figures takes the working of each shown number, under `harvest/`
 * @param order solves a problem; one that remembers what it solved saves the fields of the machines that nothing was said of
 */
export function harvestPlan(
  farm: Farm,
  ask: HarvestPlanAsk,
  result: ResultOf,
  figures: FigureBook,
  order: (problem: OrderProblem) => HarvestOrdered = orderHarvest,
): HarvestPlan {
  const { season } = ask;
  const ours = farm.fields.filter((one) => one.ours);
  // All are asked for before any order is sought: what is not known yet is waited for once.
  const fields = new Map(ours.map(({ id }) => [id, harvestedField(farm, id, season, result)]));
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
    machines: machines.map((machine) => {
      const ids = fieldsCutBy(farm, machine, season);
      return machinePlan(farm, machine, ask, { ids, known: ids.flatMap((id) => fields.get(id) ?? []), figures, order });
    }),
  };
}

interface OfMachine {
  readonly ids: readonly string[];
  /** Those through which a way of the machine is known. */
  readonly known: readonly HarvestedField[];
  readonly figures: FigureBook;
  readonly order: (problem: OrderProblem) => HarvestOrdered;
}

function machinePlan(
  farm: Farm,
  machine: string,
  ask: HarvestPlanAsk,
  { ids, known, figures, order }: OfMachine,
): MachinePlan {
  const { season } = ask;
  const nameOf = (field: string) => farm.fields.find((one) => one.id === field)!.name;
  const looks = known.length > 0 && known.every((one) => one.isCut) ? 'back' : 'ahead';
  const cut = inOrderCut(known.filter((one) => one.isCut));
  const fields = looks === 'back' ? known : known.filter((one) => !one.isCut);
  const before = looks === 'back' ? [] : cut;
  const arrival = arrivalOf(farm, machine, season).load;
  const start = startSeeds(farm, machine, season, known, before);
  const whyNotMoney = whyNoMoney(fields);
  const byMoney = whyNotMoney === null;
  const by = byMoney ? ask.by : 'class';
  const ways = distancesBetween(farm, before.at(-1) ?? null, fields);
  const travel = moneyOfWays(farm, ways);
  const problemsBy = (of: OrderBy) =>
    eachCase((which) =>
      orderProblem(farm, { fields, looks, which, byMoney, by: of, travel, startSeeds: start[which] }),
    );
  const problems = problemsBy(by);
  const found = byMoney ? order(problems.central) : byClass(problems.central, fields);
  const costByClass = by === 'class' ? found.cost : order(problemsBy('class').central).cost;
  const walked = eachCase((which) => walkOrder(problems[which], found.order, found.stops));
  const lines: Lines = {
    farm,
    path: `harvest/${machine}`,
    fields,
    before,
    looks,
    byMoney,
    ways,
    problems,
    found,
    walked,
    figures,
  };
  const aboard = aboardNow(lines, start);
  const planned = fieldLines(lines);
  const told = orderLines(lines);
  return {
    path: lines.path,
    machine,
    name: machineOf(farm, machine)?.name ?? (machines(farm) > 1 ? machine : 'the combine'),
    looks,
    cut: cut.map(({ id, name }) => ({ field: id, name })),
    leftOut: ids.filter((id) => !known.some((one) => one.id === id)).map((field) => ({ field, name: nameOf(field) })),
    aboard,
    arrivesDirty: arrival !== 'clean' && before.length === 0,
    by,
    whyNotMoney,
    isExact: byMoney && found.isExact,
    cost: told.cost,
    bound: told.bound,
    costByClass: byMoney ? costByClass : null,
    fields: planned,
    falls: told.falls,
    costs: told.costs,
    asCut: looks === 'back' ? asItWasCut(problems, fields, cut, byMoney) : null,
  };
}

function machines(farm: Farm): number {
  return farm.machines.filter((one) => one.kind === 'combine').length;
}

/** Aboard as the machine stands: what it brought, and what the fields cut so far left, one number a kind. */
function startSeeds(
  farm: Farm,
  machine: string,
  season: number,
  known: readonly HarvestedField[],
  before: readonly HarvestedField[],
): Record<Case, readonly number[]> {
  const { load } = arrivalOf(farm, machine, season);
  const headerWidthM = machineOf(farm, machine)?.headerWidthM ?? USUAL_HEADER_M;
  return eachCase((which) => {
    const p = resolveParameters(ARRIVAL_PARAMETERS, which, farm.ownValues);
    const brought = arrivalSeeds(load, known[0]?.species ?? [], { headerWidthM, which }, p);
    return aboardAfter(before, brought, which, farm);
  });
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
  const walked = eachCase((which) => walkOrder(problems[which], order, stops));
  return {
    fields: cut.map((one) => one.id),
    falls: foldCases(
      eachCase((which) => walked[which].legs.reduce((sum, leg) => sum + fallsOn(leg, fields[leg.field]!, which), 0)),
    ),
    costs: byMoney
      ? {
          seed: foldCases(eachCase((which) => moneyOfSeed(walked[which], fields, which))),
          cleanOut: walked.central.cleanOutCost,
          travel: walked.central.travelCost,
        }
      : null,
  };
}
