import { describe, expect, test } from 'vitest';
import { writeArchive } from '../../../shared/import/archive.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import { closeTo } from '../../support/close-to.ts';
import { codes, drive, recordsOf, told } from '../../support/import-text.ts';
import { given, onBench } from '../../support/review-bench.ts';
import {
  combineRecords,
  headerXml,
  type MadeRecord,
  type MadeValue,
  recordBytes,
  SMALL_SET,
  taskBundle,
  taskFile,
} from '../../support/task-data.ts';

type Files = Readonly<Record<string, string | Uint8Array>>;
const oneLog = (values: readonly MadeValue[], records: readonly MadeRecord[]): Files => ({
  ...SMALL_SET,
  'TLG00001.XML': headerXml(values),
  'TLG00001.BIN': recordBytes(records),
});
const read = (files: Files, wishes: ReadingWishes = {}) => drive(readBundle(taskBundle(files), wishes));
const logOf = (files: Files, wishes: ReadingWishes = {}) => recordsOf(read(files, wishes), 'harvest log');
const float = { within: 1e-5, because: 'stored as 32-bit float' };
/** Mass a time alone: neither moisture nor width. */
const MASS_ALONE = oneLog(
  [['0057', 'DET-1']],
  combineRecords(5).map((one) => ({ ...one, values: { 0: 8_500_000 } })),
);

describe('one value that a person says', () => {
  test('stands for moisture and width that are not logged, goes before the machine’s description, and is told', () => {
    const outcome = read(MASS_ALONE, { columns: { moisture: '=17 %', swath: '= 30 ft' } });
    const log = recordsOf(outcome, 'harvest log');
    closeTo(log.moistureFraction[4]!, 0.17, float);
    closeTo(log.swathM[0]!, 9.144, float);
    expect(told(outcome, 'moisture-said').text).toBe('5 records log no moisture: 17 % is taken, as you said.');
    expect(told(outcome, 'width-said').text).toContain('30 ft');
    expect(codes(outcome)).not.toContain('no-moisture');
    if (outcome.ok)
      expect(outcome.value.reading.columns['moisture']).toMatchObject({ column: '=17 %', unit: '%', by: 'person' });
  });

  test('never stands against what is logged', () => {
    const outcome = read(SMALL_SET, { columns: { moisture: '=10 %', swath: '=5 m' } });
    closeTo(recordsOf(outcome, 'harvest log').moistureFraction[0]!, 0.175, float);
    closeTo(recordsOf(outcome, 'harvest log').swathM[0]!, 9, float);
    expect(codes(outcome)).toEqual(['time-zone']);
  });

  test.each([
    ['moisture', '=17', 'it has no unit'],
    ['moisture', '=170 %', 'between 0 and 100'],
    ['moisture', '=wet', 'it is no number'],
    ['moisture', 'Moist', 'begins with "="'],
    ['swath', '=30 acres', 'is no unit of it'],
    ['swath', '=300 ft', 'between 0 and 25 m'],
    ['density', '=5 lb/bu', '150 to 1800 kg/m³'],
  ])('is refused where it means nothing: %s %s', (id, wish, why) => {
    const outcome = read(MASS_ALONE, { columns: { [id]: wish } });
    expect(told(outcome, 'said-value')).toMatchObject({ level: 'error' });
    expect(told(outcome, 'said-value').text).toContain(why);
    expect(recordsOf(outcome, 'harvest log').count).toBe(5);
  });

  test('can be typed in the review where the log lacks it, and only there', () => {
    const files = Object.entries(MASS_ALONE).map(([name, content]) => given(name, content));
    const { reviews, bench, ids } = onBench(files);
    const offered = () => reviews[0]!.columns.filter((one) => one.taken === null).map((one) => one.id);
    expect(offered()).toEqual(['moisture', 'swath']);
    const said = drive(bench.read(ids[0]!, { columns: { moisture: '=17 %' } }));
    const moisture = said.columns.find((one) => one.id === 'moisture')!;
    expect(moisture).toMatchObject({ title: 'moisture', quantity: 'fraction', taken: { by: 'person' } });
    const whole = onBench(Object.entries(SMALL_SET).map(([name, content]) => given(name, content))).reviews[0]!;
    expect(whole.columns.filter((one) => one.taken === null)).toEqual([]);
  });
});

