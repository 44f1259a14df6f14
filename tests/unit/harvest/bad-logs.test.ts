/**
 * Logs as they should not come, from the text of the file to the path: each is told with its row, no record is lost (every row is a
 * record with its flags, or told as not used), and what was cut and weighed stays what it was.
 */
import { describe, expect, test } from 'vitest';
import { countFlags } from '../../../shared/harvest/clean-log.ts';
import type { HarvestInput, HarvestPath } from '../../../shared/harvest/harvest-path.ts';
import { overlapsOf } from '../../../shared/harvest/join-logs.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { HarvestLogRecords } from '../../../shared/model/records.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import { closeTo } from '../../support/close-to.ts';
import { bundleOf, drive, recordsOf, told } from '../../support/import-text.ts';
import { inventedLog, place, rectangle, retrace } from '../../support/invented-log.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { boundaries, harvestLog } from '../../support/small-farm.ts';

const GOOD = inventedLog({ passes: 6 });
const COUNT = GOOD.count;
/** Records of a pass and its turn. */
const CYCLE = 215;
const HEADER = 'time,lon,lat,flow_kg_s,moisture_pct,swath_m,header,speed_m_s';

/** A row of the file; a cell may be said otherwise. */
function rowOf(log: HarvestLogRecords, i: number, said: Readonly<Record<string, string>> = {}): string {
  const cells: Record<string, string> = {
    time: new Date(log.timeS[i]! * 1000).toISOString(),
    lon: log.lon[i]!.toFixed(8),
    lat: log.lat[i]!.toFixed(8),
    flow_kg_s: log.flowKgS[i]!.toFixed(4),
    moisture_pct: (100 * log.moistureFraction[i]!).toFixed(2),
    swath_m: log.swathM[i]!.toFixed(2),
    header: String(log.headerDown[i]!),
    speed_m_s: Number.isNaN(log.speedMS[i]!) ? '1.8' : log.speedMS[i]!.toFixed(2),
  };
  return HEADER.split(',')
    .map((name) => said[name] ?? cells[name]!)
    .join(',');
}

interface Told {
  readonly log: HarvestLogRecords;
  readonly path: HarvestPath;
  readonly problems: readonly Problem[];
  told(code: string): Problem;
}

/** Read from text and retraced; records in = records out is asserted for every log. */
function follow(rows: readonly string[], more: Partial<HarvestInput> = {}): Told {
  const outcome = drive(
    readBundle(bundleOf('log.csv', new TextEncoder().encode(`${HEADER}\n${rows.join('\n')}\n`)), {}),
  );
  const log = recordsOf(outcome, 'harvest log');
  if (!outcome.ok) throw new Error('refused');
  const { reading } = outcome.value;
  expect(reading.rows).toBe(rows.length);
  expect(log.count + reading.unusedRows).toBe(rows.length);
  const path = retrace({ ...log, crop: 'corn' }, more);
  expect(path.flags).toHaveLength(log.count);
  expect(path.flagged).toEqual(countFlags(path.flags));
  const problems = [...outcome.problems, ...path.problems];
  return { log, path, problems, told: (code) => told({ problems }, code) };
}
const all = (log: HarvestLogRecords, said: (i: number) => Readonly<Record<string, string>> = () => ({})) =>
  Array.from({ length: log.count }, (_, i) => rowOf(log, i, said(i)));
const shifted = (log: HarvestLogRecords, byS: (i: number) => number): HarvestLogRecords => ({
  ...log,
  timeS: log.timeS.map((time, i) => time + byS(i)),
});

const good = follow(all(GOOD));

test('a good log has none of these doubts', () => {
  const codes = good.problems.map((one) => one.code);
  for (const code of [
    'time-order',
    'clock-set-back',
    'clock-set-forward',
    'flow-constant',
    'header-stuck-up',
    'header-stuck-down',
    'standing',
    'log-coarse',
    'swath-wider-than-field',
    'values-missing',
  ])
    expect(codes).not.toContain(code);
});

const sameCut = (path: HarvestPath, within: number, because: string) =>
  closeTo(path.coveredAreaM2 / good.path.coveredAreaM2, 1, { within, because });
const sameMass = (path: HarvestPath, within: number, because: string) =>
  closeTo(path.standardMassKg! / good.path.standardMassKg!, 1, { within, because });

