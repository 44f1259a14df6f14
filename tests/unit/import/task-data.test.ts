import { describe, expect, test } from 'vitest';
import { writeArchive } from '../../../shared/import/archive.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { dayNumberOf } from '../../../shared/units/calendar.ts';
import { closeTo } from '../../support/close-to.ts';
import { codes, drive, recordsOf, told } from '../../support/import-text.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { given, onBench } from '../../support/review-bench.ts';
import {
  COMBINE_VALUES,
  combineRecords,
  DAY,
  headerXml,
  type MadeRecord,
  recordBytes,
  SMALL_SET,
  taskBundle,
  taskFile,
} from '../../support/task-data.ts';

type Files = Readonly<Record<string, string | Uint8Array>>;
const read = (files: Files, wishes: ReadingWishes = {}, chunkBytes = 100) =>
  drive(readBundle(taskBundle(files, chunkBytes), wishes));
const logOf = (files: Files, wishes: ReadingWishes = {}) => recordsOf(read(files, wishes), 'harvest log');
const without = (files: Files, ...names: string[]): Files =>
  Object.fromEntries(Object.entries(files).filter(([name]) => !names.includes(name)));
const oneLog = (values: Parameters<typeof headerXml>[0], records: readonly MadeRecord[]): Files => ({
  ...SMALL_SET,
  'TLG00001.XML': headerXml(values),
  'TLG00001.BIN': recordBytes(records),
});
const float = { within: 1e-5, because: 'stored as 32-bit float: 6e-8 of the value' };
const noonS = dayNumberOf(2026, 10, 3) * 86_400 + 50_000;

describe('what is refused', () => {
  test('a set without time logs says what it holds instead', () => {
    const outcome = read({ 'TASKDATA.XML': taskFile([]) });
    expect(outcome.ok).toBe(false);
    expect(told(outcome, 'no-time-logs').hint).toContain('TLG00001.BIN');
  });
  test('a log of other work is refused with the entries that it holds, and read where a person says that it is a harvest', () => {
    const sprayed = oneLog(
      [['0002', 'DET-1']],
      combineRecords(5).map((one) => ({ ...one, values: { 0: 5 } })),
    );
    const outcome = read(sprayed);
    expect(outcome.ok).toBe(false);
    expect(told(outcome, 'no-harvest-log').text).toContain('0002');
    const asked = read(sprayed, { as: 'harvest log' });
    expect(recordsOf(asked, 'harvest log').count).toBe(5);
    expect(told(asked, 'flow-missing').text).toContain('no mass of grain');
  });
  test('a table of text that says it is a harvest log is still read as one', () => {
    const outcome = read(SMALL_SET, { as: 'boundaries' });
    expect(outcome.ok).toBe(true);
  });
});

describe('the smallest set', () => {
  test('is read record by record, the values held until they change', () => {
    const outcome = read(SMALL_SET);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(40);
    expect(log.timeS[0]).toBe(noonS);
    expect(log.timeS[39]).toBe(noonS + 39);
    closeTo(log.lat[1]! - log.lat[0]!, 1.8e-5, { within: 1e-9, because: 'positions have seven decimals' });
    closeTo(log.flowKgS[39]!, 8.5, float);
    closeTo(log.moistureFraction[39]!, 0.175, float);
    closeTo(log.swathM[39]!, 9, float);
    expect([...new Set(log.headerDown)]).toEqual([1]);
    expect([...log.row].slice(0, 3)).toEqual([1, 2, 3]);
    expect(log.crop).toBe('corn');
    expect(log.machine).toBeUndefined();
    expect(codes(outcome)).toEqual(['time-zone']);
    if (outcome.ok) {
      expect(outcome.value.reading).toMatchObject({ importer: 'task-data', rows: 40, unusedRows: 0 });
      expect(outcome.value.reading.why).toContain('version 4.3');
      expect(outcome.value.reading.why).toContain('West');
    }
  });
  test('its clock is local where a person says so', () => {
    expect(logOf(SMALL_SET, { utcOffsetMinutes: -300 }).timeS[0]).toBe(noonS + 5 * 3600);
    expect(codes(read(SMALL_SET, { utcOffsetMinutes: -300 }))).toEqual([]);
  });
  test.each([1, 7, 16, 21, 4096])('portions of %i bytes change nothing', (chunkBytes) => {
    expect(recordsOf(read(SMALL_SET, {}, chunkBytes), 'harvest log')).toEqual(logOf(SMALL_SET));
  });
  test('any case of names and version 3.3 give the same records', () => {
    const lower = Object.fromEntries(Object.entries(SMALL_SET).map(([name, content]) => [name.toLowerCase(), content]));
    expect(logOf(lower)).toEqual(logOf(SMALL_SET));
    const old = { ...SMALL_SET, 'TASKDATA.XML': taskFile([{ log: 'TLG00001' }], { version: [3, 3], crop: 'Corn' }) };
    expect(logOf(old)).toEqual({ ...logOf(SMALL_SET), crop: null });
  });
  test('further fields of the position are stepped over', () => {
    const files = {
      ...SMALL_SET,
      'TLG00001.XML': headerXml(COMBINE_VALUES, 'A="" B="" D="" E="" F="" G="" H="" I=""'),
      'TLG00001.BIN': recordBytes(combineRecords(40), 11),
    };
    expect(logOf(files)).toEqual(logOf(SMALL_SET));
  });
});

