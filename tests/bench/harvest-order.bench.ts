/** The order of harvest with its stops, timed on invented farms beside Held and Karp's program where the machine forgets after one field. */

import { orderHarvest } from '../../shared/harvest/order/order-harvest.ts';
import { leastArc, type OrderProblem } from '../../shared/harvest/order/order-problem.ts';
import { type Row, row } from './row.ts';

function draws(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

/** Two kinds of clean-out, one kind of seed, four fields in ten infested. */
function farm(seed: number, fields: number, keeps = true): OrderProblem {
  const draw = draws(seed);
  const places = Array.from({ length: fields + 1 }, () => [12 * draw() - 6, 12 * draw() - 6] as const);
  return {
    fields: Array.from({ length: fields }, () => {
      const isDirty = draw() < 0.4;
      return {
        ownSeeds: [isDirty ? 2e6 * draw() : 200 * draw()],
        keptFraction: keeps ? 0.02 + 0.33 * draw() : 0,
        costPerSeed: [isDirty ? 0.0001 + 0.0005 * draw() : 0.001 + 0.003 * draw()],
      };
    }),
    cleanOuts: [
      { removedFraction: 0.5, cost: 60 },
      { removedFraction: 0.95, cost: 300 },
    ],
    travel: places.map((from) => places.map((to) => 12 * Math.hypot(from[0] - to[0], from[1] - to[1]))),
    startSeeds: [0],
    returnsToStart: false,
  };
}

/** Where nothing is kept past a field, a stop is the arc's own choice, and the cheapest order is a shortest path through all. */
function heldKarp(problem: OrderProblem): number {
  const n = problem.fields.length;
  const arc = Array.from({ length: n + 1 }, (_, from) =>
    problem.fields.map((__, to) => (from - 1 === to ? Infinity : leastArc(problem, from - 1, to))),
  );
  const best = new Float64Array(2 ** n * n).fill(Infinity);
  for (let to = 0; to < n; to++) best[(1 << to) * n + to] = arc[0]![to]!;
  for (let set = 1; set < 2 ** n; set++) {
    for (let last = 0; last < n; last++) {
      const cost = best[set * n + last]!;
      if (cost === Infinity) continue;
      for (let to = 0; to < n; to++) {
        if (set & (1 << to)) continue;
        const at = (set | (1 << to)) * n + to;
        best[at] = Math.min(best[at]!, cost + arc[last + 1]![to]!);
      }
    }
  }
  return Math.min(...best.subarray((2 ** n - 1) * n));
}

function time(job: () => unknown, repeats: number): number {
  job();
  const took: number[] = [];
  for (let k = 0; k < repeats; k++) {
    const start = performance.now();
    job();
    took.push(performance.now() - start);
  }
  return took.sort((a, b) => a - b)[repeats >> 1]!;
}

const ONE_SECOND_MS = 1000;

/** Prints medians, the gap where an order is not proven, and the ratio to Held and Karp's program. */
export function run(): { rows: Row[] } {
  const rows: Row[] = [];
  for (const fields of [12, 14, 40]) {
    const problem = farm(5, fields);
    let answer = orderHarvest(problem);
    const ms = time(() => (answer = orderHarvest(problem)), 3);
    const gap = (answer.cost - answer.bound) / answer.cost;
    const how = answer.isExact ? 'proven best' : `within ${(100 * gap).toFixed(1)} % of the bound`;
    console.log(`${fields} fields, 2 kinds of clean-out: ${ms.toFixed(0)} ms, ${how}`);
    rows.push(row(`${fields} fields: order and stops, ${how}`, ms, 'ms', { atMost: ONE_SECOND_MS }));
  }
  const forgetful = farm(6, 12, false);
  const mine = time(() => orderHarvest(forgetful), 3);
  const theirs = time(() => heldKarp(forgetful), 3);
  const apart = Math.abs(orderHarvest(forgetful).cost - heldKarp(forgetful));
  if (apart > 1e-6) throw new Error('they disagree');
  console.log(
    `12 fields, nothing kept past one: labels ${mine.toFixed(0)} ms, Held and Karp ${theirs.toFixed(0)} ms, same cost`,
  );
  rows.push(row('12 fields, nothing kept: time of labels over Held and Karp', mine / theirs, ''));
  return { rows };
}
