/** How CPU time grows from one to two, four and eight times the records: exponent by least squares, each the least of five. */
import { startRunner, studyFarm } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { memoryStore } from '../../shared/analysis/memory-store.ts';
import { readBundle } from '../../shared/import/importers.ts';
import { inventedLog, retrace } from '../support/invented-log.ts';
import { run as drive } from '../support/run.ts';
import { move } from '../reference/seed-movement/support.ts';
import { inventedFarm, logText } from './invented-farm.ts';
import { type Row, row, short } from './row.ts';
import { field as movementField } from './seed-movement.bench.ts';
import { growthExponent, type Job, timeInTurn } from './timing.ts';

const TIMES = [1, 2, 4, 8];
const REPEATS = 5;
const TARGET = { atMost: 1.15 };

export function run(): { rows: Row[] } {
  return {
    rows: [
      ...grow('reading', (times) => {
        const bytes = new TextEncoder().encode(logText({ passS: 444, passes: 54 * times }));
        const source = { name: 'log.csv', size: bytes.length, chunks: () => [bytes] };
        return [459 * 54 * times, () => mustBe(drive(readBundle({ name: 'log.csv', parts: [source] }, {})))];
      }),
      ...grow('harvest path', (times) => {
        const log = inventedLog({ passS: 444, passes: 54 * times });
        return [log.count, () => retrace(log)];
      }),
      ...grow('seed movement, three species', (times) => {
        const input = movementField(25_000 * times, 3, 0);
        return [25_000 * times, () => move(input)];
      }),
      ...grow('study of a farm of 1, 2, 4, 8 fields', (times) => {
        const { farm, attachments, records } = inventedFarm(times);
        return [records, () => study(farm, attachments)];
      }),
    ],
  };
}

type Work = readonly [records: number, job: () => unknown];

function grow(what: string, make: (times: number) => Work): Row[] {
  const works = TIMES.map(make);
  const jobs = works.map(([, job], i): Job => ({ name: `${TIMES[i]}×`, run: job }));
  const timings = timeInTurn(jobs, REPEATS);
  const sizes = works.map(([records]) => records);
  const exponent = growthExponent(
    sizes,
    timings.map((one) => one.cpuS),
  );
  console.log(`${what}: CPU time grows with the records to the power ${exponent.toFixed(2)}`);
  timings.forEach(({ cpuS, minS }, i) => {
    const each = short(sizes[i]! / cpuS);
    console.log(
      `  ${jobs[i]!.name.padEnd(3)} ${short(sizes[i]!).padStart(8)} records  CPU ${cpuS.toFixed(3).padStart(7)} s  clock ${minS.toFixed(3).padStart(7)} s  ${each.padStart(9)} records/s of CPU`,
    );
  });
  return [
    row(`${what}: growth exponent`, exponent, '', TARGET),
    row(`${what}: at eight times`, sizes.at(-1)! / timings.at(-1)!.cpuS, 'records/s of CPU'),
  ];
}

function study(farm: Farm, attachments: ReadonlyMap<string, Uint8Array>): unknown {
  const store = memoryStore();
  const door = {
    open(sha256: string, name: string) {
      const bytes = attachments.get(sha256);
      return bytes ? { name, size: bytes.length, chunks: () => [bytes] } : null;
    },
  };
  const { study: told } = drive(studyFarm(startRunner(farm, door, store)));
  const refused = told.problems.filter((one) => one.level === 'error');
  if (refused.length > 0) throw new Error(refused.map((one) => one.text).join('\n'));
  if (told.fields.length !== farm.fields.length || told.fields.some((one) => one.rank === null))
    throw new Error(
      `expected ${farm.fields.length} ranked fields, got ${told.fields.map((one) => one.rank).join(', ')}`,
    );
  return told;
}

function mustBe(outcome: { ok: boolean; problems: readonly { text: string }[] }): void {
  if (!outcome.ok) throw new Error(outcome.problems[0]?.text);
}