describe('what a log may hold', () => {
  test('flow from the growth of the total mass; a counter that starts anew is told with its record', () => {
    const totals = [100, 108, 108, 124, 3, 11];
    const outcome = read(
      oneLog(
        [['005A', 'DET-1']],
        combineRecords(6).map((one, i) => ({ ...one, values: { 0: totals[i]! } })),
      ),
    );
    const { flowKgS } = recordsOf(outcome, 'harvest log');
    expect([...flowKgS]).toEqual([8, 8, 8, 0, 8, 0]);
    expect(told(outcome, 'total-restarts')).toMatchObject({ where: { row: 5 } });
    expect(codes(outcome)).toContain('flow-from-total');
  });
  test('flow from yield × width × speed, the speed from places where none is logged', () => {
    const values = [
      ['0054', 'DET-1'],
      ['0043', 'DET-1'],
    ] as const;
    const records = combineRecords(5).map((one, i) => ({ ...one, values: i === 0 ? { 0: 900_000, 1: 9000 } : {} }));
    const outcome = read(oneLog(values, records));
    // 9 t/ha is 0.9 kg/m²; 1.8e-5 degrees are 2.0015 m.
    closeTo(recordsOf(outcome, 'harvest log').flowKgS[2]!, 0.9 * 9 * 2.0015, {
      within: 0.005,
      because: 'positions have seven decimals: 1 cm in 2 m',
    });
    expect(codes(outcome)).toContain('flow-from-yield');
  });
  test('dry mass is turned back to wet by both moistures', () => {
    const values = [
      ['00B6', 'DET-1'],
      ['00B8', 'DET-1', 155_000],
      ['0063', 'DET-1'],
    ] as const;
    const outcome = read(oneLog(values, combineRecords(3, { values: { 0: 8_000_000, 2: 200_000, 1: 155_000 } })));
    closeTo(recordsOf(outcome, 'harvest log').flowKgS[1]!, (8 * 0.845) / 0.8, float);
    expect(codes(outcome)).toContain('dry-yield');
  });
  test('yield by volume alone gives the path, and says that mass is not known', () => {
    const outcome = read(oneLog([['0056', 'DET-1']], combineRecords(3, { values: { 0: 9 } })));
    expect(recordsOf(outcome, 'harvest log').flowKgS[1]).toBeNaN();
    expect(told(outcome, 'flow-missing').text).toContain('volume');
  });
  test('work state 0 is up, 1 down; what is not known is taken as worked and counted', () => {
    const states = [undefined, 1, 0, 2, 1];
    const records = combineRecords(5).map((one, i) => ({
      ...one,
      values: states[i] === undefined ? { 0: 8e6 } : { 0: 8e6, 1: states[i] },
    }));
    const outcome = read(
      oneLog(
        [
          ['0057', 'DET-1'],
          ['008D', 'DET-1'],
        ],
        records,
      ),
    );
    expect([...recordsOf(outcome, 'harvest log').headerDown]).toEqual([1, 1, 0, 1, 1]);
    expect(told(outcome, 'header-state').text).toContain('2 records');
  });
  test('condensed states: any section at work is down, not installed is none', () => {
    const NONE = 3;
    const condensed = (...first: number[]) =>
      Array.from({ length: 16 }, (_, n) => first[n] ?? NONE).reduce((sum, state, n) => sum | (state << (2 * n)), 0);
    const states = [condensed(0, 0), condensed(0, 1), condensed(1, 1), condensed(0, 0)];
    const records = combineRecords(4).map((one, i) => ({ ...one, values: { 0: 8e6, 1: states[i]! } }));
    const files = oneLog(
      [
        ['0057', 'DET-1'],
        ['00A1', 'DET-2'],
      ],
      records,
    );
    expect([...logOf(files).headerDown]).toEqual([0, 1, 1, 0]);
  });
  test('no logged width: the description of the machine gives it, said; sections add up as they work', () => {
    const outcome = read(oneLog([['0057', 'DET-1']], combineRecords(3, { values: { 0: 8e6 } })));
    closeTo(recordsOf(outcome, 'harvest log').swathM[0]!, 9.144, float);
    expect(told(outcome, 'width-from-description').text).toContain('9.14 m');
    expect(told(outcome, 'no-moisture').text).toContain('TLG00001');
    const devices = `<DVC A="DVC-1" B="combine"><DET A="DET-1" B="1" C="1" D="machine" E="0" F="0"/>
<DET A="DET-2" B="2" C="4" D="left" E="1" F="1"><DOR A="50"/></DET><DET A="DET-3" B="3" C="4" D="right" E="2" F="1"><DOR A="51"/></DET>
<DPT A="50" B="0043" C="4000" D="w"/><DPT A="51" B="0043" C="5000" D="w"/></DVC>`;
    const bySection = {
      ...oneLog(
        [
          ['0057', 'DET-1'],
          ['008D', 'DET-2'],
          ['008D', 'DET-3'],
        ],
        [1, 2, 3].map((_, i) => ({
          ...combineRecords(3)[i]!,
          values: { 0: 8e6, 1: [1, 1, 0][i]!, 2: [1, 0, 0][i]! },
        })),
      ),
      'TASKDATA.XML': taskFile([{ log: 'TLG00001' }], { devices }),
    };
    const log = logOf(bySection);
    expect([...log.swathM].slice(0, 2)).toEqual([9, 4]);
    expect([...log.headerDown]).toEqual([1, 1, 0]);
  });
  test('impossible moisture and width are told with their record and left out', () => {
    const outcome = read(SMALL_SETWith({ 5: { 1: 1_750_000 }, 6: { 1: 175_000, 2: 90_000 }, 7: { 2: 9000 } }));
    const log = recordsOf(outcome, 'harvest log');
    expect(log.moistureFraction[5]).toBeNaN();
    expect(log.swathM[6]).toBeNaN();
    expect(log.swathM[7]).toBe(9);
    expect(told(outcome, 'moisture-range')).toMatchObject({ where: { row: 6 } });
    expect(told(outcome, 'width-range')).toMatchObject({ where: { row: 7 } });
  });
});