describe('time', () => {
  test('running backwards for some records: each is used in its place, the first row told', () => {
    const rows = all(GOOD);
    const swapped = [...rows.slice(0, 300), ...rows.slice(300, 320).reverse(), ...rows.slice(320)];
    const { path, told } = follow(swapped);
    expect(path.flagged['time-order']).toBe(19);
    expect(told('time-order')).toMatchObject({ where: { row: 303 } });
    sameCut(path, 1e-9, 'the same records in the same order of time');
    sameMass(path, 1e-6, 'the same records in the same order of time');
  });
  test('a clock that jumps back an hour: the hour is not taken for a second machine, and it is told', () => {
    const { path, told, problems } = follow(all(shifted(GOOD, (i) => (i < 2 * CYCLE + 50 ? 0 : -3600))));
    expect(told('clock-set-back')).toMatchObject({ level: 'warning', where: { row: 2 * CYCLE + 52 } });
    expect(told('clock-set-back').text).toContain('back by 1 h');
    expect(problems.map((one) => one.code)).not.toContain('several-machines');
    expect(path.flagged['duplicate-time'] + path.flagged['time-order']).toBe(0);
    sameCut(path, 1e-9, 'the same records in the same order');
    sameMass(path, 1e-6, 'the same records in the same order');
  });
  test('a clock that jumps on an hour is told with its row; the swath over it is broken off, nothing else', () => {
    const { path, told } = follow(all(shifted(GOOD, (i) => (i < 2 * CYCLE + 50 ? 0 : 3600))));
    expect(told('clock-set-forward')).toMatchObject({ where: { row: 2 * CYCLE + 52 } });
    expect(path.flagged['gap-before']).toBe(1);
    sameCut(path, 0.001, 'one step of 1.8 m in 2 160 m');
  });
  test('a clock that jumps back and on again is right again', () => {
    const { path, told } = follow(all(shifted(GOOD, (i) => (i < 300 || i >= 700 ? 0 : -3600))));
    expect(told('clock-set-back')).toMatchObject({ where: { row: 302 } });
    expect(told('clock-set-forward')).toMatchObject({ where: { row: 702 } });
    expect(Array.from(path.timeS)).toEqual(Array.from(good.path.timeS));
  });
  test('a lost date at midnight goes on', () => {
    const { path, told } = follow(all(shifted(GOOD, (i) => (i < 500 ? 0 : -86_400))));
    expect(told('clock-set-back').text).toContain('24 h');
    sameCut(path, 1e-9, 'the same records in the same order');
  });
});

describe('sensors', () => {
  test('a flow that never changes is told with its first row and how long', () => {
    const { path, told } = follow(all(GOOD, (i) => (i >= 250 && i < 400 ? { flow_kg_s: '9.5000' } : {})));
    expect(told('flow-constant')).toMatchObject({ level: 'warning', where: { row: 252 } });
    expect(told('flow-constant').text).toContain('9.50 kg/s');
    expect(told('flow-constant').text).toContain('150 records');
    sameCut(path, 1e-9, 'flow has no part in the ground');
  });
  test('a header flag that sticks down: told with its row, turns count as cut', () => {
    const { told } = follow(all(GOOD, (i) => (i >= CYCLE && i < 4 * CYCLE ? { header: '1' } : {})));
    expect(told('header-stuck-down')).toMatchObject({ where: { row: CYCLE + 2 } });
    expect(told('header-stuck-down').text).toContain('stays down through turns for 14 min');
  });
  test('a header flag that sticks up while grain flows: told with its row, its ground is not cut', () => {
    const { path, told } = follow(all(GOOD, (i) => (i >= CYCLE && i < 2 * CYCLE ? { header: '0' } : {})));
    const stuck = told('header-stuck-up');
    expect(stuck.level).toBe('warning');
    expect(stuck.where!.row).toBeGreaterThan(CYCLE);
    expect(stuck.where!.row).toBeLessThan(CYCLE + 40);
    closeTo(path.coveredAreaM2 / good.path.coveredAreaM2, 5 / 6, { within: 0.02, because: 'one pass of six' });
  });
  test('a header that never comes down leaves no ground cut, and says so', () => {
    const { path, told } = follow(all(GOOD, () => ({ header: '0' })));
    expect(told('mostly-header-up').text).toContain('100%');
    expect(path.coveredAreaM2).toBe(0);
  });
  test('ten minutes on one spot: told with its row; no ground is cut there, no record is lost', () => {
    const at = 300;
    const still = 600;
    const rows = [
      ...all(GOOD).slice(0, at),
      ...Array.from({ length: still }, (_, n) =>
        rowOf(GOOD, at, { time: new Date((GOOD.timeS[at]! + n) * 1000).toISOString(), speed_m_s: '0', flow_kg_s: '0' }),
      ),
      ...all(shifted(GOOD, () => still)).slice(at),
    ];
    const { path, told } = follow(rows);
    expect(told('standing')).toMatchObject({ where: { row: at + 2 } });
    expect(told('standing').text).toContain('10 min');
    expect(path.flagged['speed-low']).toBeGreaterThanOrEqual(still);
    sameCut(path, 0.002, 'the same way');
  });
  test('NaN and empty cells are counted by column and stay missing; text is told with its row', () => {
    const { log, path, problems, told } = follow(
      all(GOOD, (i) =>
        i === 100
          ? { flow_kg_s: '', moisture_pct: 'NaN', swath_m: '', speed_m_s: 'nan' }
          : i === 101
            ? { flow_kg_s: 'error' }
            : i === 102
              ? { lat: '' }
              : i === 103
                ? { time: 'NaN' }
                : {},
      ),
    );
    expect(log.count).toBe(COUNT - 2);
    expect([log.flowKgS[100], log.moistureFraction[100], log.swathM[100]]).toEqual([NaN, NaN, NaN]);
    expect(problems.filter((one) => one.code === 'values-missing').map((one) => one.where!.column)).toEqual(
      expect.arrayContaining(['flow_kg_s', 'moisture_pct', 'swath_m', 'speed_m_s']),
    );
    expect(told('not-a-number')).toMatchObject({ where: { row: 103, column: 'flow_kg_s' } });
    expect(told('position-missing')).toMatchObject({ where: { row: 104 } });
    expect(told('time-missing')).toMatchObject({ where: { row: 105 } });
    sameCut(path, 0.002, 'two records of 1 290 are not used');
  });
});

