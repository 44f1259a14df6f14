import type { FlatProblem } from './flat-problem.ts';
import { goOn, type Label, undominated, wayTo, worstPerSeed } from './labels.ts';
import type { Priced } from './order-bound.ts';
import { type OrderProblem, wayHome } from './order-problem.ts';
import type { FoundOrder } from './order-search.ts';
import { PricedSteps } from './priced-steps.ts';
import { tolerance } from './tolerance.ts';

/**
 * The cheapest order with its stops, proven: stage by stage, labels (cost, load) for every set of the stage's fields done and last field,
 * dominated ones dropped, and those that cannot beat a known cost.
 * @param known an order to beat; it is given back where nothing costs less
 * @param priced what proves the bound: at these prices what is still to come can cost no less than its cheapest steps
 * @param mostLabels the work that may be done; more gives null
 * @source methods-season §9; without anything kept past a field this is Held and Karp's program (1962, memory)
 * @cost O(2ⁿ n² labels) at worst, n fields of a stage; the known cost prunes most of it
 */
export function exactOrder(
  problem: OrderProblem,
  flat: FlatProblem,
  known: FoundOrder,
  priced: Priced,
  mostLabels = Infinity,
): FoundOrder | null {
  const ahead = new Ahead(flat, priced, known.cost + tolerance(known.cost));
  let ends: readonly (Label | null)[] = [null];
  let work = 0;
  for (const [index, fields] of ahead.stages.entries()) {
    const done = throughStage(problem, ahead, index, fields, ends, mostLabels - work);
    if (!done) return null;
    work += done.work;
    ends = done.labels;
  }
  let best: Label | null = null;
  const whole = (label: Label) => label.cost + wayHome(problem, label.field);
  for (const label of ends) if (label && (!best || whole(label) < whole(best))) best = label;
  if (!best || whole(best) >= known.cost - tolerance(known.cost)) return known;
  return { ...wayTo(best), cost: whole(best) };
}

/** All ways through the fields of a stage that may still beat what is known. */
function throughStage(
  problem: OrderProblem,
  ahead: Ahead,
  index: number,
  fields: readonly number[],
  from: readonly (Label | null)[],
  mostLabels: number,
): { readonly labels: Label[]; readonly work: number } | null {
  const n = fields.length;
  const all = 2 ** n - 1;
  const places = new Map<number, { readonly labels: Label[]; readonly most: number }>();
  const ways: Label[] = [];
  const add = (set: number, to: number, before: Label | null) => {
    const reached = set | (1 << to);
    const at = reached * n + to;
    let place = places.get(at);
    if (!place) places.set(at, (place = { labels: [], most: ahead.most(index, reached, to) }));
    ways.length = 0;
    goOn(problem, before, fields[to]!, ways);
    for (const label of ways) if (label.cost + ahead.charged(label) <= place.most) place.labels.push(label);
  };
  for (const label of from) for (let to = 0; to < n; to++) add(0, to, label);
  const done: Label[] = [];
  let work = 0;
  for (let set = 1; set <= all; set++) {
    const todo = fields.filter((_, at) => !(set & (1 << at)));
    const worst = worstPerSeed(problem, [...todo, ...ahead.later(index)]);
    for (let last = 0; last < n; last++) {
      const place = places.get(set * n + last);
      if (!place) continue;
      places.delete(set * n + last);
      const labels = undominated(place.labels, worst);
      work += labels.length;
      if (work > mostLabels) return null;
      if (set === all) done.push(...labels);
      else for (const label of labels) for (let to = 0; to < n; to++) if (!(set & (1 << to))) add(set, to, label);
    }
  }
  return { labels: done, work };
}

/** What is still to come can cost no less: every node to come is entered from the last one or from another to come. */
class Ahead {
  /** Fields by stage, earliest first. */
  readonly stages: readonly (readonly number[])[];
  private readonly steps: Float64Array;
  private readonly nodes: number;
  /** For each stage: the least that all after it can cost. */
  private readonly after: readonly number[];

  constructor(
    private readonly flat: FlatProblem,
    private readonly priced: Priced,
    private readonly cap: number,
  ) {
    const known = [...new Set(flat.stage)].sort((a, b) => a - b);
    this.stages = known.map((stage) => [...flat.stage.keys()].filter((at) => flat.stage[at] === stage));
    const steps = new PricedSteps(flat);
    this.nodes = steps.nodes;
    this.steps = new Float64Array(this.nodes ** 2);
    steps.fill(priced.perSeed, priced.leaving, this.steps);
    this.after = this.stages.map((_, index) => {
      const nodes = this.later(index).map((at) => at + 1);
      const everywhere = Array.from({ length: this.nodes - 1 }, (_node, node) => node);
      const entering = [...nodes, this.nodes - 1].reduce((sum, to) => sum + this.leastInto(to, everywhere), 0);
      return entering + nodes.reduce((sum, node) => sum + priced.leaving[node]!, 0);
    });
  }

  later(index: number): readonly number[] {
    return this.stages.slice(index + 1).flat();
  }

  /** The most that a way may have cost, with what it is charged for, that has done a set of a stage's fields. */
  most(index: number, set: number, last: number): number {
    const fields = this.stages[index]!;
    const todo = fields.flatMap((at, place) => (set & (1 << place) ? [] : [at + 1]));
    const left = [fields[last]! + 1, ...todo];
    let sum = this.after[index]!;
    for (const to of todo) sum += this.leastInto(to, left);
    for (const node of left) sum += this.priced.leaving[node]!;
    return this.cap - sum;
  }

  /** For the seed that came in and is still aboard, as the step after this one pays it back. */
  charged({ field, load }: Label): number {
    const { kinds, kindsKept, own } = this.flat;
    let sum = 0;
    for (let kind = 0; kind < kinds; kind++) {
      const at = field * kinds + kind;
      sum += this.priced.perSeed[at]! * (load[kindsKept[kind]!]! - own[at]!);
    }
    return sum;
  }

  private leastInto(to: number, from: readonly number[]): number {
    let least = Infinity;
    for (const node of from) if (node !== to) least = Math.min(least, this.steps[node * this.nodes + to]!);
    return least;
  }
}
