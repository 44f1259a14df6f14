/** A problem in flat arrays, for what is asked millions of times; kinds of seed that are nowhere aboard are left away. */
import { costOf, leastArc, type OrderProblem, removedBy, stageOf, stopsBefore, wayHome } from './order-problem.ts';

export interface FlatProblem {
  readonly fields: number;
  readonly kinds: number;
  /** Which of the problem's kinds they are. */
  readonly kindsKept: readonly number[];
  /** Of each field, one number a kind: left aboard by its own weeds, and the cost of a seed that rides in and is not taken out. */
  readonly own: Float64Array;
  readonly falling: Float64Array;
  readonly kept: Float64Array;
  readonly start: Float64Array;
  /** Before each field: what may be done there, as the share that stays aboard and its cost. */
  readonly options: readonly { readonly stays: Float64Array; readonly cost: Float64Array }[];
  /** From place to place, as in the problem; place 0 is where the machine stands. */
  readonly travel: Float64Array;
  /** From place to field: the least that this step can cost (`leastArc`). */
  readonly arcs: Float64Array;
  readonly home: Float64Array;
  readonly stage: Int32Array;
  /** The most that one more seed aboard can cost; of each field, the most that can be aboard when the machine leaves it. */
  readonly worst: Float64Array;
  readonly most: Float64Array;
  /** Of each kind, the most that can be aboard anywhere. */
  readonly mostAboard: Float64Array;
}

export function flatProblem(problem: OrderProblem): FlatProblem {
  const all = problem.fields;
  const kinds = problem.startSeeds.flatMap((seeds, kind) =>
    seeds > 0 || all.some((one) => one.ownSeeds[kind]! > 0) ? [kind] : [],
  );
  const spread = (of: (field: (typeof all)[number], kind: number) => number) =>
    Float64Array.from(all.flatMap((field) => kinds.map((kind) => of(field, kind))));
  const places = [-1, ...all.keys()];
  const flat = {
    fields: all.length,
    kinds: kinds.length,
    kindsKept: kinds,
    own: spread((field, kind) => field.ownSeeds[kind]!),
    falling: spread((field, kind) => (1 - field.keptFraction) * field.costPerSeed[kind]!),
    kept: Float64Array.from(all, (one) => one.keptFraction),
    start: Float64Array.from(kinds, (kind) => problem.startSeeds[kind]!),
    options: all.map((_, at) => {
      const stops = stopsBefore(problem, at, true);
      return {
        stays: Float64Array.from(stops, (stop) => 1 - removedBy(problem, stop)),
        cost: Float64Array.from(stops, (stop) => costOf(problem, stop)),
      };
    }),
    travel: Float64Array.from(problem.travel.flat()),
    arcs: Float64Array.from(places.flatMap((from) => all.map((_, to) => leastArc(problem, from, to)))),
    home: Float64Array.from(all, (_, at) => wayHome(problem, at)),
    stage: Int32Array.from(all, (_, at) => stageOf(problem, at)),
    worst: Float64Array.from(kinds, (kind) => Math.max(0, ...all.map((one) => one.costPerSeed[kind]!))),
  };
  return { ...flat, ...mostAboard(flat) };
}

/** A field's load comes from one of its own stage or an earlier one, and a field is cut once. */
function mostAboard(
  flat: Pick<FlatProblem, 'fields' | 'kinds' | 'own' | 'kept' | 'start' | 'stage'>,
): Pick<FlatProblem, 'most' | 'mostAboard'> {
  const { fields, kinds, own, kept, start, stage } = flat;
  const arriving = Float64Array.from(start);
  const most = new Float64Array(fields * kinds);
  const order = [...stage.keys()].sort((a, b) => stage[a]! - stage[b]!);
  for (let from = 0; from < fields;) {
    const end = order.findIndex((at, step) => step > from && stage[at] !== stage[order[from]!]);
    const mine = order.slice(from, end < 0 ? fields : end);
    for (let round = 0; round < mine.length; round++) {
      const before = Float64Array.from(arriving);
      for (const at of mine)
        for (let kind = 0; kind < kinds; kind++)
          arriving[kind] = Math.max(arriving[kind]!, kept[at]! * before[kind]! + own[at * kinds + kind]!);
    }
    for (const at of mine)
      for (let kind = 0; kind < kinds; kind++)
        most[at * kinds + kind] = kept[at]! * arriving[kind]! + own[at * kinds + kind]!;
    from += mine.length;
  }
  return { most, mostAboard: arriving };
}