function SMALL_SETWith(changes: Readonly<Record<number, Record<number, number>>>): Files {
  const records = combineRecords(40).map((one, i) =>
    changes[i] ? { ...one, values: { ...one.values, ...changes[i] } } : one,
  );
  return { ...SMALL_SET, 'TLG00001.BIN': recordBytes(records) };
}

describe('missing parts and damage: told, and what is whole is read', () => {
  test('a part outside the task file is put in where it stood', () => {
    const whole = taskFile([{ log: 'TLG00001', field: 'West' }], { crop: 'Corn' });
    const task = /<TSK[^]*<\/TSK>/.exec(whole)![0];
    const files = {
      ...SMALL_SET,
      'TASKDATA.XML': whole.replace(task, '<XFR A="TSK00001" B="1"/>'),
      'tsk00001.xml': `<?xml version="1.0"?><XFC>${task}</XFC>`,
    };
    expect(logOf(files)).toEqual(logOf(SMALL_SET));
  });
  test('a missing part is named with what it holds; the logs are read', () => {
    const files = { ...SMALL_SET, 'TASKDATA.XML': taskFile([]).replace('</ISO', '<XFR A="TSK00001" B="1"/></ISO') };
    const outcome = read(files);
    expect(told(outcome, 'task-part-missing')).toMatchObject({ where: { file: 'TSK00001.XML' } });
    expect(told(outcome, 'task-part-missing').text).toContain('tasks');
    expect(told(outcome, 'log-without-task').text).toContain('TLG00001');
    expect(recordsOf(outcome, 'harvest log').count).toBe(40);
  });
  test('without TASKDATA.XML, or with a broken one, the logs are read all the same', () => {
    for (const files of [
      without(SMALL_SET, 'TASKDATA.XML'),
      { ...SMALL_SET, 'TASKDATA.XML': String(SMALL_SET['TASKDATA.XML']).slice(0, 300) },
    ]) {
      const outcome = read(files);
      expect(recordsOf(outcome, 'harvest log').count).toBe(40);
      expect(outcome.problems.some((one) => ['task-file-missing', 'xml-broken'].includes(one.code))).toBe(true);
      if (outcome.ok) expect(outcome.value.reading.why).toContain('without its task file');
    }
  });
  const two: Files = {
    ...SMALL_SET,
    'TASKDATA.XML': taskFile([
      { log: 'TLG00001', field: 'West' },
      { log: 'TLG00002', field: 'East', name: 'east side' },
    ]),
    'TLG00002.XML': headerXml(COMBINE_VALUES),
    'TLG00002.BIN': recordBytes(combineRecords(30, { ms: 60_000_000, lon: -93.9 })),
  };
  test('several logs come one after the other, their records numbered through', () => {
    const log = logOf(two);
    expect(log.count).toBe(70);
    expect([log.row[39], log.row[40], log.lon[40]]).toEqual([40, 41, -93.9]);
  });
  test.each([
    [['TLG00002.BIN'], 'log-missing', 'TLG00002.BIN of task east side is missing'],
    [['TLG00002.XML'], 'log-header-missing', 'TLG00002.XML of task east side is missing'],
    [['TLG00002.XML', 'TLG00002.BIN'], 'log-missing', 'neither .XML nor .BIN'],
  ])('without %j the other log is read, and it is told', (names, code, text) => {
    const outcome = read(without(two, ...names));
    expect(recordsOf(outcome, 'harvest log').count).toBe(40);
    expect(told(outcome, code).text).toContain(text);
  });
  test('a header that is cut makes its log unreadable, not the set', () => {
    const outcome = read({ ...two, 'TLG00002.XML': '<?xml version="1.0"?><TIM A=""><PTN A="" B' });
    expect(recordsOf(outcome, 'harvest log').count).toBe(40);
    expect(told(outcome, 'xml-broken').text).toContain('TLG00002.BIN cannot be read without it');
  });
  test('a truncated time log: its whole records are read, and the record that it ends in is named', () => {
    const bytes = SMALL_SET['TLG00001.BIN'] as Uint8Array;
    const outcome = read({ ...SMALL_SET, 'TLG00001.BIN': bytes.subarray(0, bytes.length - 20) });
    expect(recordsOf(outcome, 'harvest log').count).toBe(38);
    const end = told(outcome, 'log-ends-early');
    expect(end).toMatchObject({ level: 'warning', where: { file: 'TLG00001.BIN', row: 39 } });
    expect(end.text).toContain('38 records are whole, 12 bytes are left over');
  });
  test('every cut of a log gives its whole records and never more', () => {
    const bytes = SMALL_SET['TLG00001.BIN'] as Uint8Array;
    for (let cut = 36; cut < 200; cut++) {
      const outcome = read({ ...SMALL_SET, 'TLG00001.BIN': bytes.subarray(0, cut) });
      const whole = 1 + Math.floor((cut - 36) / 16);
      expect(recordsOf(outcome, 'harvest log').count).toBe(whole);
      expect(codes(outcome).includes('log-ends-early')).toBe((cut - 36) % 16 !== 0);
    }
  });
  test('damage in the middle is stepped over, named with its record, and the records behind it are read', () => {
    const bytes = Uint8Array.from(SMALL_SET['TLG00001.BIN'] as Uint8Array);
    // Of record 11 the time and the number of values.
    bytes.fill(0xff, 36 + 9 * 16, 36 + 10 * 16);
    const outcome = read({ ...SMALL_SET, 'TLG00001.BIN': bytes });
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(39);
    expect(log.timeS[10]).toBe(noonS + 11);
    expect(told(outcome, 'log-damaged')).toMatchObject({ where: { file: 'TLG00001.BIN', row: 11 } });
    expect(told(outcome, 'log-damaged').text).toContain('16 bytes');
  });
  test('random bytes hang nothing and are told', () => {
    let state = 7;
    const noise = Uint8Array.from({ length: 5000 }, () => (state = (state * 1103515245 + 12345) & 0x7fffffff) >> 16);
    const outcome = read({ ...SMALL_SET, 'TLG00001.BIN': noise });
    expect(outcome.problems.some((one) => /^(log-|no-records|position-)/.test(one.code))).toBe(true);
  });
  test('records without a place are told one by one and counted', () => {
    const records = combineRecords(10).map((one, i) =>
      i === 3 ? { ...one, lat: 0, lon: 0 } : i === 5 ? { ...one, lat: 99 } : one,
    );
    const outcome = read({ ...SMALL_SET, 'TLG00001.BIN': recordBytes(records) });
    expect(recordsOf(outcome, 'harvest log').count).toBe(8);
    expect(told(outcome, 'position-zero')).toMatchObject({ where: { row: 4 } });
    expect(told(outcome, 'position-range').text).toContain('Record 6 (6 of TLG00001)');
    if (outcome.ok) expect(outcome.value.reading).toMatchObject({ rows: 10, unusedRows: 2 });
  });
});

