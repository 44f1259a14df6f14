import { goOn, type Label, undominated, wayTo, worstPerSeed } from './labels.ts';
import { type OrderProblem, type Stop, wayHome } from './order-problem.ts';

/**
 * The clean-out stops that make a given order cheapest.
 * @returns cost with travel and the way home; one stop a field, in the order given
 * @cost O(fields × labels); the labels of a place seldom exceed ten
 */
export function bestStops(problem: OrderProblem, order: readonly number[]): { cost: number; stops: Stop[] } {
  if (order.length === 0) return { cost: 0, stops: [] };
  const worst = worstAhead(problem, order);
  let labels: readonly (Label | null)[] = [null];
  order.forEach((at, step) => {
    const next: Label[] = [];
    for (const label of labels) goOn(problem, label, at, next);
    labels = undominated(next, worst[step + 1]!);
  });
  const best = labels[0]!;
  return { cost: best.cost + wayHome(problem, order.at(-1)!), stops: wayTo(best).stops };
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
