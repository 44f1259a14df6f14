/**
 * A large farm by the command line: fields of 200 000 records each, taken in and studied, each run in a process of its own. How time grows
 * from a few fields to many, and that memory stays bounded. MANY_FIELDS sets the most (50: ten million records, many minutes).
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { commandLine } from './built.mjs';
import { LARGE_LOG_RECORDS as RECORDS, writeLargeFarm } from './large-farm.ts';
import { addUsage, runMeasured, tellUsage, type Usage } from './measured-child.ts';
import { type Row, row } from './row.ts';

const MOST = Number(process.env['MANY_FIELDS'] ?? 50);
const SIZES = [Math.max(1, Math.round(MOST / 5)), MOST];
const TARGET_MIB = 1.5 * 1024;
const TARGET_EXPONENT = 1.15;

export function run(): { rows: Row[] } {
  const used = SIZES.map(studied);
  const [few, many] = used as [Usage, Usage];
  const times = SIZES[1]! / SIZES[0]!;
  const exponent = Math.log(many.cpuS / few.cpuS) / Math.log(times);
  const records = SIZES[1]! * RECORDS;
  return {
    rows: [
      row(`${SIZES[1]} fields, ${records} records, new, add and study: time`, many.wallS, 's'),
      row('the same: records a CPU second', records / many.cpuS, 'records/s'),
      row('the same: peak memory', many.peakMiB, 'MiB', { atMost: TARGET_MIB }),
      row(`growth of CPU time from ${SIZES[0]} fields, exponent`, exponent, '', { atMost: TARGET_EXPONENT }),
    ],
  };
}

function studied(fields: number): Usage {
  const folder = mkdtempSync(join(tmpdir(), 'seedfall-many-'));
  try {
    const raw = join(folder, 'raw');
    mkdirSync(raw);
    const files = writeLargeFarm(raw, fields);
    const farm = join(folder, 'farm');
    const made = runMeasured(commandLine, ['new', farm]);
    const added = runMeasured(commandLine, ['add', farm, ...files, '--json']);
    const { refused } = JSON.parse(added.stdout) as { refused: number };
    if (refused > 0) throw new Error(`${refused} of ${files.length} files were refused`);
    const study = runMeasured(commandLine, ['study', farm, '--json']);
    const all = addUsage([made, added, study]);
    console.log(`${fields} fields of ${RECORDS} records: ${tellUsage(all)}; the study alone ${tellUsage(study)}`);
    return all;
  } finally {
    rmSync(folder, { recursive: true });
  }
}
