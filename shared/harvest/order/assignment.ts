/**
 * The cheapest way to give each row a column of its own (assignment problem), by shortest augmenting paths with potentials.
 * @param cost square; finite
 * @returns the sum of the chosen entries, and prices of rows: less its row's, no entry of a column is below the column's
 * @source Kuhn 1955, Munkres 1957 (memory); held to an independent solver by tests/reference/harvest-order
 * @cost O(n³)
 */
export function assignment(cost: readonly (readonly number[])[]): {
  readonly cost: number;
  readonly rowPrices: Float64Array;
} {
  const n = cost.length;
  const rowPrice = new Float64Array(n + 1);
  const columnPrice = new Float64Array(n + 1);
  /** Row of each column; 0 is none, rows count from 1. */
  const rowOf = new Int32Array(n + 1);
  const cameFrom = new Int32Array(n + 1);
  for (let row = 1; row <= n; row++) {
    rowOf[0] = row;
    let column = 0;
    const least = new Float64Array(n + 1).fill(Infinity);
    const isDone = new Uint8Array(n + 1);
    do {
      isDone[column] = 1;
      const at = rowOf[column]!;
      let [step, next] = [Infinity, 0];
      for (let to = 1; to <= n; to++) {
        if (isDone[to]) continue;
        const over = cost[at - 1]![to - 1]! - rowPrice[at]! - columnPrice[to]!;
        if (over < least[to]!) [least[to], cameFrom[to]] = [over, column];
        if (least[to]! < step) [step, next] = [least[to]!, to];
      }
      for (let to = 0; to <= n; to++) {
        if (isDone[to]) {
          rowPrice[rowOf[to]!]! += step;
          columnPrice[to]! -= step;
        } else least[to]! -= step;
      }
      column = next;
    } while (rowOf[column] !== 0);
    while (column !== 0) {
      const from = cameFrom[column]!;
      rowOf[column] = rowOf[from]!;
      column = from;
    }
  }
  let sum = 0;
  for (let column = 1; column <= n; column++) sum += cost[rowOf[column]! - 1]![column - 1]!;
  return { cost: sum, rowPrices: rowPrice.slice(1) };
}