describe('machines', () => {
  const twoDevices = ['DVC-1', 'DVC-2']
    .map((id, n) => `<DVC A="${id}" B="combine ${n + 1}"><DET A="DET-${n + 1}" B="1" C="1" D="m" E="0" F="0"/></DVC>`)
    .join('');
  const set = (second: string): Files => ({
    'TASKDATA.XML': taskFile([{ log: 'TLG00001' }, { log: 'TLG00002' }], { devices: twoDevices }),
    'TLG00001.XML': headerXml([['0057', 'DET-1']]),
    'TLG00001.BIN': recordBytes(combineRecords(40, { values: { 0: 8e6 } })),
    'TLG00002.XML': headerXml([['0057', second]]),
    'TLG00002.BIN': recordBytes(combineRecords(40, { ms: 50_010_000, lon: -93.968, values: { 0: 8e6 } })),
  });
  test('of two descriptions are told apart by them', () => {
    const outcome = read(set('DET-2'));
    const { machine } = recordsOf(outcome, 'harvest log');
    expect([machine![0], machine![40]]).toEqual([0, 1]);
    expect(codes(outcome)).not.toContain('logs-overlap');
  });
  test('two logs of one machine that overlap in time are told with the time', () => {
    const overlap = told(read(set('DET-1')), 'logs-overlap');
    expect(overlap.level).toBe('warning');
    expect(overlap.text).toContain('2026-10-03T13:53:30Z');
  });
});

