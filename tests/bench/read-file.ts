/** Reads one file from disk in pieces, as the command line does, and prints what it took; built and run by reading.bench.ts. */
import { nodeHost } from '../../src/cli/node-host.ts';
import { readBundle } from '../../shared/import/importers.ts';
import type { HarvestLogRecords } from '../../shared/model/records.ts';
import { run } from '../support/run.ts';

const source = nodeHost().open(process.argv[2]!);
if (!source) throw new Error(`there is no file ${process.argv[2]}`);
const start = performance.now();
const outcome = run(readBundle({ name: source.name, parts: [source] }, {}));
if (!outcome.ok) throw new Error(outcome.problems.map((one) => one.text).join('\n'));
const records = outcome.value.records as HarvestLogRecords;
const columns = Object.values(records).filter((value) => ArrayBuffer.isView(value));
const columnBytes = columns.reduce((sum, column) => sum + column.byteLength, 0);
console.log(JSON.stringify({ seconds: (performance.now() - start) / 1000, records: records.count, columnBytes }));
