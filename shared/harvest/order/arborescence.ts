/**
 * The cheapest tree in which every node but the root is entered once and reached from the root.
 * @param cost of the arc from u into v at `u * nodes + v`; finite
 * @returns the node that each node is entered from; -1 for the root, node 0
 * @source Chu and Liu 1965, Edmonds 1967 (memory); held to every tree of small graphs by tests/unit/harvest/order-bound.test.ts
 * @cost O(nodes²)
 */
export function cheapestArborescence(cost: Float64Array, nodes: number): Int32Array {
  const rooms = 2 * nodes;
  /** Of a node, or a round of nodes drawn into one: the least arc into it from each node, and which of its own that enters. */
  const into = new Float64Array(rooms * nodes);
  const enters = new Int32Array(rooms * nodes);
  for (let v = 0; v < nodes; v++)
    for (let u = 0; u < nodes; u++) {
      into[v * nodes + u] = cost[u * nodes + v]!;
      enters[v * nodes + u] = v;
    }
  const drawnInto = new Int32Array(rooms).fill(-1);
  const top = Int32Array.from({ length: nodes }, (_, node) => node);
  const from = new Int32Array(rooms).fill(-1);
  const paid = new Float64Array(rooms);
  /** 0: not looked at; 1: on the way that is being followed; 2: reached from the root. */
  const state = new Uint8Array(rooms);
  state[0] = 2;
  let made = nodes;

  const follow = (room: number) => {
    let least = Infinity;
    for (let u = 0; u < nodes; u++) {
      if (top[u] === room || into[room * nodes + u]! >= least) continue;
      [least, from[room]] = [into[room * nodes + u]!, u];
    }
    paid[room] = least;
    return top[from[room]!]!;
  };
  const drawTogether = (round: readonly number[]) => {
    const one = made++;
    for (let u = 0; u < nodes; u++) {
      let least = Infinity;
      for (const room of round) {
        const more = into[room * nodes + u]! - paid[room]!;
        if (more < least) [least, enters[one * nodes + u]] = [more, enters[room * nodes + u]!];
      }
      into[one * nodes + u] = least;
    }
    for (const room of round) drawnInto[room] = one;
    for (let u = 0; u < nodes; u++) if (round.includes(top[u]!)) top[u] = one;
    return one;
  };

  for (let start = 1; start < nodes; start++) {
    const way: number[] = [];
    let room = top[start]!;
    while (state[room] !== 2) {
      if (state[room] === 0) {
        state[room] = 1;
        way.push(room);
        room = follow(room);
      } else {
        const round = way.splice(way.indexOf(room));
        room = drawTogether(round);
      }
    }
    for (const one of way) state[one] = 2;
  }

  // What is drawn together is entered once; the node of it that is entered leaves its own arc.
  const entered = new Int32Array(rooms).fill(-1);
  for (let room = 0; room < made; room++) if (from[room]! >= 0) entered[room] = enters[room * nodes + from[room]!]!;
  for (let room = made - 1; room >= nodes; room--) {
    let inner = entered[room]!;
    while (drawnInto[inner] !== room) inner = drawnInto[inner]!;
    [from[inner], entered[inner]] = [from[room]!, entered[room]!];
  }
  return from.slice(0, nodes);
}
