/**
 * How often the range of the infested area holds the truth: the experiment of methods-spatial §8 with the tool's own code, on
 * seeded fields whose truth is known, beside the rows of tests/reference/infested-area/exact-coverage.json (other fields of
 * the same kinds, other code). Runs only when named: `npm run bench infested-cover`; INFESTED_COVER_FIELDS=60 for as many
 * fields a row as the reference has (hours), 4 where omitted (minutes). What was worked out is kept under .cache/bench as
 * long as the code is the same, so that a run that was ended goes on where it was.
 * "whole": of the whole field, as the reference scores it. "known": of the ground that the tool calls known (§9).
 */
import { createHash } from 'node:crypto';
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Truth } from '../support/simulated-truths.ts';
import { TRUTHS } from '../support/simulated-truths.ts';
import { buildProgram, workFolder } from './built.mjs';
import type { CoverResult, CoverTask } from './infested-cover-field.ts';
import type { CoverRow } from './infested-cover-tables.ts';
import { coverRows, followsTable, pathTable, rangeTable, said } from './infested-cover-tables.ts';
import type { Row } from './row.ts';

const FIELDS = Number(process.env['INFESTED_COVER_FIELDS'] ?? 4);
const SEED = 1;
const MOST_THREADS = 2;

type Done = CoverTask & { readonly results: readonly CoverResult[] };

export async function run(): Promise<{ rows: Row[] }> {
  if (!Number.isInteger(FIELDS) || FIELDS < 1)
    throw new Error(`INFESTED_COVER_FIELDS: expected a whole number of fields a row, got ${FIELDS}`);
  const program = await buildProgram('tests/bench/infested-cover-worker.ts', 'infested-cover');
  const kept = keptResults(program);
  const tasks = Array.from({ length: FIELDS }, (_, replicate) =>
    (Object.keys(TRUTHS) as Truth[]).map((truth) => ({ truth, replicate, seed: SEED })),
  ).flat();
  const nameOf = ({ truth, replicate, seed }: CoverTask): string => `${truth} ${replicate} ${seed}`;
  const known = new Map(kept.read().map((done) => [nameOf(done), done]));
  const left = tasks.filter((task) => !known.has(nameOf(task)));
  console.log(`${tasks.length} fields, ${tasks.length - left.length} of them from a run before`);
  await inThreads(program, left, (done) => {
    known.set(nameOf(done), done);
    kept.add(done);
    console.log(`  ${known.size} of ${tasks.length}: ${done.truth} ${done.replicate + 1}, ${said(done.results)}`);
  });
  const results: CoverRow[] = tasks.flatMap(({ truth, replicate, seed }) =>
    known.get(nameOf({ truth, replicate, seed }))!.results.map((one) => ({ ...one, truth })),
  );
  rangeTable(results);
  pathTable(results);
  followsTable(results);
  return { rows: coverRows(results) };
}

/** Results of the same code, one line a field. */
function keptResults(program: string) {
  const folder = join(workFolder, 'infested-cover-kept');
  mkdirSync(folder, { recursive: true });
  const file = join(folder, `${createHash('sha256').update(readFileSync(program)).digest('hex').slice(0, 12)}.jsonl`);
  return {
    read: (): Done[] => {
      if (!existsSync(file)) return [];
      const text = readFileSync(file, 'utf8');
      // a line without its end was cut off when a run was ended
      const whole = text.slice(0, text.lastIndexOf('\n') + 1);
      if (whole !== text) writeFileSync(file, whole);
      return whole
        .split('\n')
        .slice(0, -1)
        .map((line) => JSON.parse(line) as Done);
    },
    add: (done: Done): void => appendFileSync(file, `${JSON.stringify(done)}\n`),
  };
}

async function inThreads(program: string, tasks: CoverTask[], done: (one: Done) => void): Promise<void> {
  const waiting = [...tasks];
  const threads = Math.min(MOST_THREADS, availableParallelism(), tasks.length);
  await Promise.all(
    Array.from(
      { length: threads },
      () =>
        new Promise<void>((resolve, reject) => {
          const worker = new Worker(program);
          const next = (): void => {
            const task = waiting.shift();
            if (task) worker.postMessage(task);
            else void worker.terminate().then(() => resolve());
          };
          worker.on('error', reject);
          worker.on('message', ({ task, results }: { task: CoverTask; results: CoverResult[] }) => {
            done({ ...task, results });
            next();
          });
          next();
        }),
    ),
  );
}
