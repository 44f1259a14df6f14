import { goOn, type Label, undominated, worstPerSeed, wayTo } from './labels.ts';
import { type OrderProblem, type Stop, wayHome } from './order-problem.ts';

/**
 * The clean-out stops that make a given order cheapest.
 * @returns cost with travel and the way home; one stop a field, in the order given
 * @cost O(fields × labels); the labels of a place seldom exceed ten
 */
export function bestStops(problem: OrderProblem, order: readonly number[]): { cost: number; stops: Stop[] } {
  if (order.length === 0) return { cost: 0, stops: [] };
  const best = cheapestLabel(problem, order, null)!;
  return { cost: best.cost + wayHome(problem, order.at(-1)!), stops: wayTo(best).stops };
}

/** What orders have to beat, and the least that each field adds whatever came before: a dear order is then given up on its way. */
export interface Mark {
  readonly cost: number;
  readonly leastInto: readonly number[];
}

/** The cost of an order with its best stops; `Infinity` where that is not below the mark. */
export function costBelow(problem: OrderProblem, order: readonly number[], mark: Mark): number {
  const best = cheapestLabel(problem, order, mark);
  return best ? best.cost + wayHome(problem, order.at(-1)!) : Infinity;
}

function cheapestLabel(problem: OrderProblem, order: readonly number[], mark: Mark | null): Label | null {
  const worst = worstAhead(problem, order);
  let labels: readonly (Label | null)[] = [null];
  let ahead = mark ? order.reduce((sum, at) => sum + mark.leastInto[at]!, 0) : 0;
  for (let step = 0; step < order.length; step++) {
    const next: Label[] = [];
    for (const label of labels) goOn(problem, label, order[step]!, next);
    const left = undominated(next, worst[step + 1]!);
    if (mark) {
      ahead -= mark.leastInto[order[step]!]!;
      if (left[0]!.cost + ahead > mark.cost) return null;
    }
    labels = left;
  }
  return labels[0]!;
}

/** From each step on, the most that one more seed aboard can cost, one number a kind. */
function worstAhead(problem: OrderProblem, order: readonly number[]): readonly (readonly number[])[] {
  const worst: (readonly number[])[] = [worstPerSeed(problem, [])];
  for (let step = order.length - 1; step >= 0; step--) {
    const { costPerSeed } = problem.fields[order[step]!]!;
    worst.push(worst.at(-1)!.map((cost, kind) => Math.max(cost, costPerSeed[kind]!)));
  }
  return worst.reverse();
}
