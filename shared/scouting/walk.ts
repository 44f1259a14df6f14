/** The order in which to walk a few stops. */

/**
 * A short open walk from the first place over all others: nearest next, then stretches turned about while that shortens it (2-opt). The
 * first place stays first; where the walk ends is free.
 * @returns the places in walking order
 * @cost O(n²) a round
 */
export function walkingOrder(xM: ArrayLike<number>, yM: ArrayLike<number>): number[] {
  const n = xM.length;
  const apart = (a: number, b: number) => Math.hypot(xM[a]! - xM[b]!, yM[a]! - yM[b]!);
  const order = nearestNext(n, apart);
  for (let better = true; better;) {
    better = false;
    for (let i = 1; i < n - 1; i++) {
      for (let j = i + 1; j < n; j++) {
        const open = j + 1 < n;
        const now = apart(order[i - 1]!, order[i]!) + (open ? apart(order[j]!, order[j + 1]!) : 0);
        const turned = apart(order[i - 1]!, order[j]!) + (open ? apart(order[i]!, order[j + 1]!) : 0);
        if (turned < now - 1e-9) {
          turnAbout(order, i, j);
          better = true;
        }
      }
    }
  }
  return order;
}

/** Length of a walk, m. */
export function walkLengthM(order: readonly number[], xM: ArrayLike<number>, yM: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 1; i < order.length; i++) {
    const [a, b] = [order[i - 1]!, order[i]!];
    sum += Math.hypot(xM[a]! - xM[b]!, yM[a]! - yM[b]!);
  }
  return sum;
}

function nearestNext(n: number, apart: (a: number, b: number) => number): number[] {
  if (n === 0) return [];
  const left = new Set(Array.from({ length: n - 1 }, (_, i) => i + 1));
  const order = [0];
  while (left.size > 0) {
    const here = order.at(-1)!;
    let next = -1;
    for (const one of left) if (next < 0 || apart(here, one) < apart(here, next)) next = one;
    left.delete(next);
    order.push(next);
  }
  return order;
}

function turnAbout(order: number[], from: number, to: number): void {
  for (; from < to; from++, to--) [order[from], order[to]] = [order[to]!, order[from]!];
}
