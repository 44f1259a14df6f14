/** What a relaxation says about a set of choices of which some are settled. */
export interface Relaxation {
  /** No completion gains more. */
  readonly bound: number;
  /** A completion that fits, and its gain; null where none was found. */
  readonly choice: Int32Array | null;
  readonly gain: number;
  /** Zone that the bound splits; −1 where the bound is a whole choice. */
  readonly split: number;
}

export interface SearchResult {
  readonly choice: Int32Array | null;
  readonly gain: number;
  /** No choice gains more: equal to `gain` where the search came to its end. */
  readonly provenBound: number;
  readonly finished: boolean;
  readonly nodes: number;
}

interface Node {
  readonly bound: number;
  readonly split: number;
  readonly parent: Node | null;
  readonly zone: number;
  readonly option: number;
}

/** Gains are sums of cents: a difference below this is rounding. */
const SAME_GAIN = 1e-7;

/**
 * Branch and bound, best bound first: settles the zone that the bound splits to each of its options in turn.
 * @param relax bound under settled options (−1 free); null where nothing fits; it may end early once the bound is no
 * better than the cutoff
 * @param optionsOf all undominated options of a zone, on the hull or not
 * @param mostNodes where to stop and report the gap
 * @source methods-season §8 (4)
 */
export function searchBestFirst(
  zones: number,
  optionsOf: (zone: number) => Iterable<number>,
  relax: (settled: Int32Array, cutoff: number) => Relaxation | null,
  mostNodes: number,
): SearchResult {
  const settled = new Int32Array(zones).fill(-1);
  let best: Int32Array | null = null;
  let bestGain = -Infinity;
  let nodes = 0;
  const heap = new NodeHeap();

  const judge = (parent: Node | null, zone: number, option: number) => {
    const relaxed = relax(settled, bestGain + SAME_GAIN);
    nodes++;
    if (relaxed === null) return;
    if (relaxed.choice !== null && relaxed.gain > bestGain) {
      best = relaxed.choice;
      bestGain = relaxed.gain;
    }
    if (relaxed.split >= 0 && relaxed.bound > bestGain + SAME_GAIN) {
      heap.push({ bound: relaxed.bound, split: relaxed.split, parent, zone, option });
    }
  };

  judge(null, -1, -1);
  while (heap.size > 0 && nodes < mostNodes) {
    const node = heap.pop();
    if (node.bound <= bestGain + SAME_GAIN) return end(bestGain);
    settled.fill(-1);
    for (let up: Node | null = node; up !== null; up = up.parent) if (up.zone >= 0) settled[up.zone] = up.option;
    for (const option of optionsOf(node.split)) {
      settled[node.split] = option;
      judge(node, node.split, option);
    }
  }
  return end(heap.size > 0 ? Math.max(bestGain, heap.pop().bound) : bestGain);

  function end(provenBound: number): SearchResult {
    const finished = provenBound <= bestGain + SAME_GAIN;
    return { choice: best, gain: bestGain, provenBound, finished, nodes };
  }
}

/** Binary heap, largest bound on top. */
class NodeHeap {
  private readonly nodes: Node[] = [];

  get size(): number {
    return this.nodes.length;
  }

  push(node: Node): void {
    const { nodes } = this;
    let at = nodes.push(node) - 1;
    while (at > 0) {
      const up = (at - 1) >> 1;
      if (nodes[up]!.bound >= node.bound) break;
      nodes[at] = nodes[up]!;
      at = up;
    }
    nodes[at] = node;
  }

  pop(): Node {
    const { nodes } = this;
    const top = nodes[0]!;
    const last = nodes.pop()!;
    if (nodes.length === 0) return top;
    let at = 0;
    for (;;) {
      let down = 2 * at + 1;
      if (down >= nodes.length) break;
      if (down + 1 < nodes.length && nodes[down + 1]!.bound > nodes[down]!.bound) down++;
      if (nodes[down]!.bound <= last.bound) break;
      nodes[at] = nodes[down]!;
      at = down;
    }
    nodes[at] = last;
    return top;
  }
}
