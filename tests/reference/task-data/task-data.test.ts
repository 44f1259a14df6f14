import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { groupIntoBundles } from '../../../shared/import/bundles.ts';
import type { Bundle } from '../../../shared/import/importer.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import { readTimeLogHeader } from '../../../shared/import/time-log-header.ts';
import { readTimeLog, type TimeLogEnd } from '../../../shared/import/time-log-records.ts';
import { instantText } from '../../../shared/units/calendar.ts';
import { boundariesIn, sourceOf } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { codes, drive, recordsOf, told } from '../../support/import-text.ts';
import { realDataPath } from '../../support/real-data.ts';

const folderOf = (sample: string) => realDataPath(`iso11783/samples/${sample}`);

/** The logs of a set with what belongs to them; its fields stand before them. */
function bundleOf(folder: string): Bundle {
  const names = readdirSync(folder).filter((name) => /\.\w+$/.test(name));
  return groupIntoBundles(names.map((name) => sourceOf(name, readFileSync(join(folder, name)), 1 << 16))).at(-1)!;
}

/** Last raw value of each entry of the dictionary, least and greatest of one, and the end of the log. */
function decode(folder: string, log: string) {
  const name = readdirSync(folder).find((one) => one.toUpperCase() === `${log}.XML`)!;
  const header = readTimeLogHeader(readFileSync(join(folder, name)), name);
  if (!header.ok) throw new Error(header.problems[0]!.text);
  const last = new Map<number, number>();
  const range = new Map<number, [number, number]>();
  const stem = name.slice(0, -4);
  const bytes = ['bin', 'BIN'].map((ending) => `${stem}.${ending}`).find((one) => readdirSync(folder).includes(one))!;
  const reading = readTimeLog(sourceOf(bytes, readFileSync(join(folder, bytes)), 777), header.value, (record) => {
    for (let n = 0; n < record.count; n++) {
      const { ddi } = header.value.values[record.index[n]!]!;
      const value = record.value[n]!;
      last.set(ddi, value);
      const [low, high] = range.get(ddi) ?? [value, value];
      range.set(ddi, [Math.min(low, value), Math.max(high, value)]);
    }
  });
  return { last, range, end: drive(reading) as TimeLogEnd };
}

/** log, records, first and last by the machine's clock, box, widths mm, last total kg, last total m². */
const FORAGE = [
  [
    'TLG00001',
    4716,
    '17:30:20',
    '19:10:53',
    [54.5807017, 54.5830756],
    [10.2068501, 10.2119904],
    [3000, 9000],
    259618,
    48300,
  ],
  [
    'TLG00002',
    4135,
    '19:22:09',
    '20:51:29',
    [54.5716127, 54.5736787],
    [10.1982592, 10.2017839],
    [4500, 9000],
    242481,
    40500,
  ],
  [
    'TLG00003',
    1599,
    '20:58:32',
    '21:33:13',
    [54.5677824, 54.5693064],
    [10.2132696, 10.2154289],
    [2250, 9000],
    91885,
    19500,
  ],
  [
    'TLG00004',
    2496,
    '21:44:28',
    '22:38:44',
    [54.5659409, 54.5680987],
    [10.2099542, 10.2130651],
    [3000, 9000],
    167911,
    30100,
  ],
  [
    'TLG00005',
    1785,
    '22:54:30',
    '23:33:10',
    [54.5703672, 54.5722544],
    [10.1867035, 10.1884201],
    [1500, 9000],
    99312,
    18000,
  ],
] as const;

