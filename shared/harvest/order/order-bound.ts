/** What no order of a machine's fields can cost less than, and the prices that prove it. */
import { cheapestArborescence } from './arborescence.ts';
import { assignment } from './assignment.ts';
import type { FlatProblem } from './flat-problem.ts';
import { leastArc, type OrderProblem, stageOf, wayHome } from './order-problem.ts';
import { NEVER, PricedSteps, type Step } from './priced-steps.ts';

/** Prices are moved so often at most; where the bound grew no more for so long, by half as much from then on. */
const MOST_ROUNDS = 600;
const PATIENCE = 15;
const LEAST_STRIDE = 1 / 256;

/** Prices, and what they prove. */
export interface Priced {
  readonly bound: number;
  /** Of each field and kind, what is charged for a seed that came in and rides out of it, to be paid back at the next. */
  readonly perSeed: Float64Array;
  /** Of each node but the end: what leaving it is worth. */
  readonly leaving: Float64Array;
}

/**
 * No order can cost less: each field but the last has one successor, at the least that this step can cost. Weak where much is kept past
 * a field, or where the cheapest successors make rounds.
 * @source methods-season §9
 * @cost O(fields³)
 */
export function assignmentBound(problem: OrderProblem): number {
  return problem.fields.length === 0 ? 0 : assignment(stepCosts(problem)).cost;
}

/**
 * A bound that is never below the assignment's. Each field is entered once and reached from the start: the cheapest such tree. That each
 * node is left once is asked for by prices, and so is what rides on: a seed that came in and rides out of a field is charged for there and
 * paid back at the next, where the load lies between the field's own and the most that can be aboard. For any prices this is a bound; they
 * are moved toward the greatest.
 * @param known the cost of some order: by how far the bound falls short of it prices are moved
 * @source Held and Karp 1970, Polyak 1969 (memory); prices of the load are our own, held to every order of small farms by
 *   tests/unit/harvest/order-bound.test.ts
 * @cost O(rounds × fields² × kinds)
 */
export function orderBound(problem: OrderProblem, flat: FlatProblem, known: number): Priced {
  const matched = assignment(stepCosts(problem));
  const steps = new PricedSteps(flat);
  let at: Priced = {
    bound: -Infinity,
    perSeed: new Float64Array(flat.fields * flat.kinds),
    leaving: Float64Array.from({ length: flat.fields + 1 }, (_, node) => matched.rowPrices[node]!),
  };
  let best = at;
  let [stride, idle] = [1, 0];
  for (let round = 0; round < MOST_ROUNDS && stride > LEAST_STRIDE; round++) {
    const tree = cheapestTree(steps, at);
    if (tree.bound > best.bound) [best, idle] = [{ ...at, bound: tree.bound }, 0];
    else if (++idle === PATIENCE) {
      [stride, idle, at] = [stride / 2, 0, best];
      continue;
    }
    const short = known - tree.bound;
    if (short <= 1e-9 * Math.max(1, known)) break;
    const moved = pricesMoved(steps, at, tree, stride * short);
    if (!moved) break;
    at = moved;
  }
  return { ...best, bound: Math.max(best.bound, matched.cost) };
}

interface Tree {
  readonly bound: number;
  readonly from: Int32Array;
}

function cheapestTree(steps: PricedSteps, { perSeed, leaving }: Priced): Tree {
  const { nodes } = steps;
  const costs = new Float64Array(nodes * nodes);
  steps.fill(perSeed, leaving, costs);
  const from = cheapestArborescence(costs, nodes);
  let bound = leaving.reduce((sum, one) => sum + one, 0);
  for (let to = 1; to < nodes; to++) bound += costs[from[to]! * nodes + to]!;
  return { bound, from };
}

/** Nodes left too often become dearer to leave; seed that rides in beyond what was charged for is charged for. null: nothing to mend. */
function pricesMoved(steps: PricedSteps, at: Priced, { from }: Tree, by: number): Priced | null {
  const { flat, nodes } = steps;
  const leftOver = Float64Array.from(at.leaving, () => 1);
  const rides = new Float64Array(at.perSeed.length);
  const step: Step = { cost: 0, option: 0, load: new Float64Array(flat.kinds) };
  for (let to = 1; to < nodes; to++) {
    const node = from[to]!;
    leftOver[node]!--;
    steps.step(node, to, at.perSeed, step);
    steps.loadsOf(node, to, at.perSeed, step);
    for (let kind = 0; kind < flat.kinds; kind++) {
      const out = (node - 1) * flat.kinds + kind;
      if (node > 0) rides[out]! -= step.load[kind]! - flat.own[out]!;
      if (to === nodes - 1) continue;
      const stays = flat.options[to - 1]!.stays[step.option]!;
      rides[(to - 1) * flat.kinds + kind]! += flat.kept[to - 1]! * stays * step.load[kind]!;
    }
  }
  // Seeds count by the most that can ride on, so that both kinds of price are money for a whole.
  const room = rides.map((_, one) => flat.most[one]! - flat.own[one]!);
  const share = rides.map((seeds, one) =>
    room[one]! > 0 && (seeds > 0 || at.perSeed[one]! > 0) ? seeds / room[one]! : 0,
  );
  const square = sumOfSquares(leftOver) + sumOfSquares(share);
  if (square === 0) return null;
  const far = by / square;
  return {
    bound: -Infinity,
    leaving: at.leaving.map((price, node) => price + far * leftOver[node]!),
    perSeed: at.perSeed.map((price, one) =>
      room[one]! > 0 ? Math.max(0, price + (far * share[one]!) / room[one]!) : 0,
    ),
  };
}

function sumOfSquares(numbers: Float64Array): number {
  return numbers.reduce((sum, one) => sum + one * one, 0);
}

/** From the start and each field to each field and the end. */
function stepCosts(problem: OrderProblem): number[][] {
  const { fields } = problem;
  const stages = [...new Set(fields.map((_, at) => stageOf(problem, at)))].sort((a, b) => a - b);
  const next = (stage: number) => stages[stages.indexOf(stage) + 1];
  const follows = (from: number, to: number) => {
    const stage = stageOf(problem, to);
    if (from < 0) return stage === stages[0];
    return stage === stageOf(problem, from) || stage === next(stageOf(problem, from));
  };
  const ends = (from: number) => from >= 0 && stageOf(problem, from) === stages.at(-1);
  return Array.from({ length: fields.length + 1 }, (_, row) => {
    const from = row - 1;
    const arcs = fields.map((_field, to) => (from !== to && follows(from, to) ? leastArc(problem, from, to) : NEVER));
    return [...arcs, ends(from) ? wayHome(problem, from) : NEVER];
  });
}
