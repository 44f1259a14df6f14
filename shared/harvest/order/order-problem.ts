/**
 * The order of a machine's fields with its clean-out stops, as a problem in numbers. A load is what is lodged aboard, one number a
 * kind of seed; what a seed costs is told for the field that it falls in.
 */

export interface OrderField {
  /** Seeds left aboard by the field's own weeds, one a kind. */
  readonly ownSeeds: readonly number[];
  /** Share of what came in aboard that is still aboard when the machine leaves; the rest falls in the field. 0–1. */
  readonly keptFraction: number;
  /** Money a seed that falls here, one a kind. */
  readonly costPerSeed: readonly number[];
  /** A field of a later stage never comes before one of an earlier stage. */
  readonly stage?: number;
  /** The clean-out that is settled before this field, by its place in `cleanOuts`; without it every kind, or none, may be chosen. */
  readonly cleanOut?: number;
}

export interface CleanOut {
  /** Of everything aboard. 0–1. */
  readonly removedFraction: number;
  readonly cost: number;
  /** Never chosen, only where it is settled before a field: nobody knows what it costs. */
  readonly settledOnly?: boolean;
}

export interface OrderProblem {
  readonly fields: readonly OrderField[];
  readonly cleanOuts: readonly CleanOut[];
  /** Money from place to place: place 0 is where the machine stands, place k + 1 is field k. */
  readonly travel: readonly (readonly number[])[];
  readonly startSeeds: readonly number[];
  readonly returnsToStart: boolean;
}

/** A choice before a field: the place of a clean-out in `cleanOuts`, or none. */
export type Stop = number | null;

/** From one field to the next: what rode in, what was taken out before, what fell there, what rode on; one number a kind. */
export interface Leg {
  readonly field: number;
  readonly stop: Stop;
  readonly arrivingSeeds: readonly number[];
  readonly removedSeeds: readonly number[];
  readonly fallenSeeds: readonly number[];
  readonly leavingSeeds: readonly number[];
  readonly travelCost: number;
  readonly seedCost: number;
}

export interface Walked {
  readonly cost: number;
  readonly travelCost: number;
  readonly cleanOutCost: number;
  readonly seedCost: number;
  readonly legs: readonly Leg[];
}

/**
 * What an order with its stops costs, leg by leg. Before field j a clean-out takes its share c: L ← (1 − c) L; in j falls
 * (1 − a) L at v each; on rides a L + b.
 * @source methods-season §9
 * @cost O(fields)
 */
export function walkOrder(problem: OrderProblem, order: readonly number[], stops: readonly Stop[]): Walked {
  const legs: Leg[] = [];
  let [travelCost, cleanOutCost, seedCost] = [0, 0, 0];
  let [load, before]: [readonly number[], number] = [problem.startSeeds, -1];
  order.forEach((at, step) => {
    const stop = stops[step] ?? null;
    const field = problem.fields[at]!;
    const way = travelBetween(problem, before, at);
    const removed = load.map((seeds) => seeds * removedBy(problem, stop));
    const entering = load.map((seeds, kind) => seeds - removed[kind]!);
    const fallen = entering.map((seeds) => seeds * (1 - field.keptFraction));
    const cost = fallen.reduce((sum, seeds, kind) => sum + seeds * field.costPerSeed[kind]!, 0);
    const leaving = entering.map((seeds, kind) => seeds * field.keptFraction + field.ownSeeds[kind]!);
    legs.push({
      field: at,
      stop,
      arrivingSeeds: load,
      removedSeeds: removed,
      fallenSeeds: fallen,
      leavingSeeds: leaving,
      travelCost: way,
      seedCost: cost,
    });
    travelCost += way;
    cleanOutCost += costOf(problem, stop);
    seedCost += cost;
    [load, before] = [leaving, at];
  });
  if (order.length > 0) travelCost += wayHome(problem, before);
  return { cost: travelCost + cleanOutCost + seedCost, travelCost, cleanOutCost, seedCost, legs };
}

/** @param from −1: where the machine stands */
export function travelBetween(problem: OrderProblem, from: number, to: number): number {
  return problem.travel[from + 1]![to + 1]!;
}

export function wayHome(problem: OrderProblem, last: number): number {
  return problem.returnsToStart ? problem.travel[last + 1]![0]! : 0;
}

export function removedBy({ cleanOuts }: OrderProblem, stop: Stop): number {
  return stop === null ? 0 : cleanOuts[stop]!.removedFraction;
}

export function costOf({ cleanOuts }: OrderProblem, stop: Stop): number {
  return stop === null ? 0 : cleanOuts[stop]!.cost;
}

/** What may be done before a field, with or without anything aboard. */
export function stopsBefore(problem: OrderProblem, at: number, isLoaded: boolean): readonly Stop[] {
  const settled = problem.fields[at]!.cleanOut;
  if (settled !== undefined) return [settled];
  if (!isLoaded) return [null];
  return [null, ...[...problem.cleanOuts.keys()].filter((one) => !problem.cleanOuts[one]!.settledOnly)];
}

export function stageOf(problem: OrderProblem, at: number): number {
  return problem.fields[at]!.stage ?? 0;
}

/**
 * The least that a field costs straight after another: the way, and the cheapest of leaving in or cleaning out what the other one's own
 * weeds left aboard. More may be aboard, never less.
 */
export function leastArc(problem: OrderProblem, from: number, to: number): number {
  const { keptFraction, costPerSeed } = problem.fields[to]!;
  const own = from < 0 ? problem.startSeeds : problem.fields[from]!.ownSeeds;
  const dirty = own.reduce((sum, seeds, kind) => sum + seeds * (1 - keptFraction) * costPerSeed[kind]!, 0);
  const stops = stopsBefore(problem, to, true);
  const least = Math.min(...stops.map((stop) => costOf(problem, stop) + (1 - removedBy(problem, stop)) * dirty));
  return travelBetween(problem, from, to) + least;
}

/** @throws where shapes or shares make no problem: a fault of ours */
export function assertOrderProblem(problem: OrderProblem): void {
  const refuse = (what: string): never => {
    throw new Error(`OrderProblem: ${what}`);
  };
  const { fields, travel, startSeeds, cleanOuts } = problem;
  const isShare = (value: number) => value >= 0 && value <= 1;
  const isAmount = (value: number) => value >= 0 && value < Infinity;
  const kinds = startSeeds.length;
  if (!startSeeds.every(isAmount)) refuse('a load below none');
  fields.forEach(({ ownSeeds, keptFraction, costPerSeed, cleanOut }, at) => {
    if (ownSeeds.length !== kinds || costPerSeed.length !== kinds) refuse(`field ${at} has not ${kinds} kinds of seed`);
    if (!ownSeeds.every(isAmount) || !costPerSeed.every(isAmount)) refuse(`field ${at} has a number below none`);
    if (!isShare(keptFraction)) refuse(`field ${at} keeps ${keptFraction}`);
    if (cleanOut !== undefined && !cleanOuts[cleanOut]) refuse(`field ${at} has no clean-out ${cleanOut}`);
  });
  for (const one of cleanOuts)
    if (!isShare(one.removedFraction) || !isAmount(one.cost)) refuse('a clean-out that is none');
  if (
    travel.length !== fields.length + 1 ||
    !travel.every((row) => row.length === travel.length && row.every(isAmount))
  )
    refuse('travel is not from every place to every place');
}
