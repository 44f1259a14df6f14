/** Retracing harvest logs: records a second, and how the time grows from one to eight times the records. Seeded, warmed, repeated. */
import type { HarvestLogRecords } from '../../shared/model/records.ts';
import { inventedLog, retrace } from '../support/invented-log.ts';
import { type Row, row } from './row.ts';

/** Prints records a second and the growth from 1× to 8× records, and gives them back. */
export function run(): { oneS: number; perS: number; growth: number; rows: Row[] } {
  const log = inventedLog({ passS: 444, passes: 54 });
  const oneS = median(7, log);
  const eightS = median(3, inventedLog({ passS: 444, passes: 8 * 54 }));
  const perS = log.count / oneS;
  const growth = eightS / oneS;
  const farmS = (350_000 / log.count) * oneS;
  console.log(
    `harvest path, ${log.count} records: ${(1000 * oneS).toFixed(0)} ms, ${Math.round(perS)} records a second`,
  );
  console.log(
    `eight times the records: ${growth.toFixed(1)} × the time; 350 000 records on one core: ${farmS.toFixed(1)} s`,
  );
  const rows = [row('records retraced', perS, 'records/s'), row('350 000 records on one core', farmS, 's')];
  return { oneS, perS, growth, rows };
}

function median(repeats: number, log: HarvestLogRecords): number {
  const took: number[] = [];
  for (let k = 0; k < repeats + 1; k++) {
    const start = performance.now();
    retrace(log);
    if (k >= 1) took.push((performance.now() - start) / 1000);
  }
  return took.sort((a, b) => a - b)[repeats >> 1]!;
}