describe('volume alone', () => {
  const records = (value: (i: number) => number) =>
    combineRecords(5).map((one, i) => ({ ...one, values: { 0: value(i) } }));
  /** 56 lb a bushel of 2150.42 cubic inches. */
  const KG_M3 = (56 * 0.45359237) / (2150.42 * 0.0254 ** 3);
  const density = { columns: { density: '=56 lb/bu' } };

  test.each<[string, string, (i: number) => number, number]>([
    ['a flow of 12 L/s (0056)', '0056', () => 12_000, 0.012 * KG_M3],
    ['a total that grows by 12 L a second (0059)', '0059', (i) => 100 + 12 * i, 0.012 * KG_M3],
  ])('%s is mass by the weight that was said', (_, ddi, value, kgS) => {
    const files = oneLog([[ddi, 'DET-1']], records(value));
    const outcome = read(files, density);
    closeTo(recordsOf(outcome, 'harvest log').flowKgS[2]!, kgS, { ...float, within: 1e-3 });
    expect(told(outcome, 'flow-from-volume').text).toContain('× 56 lb/bu, as you said');
    expect(told(read(files), 'flow-missing').hint).toContain('Say how heavy the grain is');
    expect(logOf(files).flowKgS.every(Number.isNaN)).toBe(true);
  });

  test('yield by volume (0053) is mass × width × speed', () => {
    const files = oneLog(
      [
        ['0053', 'DET-1'],
        ['0043', 'DET-1'],
        ['018D', 'DET-1'],
      ],
      combineRecords(4).map((one) => ({ ...one, values: { 0: 1200, 1: 9000, 2: 2000 } })),
    );
    closeTo(logOf(files, density).flowKgS[1]!, 1200e-6 * KG_M3 * 9 * 2, { ...float, within: 1e-3 });
  });

  test('the weight is not asked of a log that weighs, and changes nothing in it', () => {
    expect(logOf(SMALL_SET, density)).toEqual(logOf(SMALL_SET));
  });

  test('the weight can be typed in the review', () => {
    const files = oneLog(
      [['0056', 'DET-1']],
      records(() => 12_000),
    );
    const [review] = onBench(Object.entries(files).map(([name, content]) => given(name, content))).reviews;
    expect(review!.columns.filter((one) => one.taken === null).map((one) => one.id)).toContain('density');
  });
});

describe('a clock of whole minutes', () => {
  const coarse = (count: number) =>
    combineRecords(count).map((one) => ({ ...one, ms: Math.floor(one.ms / 60_000) * 60_000 }));
  const values: readonly MadeValue[] = [
    ['0057', 'DET-1'],
    ['0063', 'DET-1'],
    ['0043', 'DET-2'],
    ['008D', 'DET-1'],
  ];

  test('is spread over the minute by the order of its records, and says so', () => {
    const outcome = read(oneLog(values, coarse(200)));
    const { timeS } = recordsOf(outcome, 'harvest log');
    const exact = logOf(oneLog(values, combineRecords(200))).timeS;
    timeS.forEach((time, i) => expect(Math.abs(time - exact[i]!)).toBeLessThan(1e-6));
    expect(told(outcome, 'clock-coarse')).toMatchObject({ level: 'warning' });
    expect(told(outcome, 'clock-coarse').text).toContain(
      'TLG00001: its clock gives whole minutes, up to 60 records each',
    );
  });

  test('a total still gives a flow', () => {
    const records = coarse(200).map((one, i) => ({ ...one, values: { 0: 100 + 8 * i } }));
    const { flowKgS } = logOf(oneLog([['005A', 'DET-1']], records));
    closeTo(flowKgS[100]!, 8, { within: 1e-4, because: 'steps of a second, to the rounding of times' });
  });
});

test('a set of several hundred logs in one .zip is read', () => {
  const names = Array.from({ length: 300 }, (_, n) => `TLG${String(n + 1).padStart(5, '0')}`);
  const entries = names.flatMap((name, n) => [
    { name: `TASKDATA/${name}.XML`, bytes: new TextEncoder().encode(headerXml([['0057', 'DET-1']])) },
    {
      name: `TASKDATA/${name}.BIN`,
      bytes: recordBytes(
        combineRecords(2, { ms: 30_000_000 + n * 10_000 }).map((one) => ({ ...one, values: { 0: 5 } })),
      ),
    },
  ]);
  const task = taskFile(names.map((log) => ({ log })));
  entries.push({ name: 'TASKDATA/TASKDATA.XML', bytes: new TextEncoder().encode(task) });
  const { reviews } = onBench([given('set.zip', writeArchive(entries))]);
  expect(reviews).toHaveLength(1);
  expect(reviews[0]).toMatchObject({ isRead: true, kind: 'harvest log', rows: 600 });
});
