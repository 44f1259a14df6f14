import { goOn, type Label, undominated, wayTo, worstPerSeed } from './labels.ts';
import { leastArc, type OrderProblem, stageOf, wayHome } from './order-problem.ts';
import { type FoundOrder, tolerance } from './order-search.ts';

/**
 * The cheapest order with its stops, proven: labels (cost, load) for every set of fields done and last field, dominated ones dropped,
 * and those that cannot beat a known cost.
 * @param known an order to beat; it is given back where nothing costs less
 * @param mostLabels the work that may be done; more gives null
 * @source methods-season §9; without anything kept past a field this is Held and Karp's program (1962, memory)
 * @cost O(2ⁿ n² labels) at worst; the known cost prunes most of it
 */
export function exactOrder(problem: OrderProblem, known: FoundOrder, mostLabels = Infinity): FoundOrder | null {
  const n = problem.fields.length;
  if (n === 0) return known;
  const fields = [...problem.fields.keys()];
  const arcs = fields.map((from) => fields.map((to) => (from === to ? Infinity : leastArc(problem, from, to))));
  const cap = known.cost + tolerance(known.cost);
  const all = 2 ** n - 1;
  /** Every field to come is reached from the last one or from another to come. */
  const leastAhead = (set: number, last: number) => {
    let sum = 0;
    for (let to = 0; to < n; to++) {
      if (set & (1 << to)) continue;
      let least = arcs[last]![to]!;
      for (let from = 0; from < n; from++)
        if (!(set & (1 << from)) && arcs[from]![to]! < least) least = arcs[from]![to]!;
      sum += least;
    }
    return sum;
  };
  const places = new Map<number, { readonly labels: Label[]; readonly most: number }>();
  const ways: Label[] = [];
  const add = (set: number, to: number, from: Label | null) => {
    const reached = set | (1 << to);
    let place = places.get(reached * n + to);
    if (!place) places.set(reached * n + to, (place = { labels: [], most: cap - leastAhead(reached, to) }));
    ways.length = 0;
    goOn(problem, from, to, ways);
    for (const label of ways) if (label.cost <= place.most) place.labels.push(label);
  };
  for (const to of nextFields(problem, 0)) add(0, to, null);
  let [work, best]: [number, { label: Label; cost: number } | null] = [0, null];
  for (let set = 1; set <= all; set++) {
    const todo = fields.filter((at) => !(set & (1 << at)));
    const worst = worstPerSeed(problem, todo);
    const next = nextFields(problem, set);
    for (let last = 0; last < n; last++) {
      const reached = places.get(set * n + last);
      if (!reached) continue;
      places.delete(set * n + last);
      const labels = undominated(reached.labels, worst);
      work += labels.length;
      if (work > mostLabels) return null;
      for (const label of labels) {
        if (set === all) {
          const cost = label.cost + wayHome(problem, last);
          if (!best || cost < best.cost) best = { label, cost };
        } else for (const to of next) add(set, to, label);
      }
    }
  }
  if (!best || best.cost >= known.cost - tolerance(known.cost)) return known;
  return { ...wayTo(best.label), cost: best.cost };
}

/** Fields that may come now: those of the earliest stage that is not done. */
function nextFields(problem: OrderProblem, set: number): number[] {
  const todo = [...problem.fields.keys()].filter((at) => !(set & (1 << at)));
  const stage = Math.min(...todo.map((at) => stageOf(problem, at)));
  return todo.filter((at) => stageOf(problem, at) === stage);
}
