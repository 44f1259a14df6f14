/** Seedbank projection, timed against the one-cell form in the same run. Warmed, repeated. */

import { projectBanks, emptyProjection } from '../../shared/agronomy/seedbank-projection.ts';
import { NO_TILL, bankYear } from '../../shared/agronomy/seedbank.ts';
import type { SeedbankBiology, SeedbankYear } from '../../shared/agronomy/seedbank.ts';
import { type Row, row } from './row.ts';

const biology: SeedbankBiology = {
  emergenceFraction: 0.08,
  survivalShallow: 0.49,
  survivalDeep: 0.6,
  fatalGerminationFraction: 0,
  tillage: NO_TILL,
  enteringFraction: 0.5,
};
const year: SeedbankYear = {
  cohorts: [0.5, 0.3, 0.2].map((share) => ({
    share,
    residualControl: 0.9,
    postControl: 0.8,
    survival: 0.6,
    relativeFecundity: 0.5,
  })),
  seedsPerPlant: 100_000,
  crowding: 0.5,
  returnedFraction: 0.9,
  broughtInPerM2: 0,
};

/** Prints cell-years a second and gives them back. */
export function run(): { flatPerS: number; singlePerS: number; ratio: number; rows: Row[] } {
  const classes = 20_000;
  const years: SeedbankYear[] = Array(10).fill(year);
  const start = Float64Array.from({ length: classes }, (_, k) => (k * 7919) % 1000);
  const room = emptyProjection(classes, years.length);
  const flatPerS = rate(classes * years.length, 15, () => projectBanks(start, years, biology, room));
  const singlePerS = rate(2000 * years.length, 5, () => {
    for (let k = 0; k < 2000; k++) {
      let bank: readonly [number, number] = [start[k]!, 0];
      for (const each of years) ({ bank } = bankYear(bank, biology, each));
    }
  });
  const ratio = flatPerS / singlePerS;
  console.log(`seedbank, flat form: ${(flatPerS / 1e6).toFixed(0)} million cell-years a second, 3 cohorts`);
  console.log(`one cell at a time: ${(singlePerS / 1e6).toFixed(1)} million; ratio ${ratio.toFixed(0)}`);
  const rows = [
    row('flat form, cell-years', flatPerS, 'a second'),
    row('time of one cell at a time over the flat form', ratio, ''),
  ];
  return { flatPerS, singlePerS, ratio, rows };
}

/** Median over repeats, after two for warming. */
function rate(cellYears: number, repeats: number, job: () => void): number {
  const took: number[] = [];
  for (let k = 0; k < repeats + 2; k++) {
    const start = performance.now();
    job();
    if (k >= 2) took.push(performance.now() - start);
  }
  return (cellYears / took.sort((a, b) => a - b)[repeats >> 1]!) * 1000;
}