describe('places', () => {
  test('all points outside the field: told, and what was cut there is kept apart', () => {
    const { path, told } = follow(all(GOOD), { boundary: rectangle(2000, 2000, 2300, 2300) });
    expect(told('log-of-another-field').text).toContain('0 % of the cutting');
    expect(path.coveredAreaM2).toBe(0);
    closeTo(path.coveredOutsideM2 / good.path.coveredAreaM2, 1, {
      within: 0.05,
      because: 'neighbors overlap by a twenty-fifth; outside the field nobody looks for that',
    });
  });
  test('a swath wider than the field: told with its row', () => {
    const { told } = follow(
      all(GOOD, () => ({ swath_m: '20' })),
      { boundary: rectangle(0, 0, 360, 15) },
    );
    expect(told('swath-wider-than-field')).toMatchObject({ where: { row: 2 } });
    expect(told('swath-wider-than-field').text).toContain('20.0 m');
  });
  test('a swath that no header has is left out with its row, and the machine’s is used', () => {
    const { log, told } = follow(all(GOOD, (i) => (i === 5 ? { swath_m: '300' } : {})));
    expect(told('width-range')).toMatchObject({ where: { row: 7 } });
    expect(log.swathM[5]).toBeNaN();
  });
  test('thinned to a tenth: the same ground within the row ends, and it is told', () => {
    const { path, told } = follow(all(GOOD).filter((_, i) => i % 10 === 0));
    expect(told('log-coarse').text).toContain('every 10 s');
    sameCut(path, 0.06, 'row ends are known to 18 m of 360');
    sameMass(path, 0.06, 'a tenth of the records, each for ten seconds');
  });
  test('a receiver that jumps is told with the first row', () => {
    const log = inventedLog({ passes: 6 });
    place(log, 77, 900, 900);
    const { told, path } = follow(all(log));
    expect(told('position-jump')).toMatchObject({ where: { row: 79 } });
    sameCut(path, 0.001, 'straight over the jump');
  });
});

describe('two logs that overlap in time', () => {
  const part = (from: number, to: number): HarvestLogRecords =>
    recordsOf(
      drive(
        readBundle(
          bundleOf('p.csv', new TextEncoder().encode(`${HEADER}\n${all(GOOD).slice(from, to).join('\n')}\n`)),
          {},
        ),
      ),
      'harvest log',
    );
  test('are seen with the stretch, the row and the number of records', () => {
    const [overlap, ...others] = overlapsOf([part(0, 700), part(600, COUNT)]);
    expect(others).toEqual([]);
    expect(overlap).toMatchObject({ first: 0, second: 1, row: 2, records: 100 });
    expect(overlapsOf([part(0, 600), part(600, COUNT)])).toEqual([]);
  });
  test('of one machine, the same work twice is cut and weighed once, and the farm is told which files', () => {
    const log = harvestLog('West');
    const lines = log.trim().split('\n');
    const again = [lines[0]!, ...lines.slice(400)].join('\n');
    const harvested = (files: Record<string, string>) => {
      const host = new MemoryHost({
        'b.geojson': boundaries(['West']),
        'plan.csv': 'field,year,crop,planted\nWest,2026,corn,2026-05-01\n',
        ...files,
      });
      host.run('new', 'farm');
      expect(host.run('add', 'farm', 'b.geojson', 'plan.csv', ...Object.keys(files)).code).toBe(0);
      return host.json<{
        fields: { harvest: { coveredAreaM2: number; standardMassKg: number } }[];
        problems: Problem[];
      }>('study', 'farm');
    };
    const once = harvested({ 'a.csv': log });
    const twice = harvested({ 'a.csv': log, 'a-again.csv': again });
    const overlap = told(twice, 'logs-overlap');
    expect(overlap.text).toContain('a.csv and a-again.csv overlap in time');
    expect(overlap.where).toMatchObject({ file: 'a-again.csv', row: 2 });
    const [a, b] = [once.fields[0]!.harvest, twice.fields[0]!.harvest];
    closeTo(b.coveredAreaM2, a.coveredAreaM2, { within: 1e-6, because: 'the same path' });
    closeTo(b.standardMassKg, a.standardMassKg, { within: 1e-6, because: 'records with the same time are used once' });
  });
});
