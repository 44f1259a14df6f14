/** Orders that were found: asked for the same numbers again, nothing is sought anew. */
import { type HarvestOrdered, orderHarvest } from './order-harvest.ts';
import type { OrderProblem } from './order-problem.ts';

/** A farm has a machine or a few, each asked for by class and by cost. */
const MOST_KEPT = 16;

export class SolvedOrders {
  private readonly known = new Map<string, HarvestOrdered>();

  /** The same answer as `orderHarvest`. */
  readonly order = (problem: OrderProblem): HarvestOrdered => {
    const key = JSON.stringify(problem);
    const found = this.known.get(key) ?? orderHarvest(problem);
    // The one that was asked for last goes last.
    this.known.delete(key);
    this.known.set(key, found);
    if (this.known.size > MOST_KEPT) this.known.delete(this.known.keys().next().value!);
    return found;
  };
}
