/** A way so far: what it cost, and what is aboard. The label program of methods-season §9. */
import { costOf, type OrderProblem, removedBy, type Stop, stopsBefore, travelBetween } from './order-problem.ts';

export interface Label {
  readonly cost: number;
  readonly load: readonly number[];
  readonly field: number;
  readonly stop: Stop;
  readonly before: Label | null;
}

/** Every way to go on to a field from a label; null: from the start. */
export function goOn(problem: OrderProblem, label: Label | null, to: number, into: Label[]): void {
  const load = label?.load ?? problem.startSeeds;
  const { keptFraction, ownSeeds, costPerSeed } = problem.fields[to]!;
  const base = (label?.cost ?? 0) + travelBetween(problem, label?.field ?? -1, to);
  const isLoaded = load.some((seeds) => seeds > 0);
  for (const stop of stopsBefore(problem, to, isLoaded)) {
    const stays = 1 - removedBy(problem, stop);
    let cost = base + costOf(problem, stop);
    const next: number[] = [];
    for (let kind = 0; kind < load.length; kind++) {
      const seeds = load[kind]! * stays;
      cost += seeds * (1 - keptFraction) * costPerSeed[kind]!;
      next.push(seeds * keptFraction + ownSeeds[kind]!);
    }
    into.push({ cost, load: next, field: to, stop, before: label });
  }
}

/**
 * The labels of one place that can still lead to the best end. A dearer label is dropped where a cheaper one, driven on in the same
 * way, could not cost more: each seed more that it has aboard falls once at most, at the dearest field to come. This is exact.
 * @param worstPerSeed of each kind, the most that one more seed aboard can still cost
 */
export function undominated(labels: Label[], worstPerSeed: readonly number[]): Label[] {
  labels.sort((a, b) => a.cost - b.cost || sum(a.load) - sum(b.load));
  const kept: Label[] = [];
  for (const label of labels) if (!kept.some((one) => isNoWorse(one, label, worstPerSeed))) kept.push(label);
  return kept;
}

function isNoWorse(one: Label, than: Label, worstPerSeed: readonly number[]): boolean {
  let cost = one.cost;
  for (let kind = 0; kind < worstPerSeed.length; kind++) {
    const more = one.load[kind]! - than.load[kind]!;
    if (more > 0) cost += more * worstPerSeed[kind]!;
  }
  return cost <= than.cost;
}

/** Of each kind, what a seed costs at the dearest of these fields. */
export function worstPerSeed(problem: OrderProblem, fields: Iterable<number>): number[] {
  const worst = problem.startSeeds.map(() => 0);
  for (const at of fields)
    problem.fields[at]!.costPerSeed.forEach((cost, kind) => (worst[kind] = Math.max(worst[kind]!, cost)));
  return worst;
}

/** The order and its stops that led to a label. */
export function wayTo(label: Label): { order: number[]; stops: Stop[] } {
  const order: number[] = [];
  const stops: Stop[] = [];
  for (let at: Label | null = label; at; at = at.before) {
    order.unshift(at.field);
    stops.unshift(at.stop);
  }
  return { order, stops };
}

const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
