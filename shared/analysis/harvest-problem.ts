/** The farm's harvest as a problem in numbers (harvest/order), in one case of biology. */
import { resolveParameter } from '../agronomy/parameter.ts';
import {
  type CleanOut,
  type OrderProblem,
  stageOf,
  type Stop,
  type Walked,
  walkOrder,
} from '../harvest/order/order-problem.ts';
import { cleanestFirst } from '../harvest/order/order-search.ts';
import type { Farm } from '../model/farm.ts';
import type { Case } from '../model/range.ts';
import { CASES } from '../model/range.ts';
import { HARVEST_CLASSES, rankOf } from './harvest-class.ts';
import type { HarvestedField } from './harvested-field.ts';
import { worthOf, worthPerSeed } from './steps/seed-worth.ts';

export type CleanOutKind = 'limited' | 'thorough';
/** Cleanest first and worst last, or what costs least whatever the class. */
export type OrderBy = 'class' | 'cost';
/** In the order in which a problem counts them. */
export const CLEAN_OUTS: readonly CleanOutKind[] = ['limited', 'thorough'];

/** Money of one clean-out; null until minutes and an hour's cost are typed. */
export function costOfCleanOut(farm: Farm, kind: CleanOutKind): number | null {
  const { costPerHour, limitedMin, thoroughMin } = farm.planning.harvest ?? {};
  const minutes = kind === 'limited' ? limitedMin : thoroughMin;
  return costPerHour === undefined || minutes === undefined ? null : (minutes / 60) * costPerHour;
}

/** What keeps the cost of seed from being told, in a sentence; null where it can be told of every field that was looked at. */
export function whyNoMoney(fields: readonly HarvestedField[]): string | null {
  const looked = fields.filter((one) => one.weed !== null);
  if (looked.length === 0) return 'Nobody looked at any of these fields.';
  const unpriced = looked.filter((one) => CASES.some((which) => (one.by[which].worth?.money ?? null) === null));
  if (unpriced.length === 0) return null;
  const names = unpriced.map((one) => one.name);
  return `What a seed costs cannot be told for ${names.join(', ')}: a price of a crop to come is missing.`;
}

export interface ProblemOf {
  readonly fields: readonly HarvestedField[];
  readonly looks: 'ahead' | 'back';
  readonly which: Case;
  readonly byMoney: boolean;
  /** 'class': a field of a cleaner class always comes first. */
  readonly by: OrderBy;
  readonly travel: readonly (readonly number[])[];
  readonly startSeeds: readonly number[];
}

export function orderProblem(farm: Farm, of: ProblemOf): OrderProblem {
  const { fields, looks, which, byMoney, by, travel, startSeeds } = of;
  const stages = stagesOf(fields, by);
  const unpriced: OrderProblem = {
    fields: fields.map((field, at) => {
      const { ownSeeds, keptFraction } = field.by[which];
      const settled = looks === 'ahead' && field.cleanOutBefore !== null;
      return {
        ownSeeds,
        keptFraction,
        costPerSeed: ownSeeds.map(() => 0),
        stage: stages[at]!,
        ...(settled ? { cleanOut: CLEAN_OUTS.indexOf(field.cleanOutBefore!) } : {}),
      };
    }),
    cleanOuts: CLEAN_OUTS.map((kind) => cleanOutOf(farm, kind, which)),
    travel,
    startSeeds,
    returnsToStart: false,
  };
  return byMoney ? priced(unpriced, fields, which) : unpriced;
}

/** Each seed at the mean of as many as ride in when the cleanest field goes first and the worst last. */
function priced(problem: OrderProblem, fields: readonly HarvestedField[], which: Case): OrderProblem {
  const order = byCleanliness(problem, fields);
  const { legs } = walkOrder(problem, order, settledStops(problem, order));
  const costs = fields.map((field, at) => {
    const { worth, keptFraction } = field.by[which];
    const { arrivingSeeds, removedSeeds } = legs.find((leg) => leg.field === at)!;
    return arrivingSeeds.map((seeds, kind) => {
      if (!worth || keptFraction >= 1) return 0;
      return (worthPerSeed(worth, kind, seeds - removedSeeds[kind]!) ?? 0) / (1 - keptFraction);
    });
  });
  return { ...problem, fields: problem.fields.map((one, at) => ({ ...one, costPerSeed: costs[at]! })) };
}

/** By stage, then class, then what a field's own weeds leave aboard. */
export function byCleanliness(problem: OrderProblem, fields: readonly HarvestedField[]): number[] {
  const rank = (at: number) => rankOf(fields[at]!.weed?.is ?? 'not looked');
  const byOwn = cleanestFirst(problem);
  return [...byOwn].sort(
    (a, b) => stageOf(problem, a) - stageOf(problem, b) || rank(a) - rank(b) || byOwn.indexOf(a) - byOwn.indexOf(b),
  );
}

export function settledStops(problem: OrderProblem, order: readonly number[]): Stop[] {
  return order.map((at) => problem.fields[at]!.cleanOut ?? null);
}

/** What the seed that rides into the fields of a walked order costs them, from one of its steps on: present value of the yield lost. */
export function moneyOfSeed(walked: Walked, fields: readonly HarvestedField[], which: Case, from = 0): number {
  return walked.legs.slice(from).reduce((sum, { field, arrivingSeeds, removedSeeds }) => {
    const { worth } = fields[field]!.by[which];
    if (!worth) return sum;
    const money = arrivingSeeds.map((seeds, kind) => worthOf(worth, kind, seeds - removedSeeds[kind]!) ?? 0);
    return sum + money.reduce((a, b) => a + b, 0);
  }, 0);
}

function cleanOutOf(farm: Farm, kind: CleanOutKind, which: Case): CleanOut {
  const id = `machine.cleanOut.${kind}`;
  const own = farm.ownValues.find((one) => one.parameter === id);
  const cost = costOfCleanOut(farm, kind);
  const removedFraction = resolveParameter(id, which, own);
  return cost === null ? { removedFraction, cost: 0, settledOnly: true } : { removedFraction, cost };
}

/**
 * Ripe earlier comes earlier; without a day a field is ripe now. By class, a cleaner field then comes before a worse one. By cost, a field
 * that nobody looked at still keeps its place between clean and infested: neither its own seed is known nor what it would suffer.
 */
export function stagesOf(fields: readonly HarvestedField[], by: OrderBy): number[] {
  const days = [...new Set(fields.map((one) => one.ripeFrom ?? ''))].sort();
  return fields.map((field) => {
    const day = field.ripeFrom ?? '';
    const rank = rankOf(field.weed?.is ?? 'not looked');
    const isAllKnown = fields.every((one) => (one.ripeFrom ?? '') !== day || one.weed !== null);
    const within = by === 'class' ? rank : isAllKnown ? 0 : 1 + Math.sign(rank - rankOf('not looked'));
    return HARVEST_CLASSES.length * days.indexOf(day) + within;
  });
}
