import { assignmentCost } from './assignment.ts';
import { leastArc, type OrderProblem, stageOf, wayHome } from './order-problem.ts';

/** Above any sum of real costs, and small enough that those keep their figures. */
const NEVER = 1e12;

/**
 * No order can cost less: each field but the last has one successor, at the least that this step can cost. Weak where much is kept past
 * a field, or where the cheapest successors make rounds.
 * @source methods-season §9
 * @cost O(fields³)
 */
export function orderBound(problem: OrderProblem): number {
  const { fields } = problem;
  const n = fields.length;
  if (n === 0) return 0;
  const stages = [...new Set(fields.map((_, at) => stageOf(problem, at)))].sort((a, b) => a - b);
  const next = (stage: number) => stages[stages.indexOf(stage) + 1];
  const follows = (from: number, to: number) => {
    const stage = stageOf(problem, to);
    if (from < 0) return stage === stages[0];
    return stage === stageOf(problem, from) || stage === next(stageOf(problem, from));
  };
  const ends = (from: number) => from >= 0 && stageOf(problem, from) === stages.at(-1);
  const rows = Array.from({ length: n + 1 }, (_, row) => {
    const from = row - 1;
    const arcs = fields.map((_, to) => (from !== to && follows(from, to) ? leastArc(problem, from, to) : NEVER));
    return [...arcs, ends(from) ? wayHome(problem, from) : NEVER];
  });
  return assignmentCost(rows);
}
