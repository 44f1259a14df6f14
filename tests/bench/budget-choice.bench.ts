/** Best set within a budget, timed on invented farms beside every choice there is (where that can be tried). Seeded, warmed. */

import { chooseWithinBudget } from '../../shared/agronomy/budget-choice.ts';
import type { BudgetItem } from '../../shared/agronomy/budget-choice.ts';
import { type Row, row } from './row.ts';

function draws(seed: number): () => number {
  let k = seed * 1009;
  return () => {
    let z = Math.imul(++k, 0x9e3779b9);
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return ((z ^ (z >>> 16)) >>> 0) / 2 ** 32;
  };
}

function farm(seed: number, zones: number, programs: number): BudgetItem[] {
  const draw = draws(seed);
  return Array.from({ length: zones }, (_, zone) => {
    const areaHa = Math.round(2 + 58 * draw());
    const options = Array.from({ length: programs }, (__, k) => {
      const perHa = 15 + 75 * draw();
      const gain = areaHa * (280 * draw() - 20) * (0.5 + perHa / 60);
      return {
        id: `program ${k}`,
        gain: Math.round(100 * gain) / 100,
        cost: Math.round(perHa * areaHa),
        uses: [Math.round((100 * areaHa * (1 + 2 * draw())) / 14) / 100, areaHa],
      };
    });
    return { id: `zone ${zone}`, options: [{ id: 'as-now', gain: 0, cost: 0 }, ...options] };
  });
}

function everyChoice(items: readonly BudgetItem[], budget: number): number {
  const walk = (zone: number, left: number): number =>
    zone === items.length
      ? 0
      : Math.max(
          ...items[zone]!.options.map((option) =>
            option.cost <= left ? option.gain + walk(zone + 1, left - option.cost) : -Infinity,
          ),
        );
  return walk(0, budget);
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

/** Prints medians and gives the ratio of trying every choice to searching. */
export function run(): { ratio: number; milliseconds: Record<string, number>; rows: Row[] } {
  const milliseconds: Record<string, number> = {};
  for (const [zones, limits] of [
    [20, 1],
    [150, 1],
    [500, 1],
    [20, 3],
    [60, 3],
    [150, 3],
  ] as const) {
    const items = farm(zones, zones, 5);
    const further = limits === 1 ? [] : [zones * 2.5, zones * 13];
    let answer = chooseWithinBudget(items, zones * 800, further);
    const ms = time(() => (answer = chooseWithinBudget(items, zones * 800, further)), 3);
    milliseconds[`${zones} zones, ${limits} limits`] = ms;
    const how = answer.exact ? 'proven best' : `gap ${((100 * answer.gap) / answer.gain).toFixed(3)} %`;
    console.log(`${zones} zones × 6 options, ${limits} limit${limits > 1 ? 's' : ''}: ${ms.toFixed(1)} ms, ${how}`);
  }
  const small = farm(3, 9, 4);
  const tried = time(() => everyChoice(small, 9 * 800), 3);
  const searched = time(() => chooseWithinBudget(small, 9 * 800), 9);
  if (Math.abs(everyChoice(small, 7200) - chooseWithinBudget(small, 7200).gain) > 1e-6)
    throw new Error('they disagree');
  console.log(
    `9 zones × 5: every choice ${tried.toFixed(1)} ms, search ${searched.toFixed(2)} ms, ratio ${(tried / searched).toFixed(0)}`,
  );
  const rows = [
    ...Object.entries(milliseconds).map(([what, ms]) => row(what, ms, 'ms')),
    row('9 zones: time of trying every choice over searching', tried / searched, ''),
  ];
  return { ratio: tried / searched, milliseconds, rows };
}
