/**
 * A large farm by the command line: fields of 200 000 records each, taken in and studied, each run in a process of its own. How time grows
 * from a few fields to many, and that memory stays bounded. MANY_FIELDS sets the most (50: ten million records, many minutes).
 */
import { closeSync, mkdirSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import { inventedFrame } from '../support/invented-log.ts';
import { logText } from './invented-farm.ts';
import { commandLine } from './built.mjs';
import { addUsage, runMeasured, tellUsage, type Usage } from './measured-child.ts';
import { type Row, row } from './row.ts';

const MOST = Number(process.env['MANY_FIELDS'] ?? 50);
const SIZES = [Math.max(1, Math.round(MOST / 5)), MOST];
const LOG = { passS: 444, passes: 436 };
const RECORDS = LOG.passes * 459;
const [WIDE_M, HIGH_M] = [LOG.passS * 1.8, LOG.passes * 8.64 + 9];
const DAY_S = 86_400;
/** Degrees from one field to the next. */
const APART_DEG = 0.02;
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
    const files = written(raw, fields);
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

/** Boundaries, crops, a rating a field, and a log a field; one field after the other, so that their text is never together. */
function written(folder: string, fields: number): string[] {
  const numbers = Array.from({ length: fields }, (_, at) => at);
  const named = (at: number) => `Field ${at + 1}`;
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
  };
  const files = [
    put('boundaries.geojson', JSON.stringify({ type: 'FeatureCollection', features: numbers.map(boundary) })),
    put(
      'crops.csv',
      ['Field,Year,Crop,Planted', ...numbers.map((at) => `${named(at)},2020,corn,2020-05-01`)].join('\n'),
    ),
    put(
      'ratings.csv',
      [
        'field,date,species,rating',
        ...numbers.map((at) => `${named(at)},2020-08-01,waterhemp,${at % 3 === 0 ? 'none seen' : 'patches'}`),
      ].join('\n'),
    ),
  ];
  for (const at of numbers) {
    const file = join(folder, `harvest-${at + 1}.csv`);
    const out = openSync(file, 'w');
    writeSync(out, logText(LOG, at * APART_DEG, at + 1, at * 3 * DAY_S));
    closeSync(out);
    files.push(file);
  }
  return files;

  function boundary(at: number): object {
    const frame = createFrame([inventedFrame.toLonLat(0, 0)[0] + at * APART_DEG, inventedFrame.toLonLat(0, 0)[1]]);
    const ring = [
      [-2, -2],
      [WIDE_M + 2, -2],
      [WIDE_M + 2, HIGH_M + 2],
      [-2, HIGH_M + 2],
      [-2, -2],
    ].map(([x, y]) => frame.toLonLat(x!, y!));
    return { type: 'Feature', properties: { name: named(at) }, geometry: { type: 'Polygon', coordinates: [ring] } };
  }
}
