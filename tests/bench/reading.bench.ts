/**
 * Reading harvest logs: records a second of a metric and of a US log, beside papaparse, which only cuts the same text into
 * cells; then files of 75 and 300 MB from disk, to see that memory grows with the records kept and not with the file.
 */
import { closeSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse/papaparse.js';
import { readBundle } from '../../shared/import/importers.ts';
import type { HarvestLogRecords } from '../../shared/model/records.ts';
import { run as drive } from '../support/run.ts';
import { COMBINE_VALUES, combineRecords, headerXml, recordBytes, SMALL_SET, taskBundle } from '../support/task-data.ts';
import { buildProgram, sampleFolder, workFolder } from './built.mjs';
import { runMeasured } from './measured-child.ts';
import { type Row, row, short } from './row.ts';
import { tell, timeInTurn } from './timing.ts';

const REPEATS = 9;
const LOGS = [
  ['metric log', 'home.csv'],
  ['US log', 'north-flat.csv'],
] as const;
const MB = 1e6;

export async function run(): Promise<{ rows: Row[] }> {
  const harvest = join(sampleFolder(), 'files', 'harvest-2026');
  const rows: Row[] = [];
  for (const [what, file] of LOGS) rows.push(...besideAnotherReader(what, file, readFileSync(join(harvest, file))));
  rows.push(taskData());
  rows.push(...(await fromDisk(readFileSync(join(harvest, 'home.csv')))));
  return { rows };
}

function besideAnotherReader(what: string, file: string, bytes: Uint8Array): Row[] {
  const text = new TextDecoder().decode(bytes);
  const read = () => {
    const source = { name: file, size: bytes.length, chunks: () => [bytes] };
    const outcome = drive(readBundle({ name: file, parts: [source] }, {}));
    if (!outcome.ok) throw new Error(`${file} was refused: ${outcome.problems[0]?.text}`);
    return outcome.value.records as HarvestLogRecords;
  };
  const delimiter = text.slice(0, text.indexOf('\n')).includes(';') ? ';' : ',';
  const cut = () => Papa.parse(text.trimEnd(), { delimiter, newline: '\n' }).data;
  const records = read().count;
  const lines = cut().length - 1;
  if (records !== lines) throw new Error(`${file}: ${records} records here, ${lines} lines by the other reader`);

  const [ours, theirs] = timeInTurn(
    [
      { name: 'ours', run: read },
      { name: 'papaparse', run: cut },
    ],
    REPEATS,
  );
  const ratio = theirs!.cpuS / ours!.cpuS;
  console.log(`${what}, ${short(records)} records, ${(bytes.length / MB).toFixed(1)} MB`);
  console.log(`  read into typed columns   ${tell(ours!)}; ${short(records / ours!.cpuS)} records/s of CPU`);
  console.log(`  papaparse, cells only     ${tell(theirs!)}; ${short(records / theirs!.cpuS)} records/s of CPU`);
  console.log(`  ratio papaparse / ours, CPU time: ${ratio.toFixed(2)}`);
  return [
    row(`reading, ${what}`, records / ours!.cpuS, 'records/s of CPU'),
    row(`reading, ${what}: CPU time of papaparse (cells only) over ours`, ratio, ''),
  ];
}

const TASK_RECORDS = 200_000;

/** A time log of 200 000 records, four values in each. */
function taskData(): Row {
  const records = combineRecords(TASK_RECORDS).map((one, i) => ({
    ...one,
    ms: 20_000_000 + i * 200,
    values: { 0: 8_000_000 + (i % 977) * 1000, 1: 175_000 + (i % 89), 2: 9000, 3: 1 },
  }));
  const bundle = taskBundle(
    { ...SMALL_SET, 'TLG00001.XML': headerXml(COMBINE_VALUES), 'TLG00001.BIN': recordBytes(records) },
    1 << 20,
  );
  const read = () => {
    const outcome = drive(readBundle(bundle, {}));
    if (!outcome.ok) throw new Error(`the task set was refused: ${outcome.problems[0]?.text}`);
    return (outcome.value.records as HarvestLogRecords).count;
  };
  if (read() !== TASK_RECORDS) throw new Error(`${read()} of ${TASK_RECORDS} records were read`);
  const [ours] = timeInTurn([{ name: 'ours', run: read }], REPEATS);
  console.log(
    `task data, ${short(TASK_RECORDS)} records: ${tell(ours!)}; ${short(TASK_RECORDS / ours!.cpuS)} records/s of CPU`,
  );
  return row('reading, task data', TASK_RECORDS / ours!.cpuS, 'records/s of CPU');
}

async function fromDisk(log: Uint8Array): Promise<Row[]> {
  const program = await buildProgram('tests/bench/read-file.ts', 'read-file');
  const read = (bytes: number) => {
    const file = join(workFolder, `long-log-${bytes / MB}.csv`);
    try {
      const written = writeLong(file, log, bytes);
      const { stdout, ...usage } = runMeasured(program, [file]);
      const told = JSON.parse(stdout) as { seconds: number; records: number; columnBytes: number };
      const columnsMiB = told.columnBytes / 2 ** 20;
      console.log(
        `${(written / MB).toFixed(0)} MB from disk: ${short(told.records)} records in ${told.seconds.toFixed(1)} s (CPU ${usage.cpuS.toFixed(1)} s), ` +
          `peak memory ${usage.peakMiB.toFixed(0)} MiB, of which ${columnsMiB.toFixed(0)} MiB are the columns kept`,
      );
      return { ...usage, ...told, written };
    } finally {
      rmSync(file, { force: true });
    }
  };
  const quarter = read(75 * MB);
  const whole = read(300 * MB);
  const perRecord = (2 ** 20 * (whole.peakMiB - quarter.peakMiB)) / (whole.records - quarter.records);
  const kept = whole.columnBytes / whole.records;
  console.log(
    `from 75 to 300 MB the peak grows by ${short(perRecord)} bytes a record; a line has ${short(whole.written / whole.records)}, the columns kept ${short(kept)}`,
  );
  return [
    row('300 MB from disk', whole.records / whole.cpuS, 'records/s of CPU'),
    row('300 MB from disk: peak memory', whole.peakMiB, 'MiB'),
    row('300 MB from disk: peak memory over the columns kept', (2 ** 20 * whole.peakMiB) / whole.columnBytes, ''),
  ];
}

/** The log's lines over and over under one header; gives the bytes written. */
function writeLong(file: string, log: Uint8Array, bytes: number): number {
  const afterHeader = log.indexOf(10) + 1;
  const handle = openSync(file, 'w');
  try {
    let written = writeSync(handle, log, 0, afterHeader);
    while (written < bytes) written += writeSync(handle, log, afterHeader, log.length - afterHeader);
    return written;
  } finally {
    closeSync(handle);
  }
}