describe('brought in', () => {
  const zipOf = (folder: string) =>
    writeArchive([
      ...Object.entries(SMALL_SET).map(([name, content]) => ({
        name: `${folder}${name}`,
        bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content,
      })),
      { name: `__MACOSX/${folder}._TASKDATA.XML`, bytes: Uint8Array.of(1, 2, 3) },
    ]);
  test('a .zip, deep in folders and with the leftovers of another system, is the set in it', () => {
    const { reviews, gathered } = onBench([given('season.zip', zipOf('a/TASKDATA/'))]);
    expect(gathered.items).toHaveLength(1);
    expect(reviews[0]).toMatchObject({ isRead: true, kind: 'harvest log', rows: 40, kinds: [] });
    expect(reviews[0]!.shown!.rows[0]!.cells).toContain('8.50');
    expect(reviews[0]!.columns.map((one) => one.title)).toEqual([
      'mass flow',
      'moisture',
      'cut width',
      'at work or not',
    ]);
  });
  test('a set of other work can be said to be a harvest', () => {
    const files = {
      ...SMALL_SET,
      'TLG00001.XML': headerXml([['0002', 'DET-1']]),
      'TLG00001.BIN': recordBytes(combineRecords(5, { values: {} }).map(({ values: _, ...one }) => one)),
    };
    const { reviews } = onBench(Object.entries(files).map(([name, content]) => given(`x/${name}`, content)));
    expect(reviews).toHaveLength(1);
    expect(reviews[0]).toMatchObject({ isRead: false, kinds: ['harvest log'], asked: [] });
  });
  test('the command line takes a folder, its TASKDATA folder, or the .zip', () => {
    const host = new MemoryHost();
    for (const [name, content] of Object.entries(SMALL_SET)) host.put(`card/TASKDATA/${name}`, content);
    host.put('season.zip', zipOf(''));
    for (const path of ['card', 'card/TASKDATA', 'season.zip']) {
      const [check] = host.json<{ takenFor: string; records: number }[]>('check', path);
      expect(check).toMatchObject({ takenFor: 'harvest log', records: 40, crop: 'corn' });
    }
    expect(host.run('check', 'nowhere').code).toBe(2);
  });
});

test('days count from 1980', () => {
  expect(dayNumberOf(1980, 1, 1) + DAY).toBe(dayNumberOf(2026, 10, 3));
});