describe('a season of five fields (log-forage-5)', () => {
  const folder = folderOf('log-forage-5');
  test.skipIf(folder === null)('each log has the records, totals and widths of the independent decoder', () => {
    for (const [log, records, , , , , widths, totalKg, totalM2] of FORAGE) {
      const { last, range, end } = decode(folder!, log);
      expect(end).toEqual({ records, broken: [], leftBytes: 0 });
      expect(last.get(0x5a)).toBe(totalKg);
      expect(last.get(0x74)).toBe(totalM2);
      expect(range.get(0x43)).toEqual(widths);
    }
  });
  test.skipIf(folder === null)(
    'is one harvest log of 14 731 records, none dropped, with the times and boxes stated',
    () => {
      const outcome = drive(readBundle(bundleOf(folder!), {}));
      const log = recordsOf(outcome, 'harvest log');
      expect(log.count).toBe(14_731);
      expect(codes(outcome)).toEqual(['time-zone']);
      let from = 0;
      for (const [, records, first, last, lat, lon] of FORAGE) {
        const to = from + records;
        expect(instantText(log.timeS[from]!)).toBe(`2020-01-02T${first}Z`);
        expect(instantText(log.timeS[to - 1]!)).toBe(`2020-01-02T${last}Z`);
        const within = (values: Float64Array) => {
          const part = values.subarray(from, to);
          return [Math.min(...part), Math.max(...part)];
        };
        expect(within(log.lat)).toEqual([...lat]);
        expect(within(log.lon)).toEqual([...lon]);
        from = to;
      }
      expect(from).toBe(log.count);
    },
  );
  test.skipIf(folder === null)(
    'mass a time over the seconds of the records comes to the totals that the machine counted',
    () => {
      const log = recordsOf(drive(readBundle(bundleOf(folder!), {})), 'harvest log');
      let from = 0;
      for (const [, records, , , , , , totalKg] of FORAGE) {
        let kg = 0;
        for (let i = from; i + 1 < from + records; i++) {
          kg += log.flowKgS[i]! * (log.timeS[i + 1]! - log.timeS[i]!);
        }
        closeTo(kg, totalKg, {
          within: 0.002 * totalKg,
          because: 'flow is logged when it changes, the total counts between; grain still flows when the header is up',
        });
        from += records;
      }
    },
  );
});

describe('other samples', () => {
  const totals = folderOf('log-totals-3');
  test.skipIf(totals === null)(
    'a log of events without values is left out, told; the two others come whole (log-totals-3)',
    () => {
      expect(decode(totals!, 'TLG00001').end).toEqual({ records: 314, broken: [], leftBytes: 0 });
      expect(decode(totals!, 'TLG00003').end).toEqual({ records: 4336, broken: [], leftBytes: 0 });
      const outcome = drive(readBundle(bundleOf(totals!), {}));
      expect(recordsOf(outcome, 'harvest log').count).toBe(314 + 4336);
      expect(told(outcome, 'log-of-other-work').text).toContain('27 records');
      if (outcome.ok) expect(outcome.value.reading).toMatchObject({ rows: 314 + 27 + 4336, unusedRows: 27 });
    },
  );
  const outer = folderOf('log-external-files');
  test.skipIf(outer === null)(
    'parts in fourteen files and a log with every field of the position (log-external-files)',
    () => {
      expect(decode(outer!, 'TLG00001').end).toEqual({ records: 207, broken: [], leftBytes: 0 });
      const outcome = drive(readBundle(bundleOf(outer!), {}));
      expect(told(outcome, 'no-harvest-log').text).toContain('018D');
      expect(codes(outcome)).not.toContain('task-part-missing');
      const asked = drive(readBundle(bundleOf(outer!), { as: 'harvest log' }));
      expect(recordsOf(asked, 'harvest log').count).toBe(207);
    },
  );
  const missing = folderOf('files/external-missing');
  test.skipIf(missing === null)('a missing part is told, not a crash (files/external-missing)', () => {
    const outcome = drive(readBundle(bundleOf(missing!), {}));
    expect(told(outcome, 'task-part-missing').where?.file).toMatch(/\.XML$/);
    expect(boundariesIn(outcome).features.length).toBeGreaterThan(0);
  });
  for (const sample of [
    'grid/type1-a',
    'grid/type2-b',
    'minimal/grid2-v4/TASKDATA',
    'task-full/TASKDATA',
    'files/wrong-ids',
  ]) {
    const folder = folderOf(sample);
    test.skipIf(folder === null)(`no log in ${sample}: said, with what it holds`, () => {
      expect(codes(drive(readBundle(bundleOf(folder!), {})))).toContain('no-time-logs');
    });
  }
});
