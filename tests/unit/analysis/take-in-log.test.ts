import { describe, expect, test } from 'vitest';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import type { FieldLanded } from '../../../shared/analysis/steps/landed.ts';
import type { FieldMachineLoad } from '../../../shared/analysis/steps/machine-load.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import { takeIn } from '../../../shared/analysis/take-in.ts';
import { EMPTY_LEDGER } from '../../../shared/harvest/ledger.ts';
import { fieldsOfRecords, NO_FIELD, partOfLog, partsOfLog } from '../../../shared/harvest/log-parts.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { Bundle, ReadingWishes } from '../../../shared/import/importer.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { bundleOf, codes, drive, recordsOf, told } from '../../support/import-text.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { documentOf } from '../../support/small-farm-host.ts';
import { boundaries, type FieldName, harvestLog, placeIn } from '../../support/small-farm.ts';
import {
  COMBINE_VALUES,
  combineRecords,
  headerXml,
  recordBytes,
  taskBundle,
  taskFile,
} from '../../support/task-data.ts';

const text = (content: string) => new TextEncoder().encode(content);
function take(farm: Farm, bundle: Bundle, wishes: ReadingWishes = {}, sha = bundle.name) {
  const read = drive(readBundle(bundle, wishes));
  if (!read.ok) throw new Error(read.problems[0]!.text);
  const parts = bundle.parts
    .filter((one) => one.name !== bundle.name)
    .map((one) => ({ name: one.name, sha256: `${one.name} of ${sha}`, bytes: one.size }));
  return takeIn(farm, { name: bundle.name, sha256: sha, bytes: 1, parts, read: read.value, wishes });
}
function taken(farm: Farm, bundle: Bundle, wishes: ReadingWishes = {}): Farm {
  const outcome = take(farm, bundle, wishes);
  if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
  return applyEdit(farm, outcome.value.edit).farm;
}
const withFields = (...names: FieldName[]) =>
  taken(emptyFarm('farm', 'Farm'), bundleOf('b.geojson', text(boundaries(names))));
/** Logs one behind the other under one header. */
const together = (...logs: readonly string[]) =>
  bundleOf('season.csv', text(logs.map((log, n) => (n === 0 ? log : log.slice(log.indexOf('\n') + 1))).join('')));
const WEST = harvestLog('West');
const MIDDLE = harvestLog('Middle', '2026-10-04');
const EAST = harvestLog('East', '2026-10-05');
const ROWS = WEST.trim().split('\n').length - 1;

describe('several fields in one file', () => {
  test('each field has a visit of its own, in the order of harvest, with its part of the file', () => {
    const outcome = take(withFields('West', 'Middle', 'East'), together(MIDDLE, EAST, WEST));
    expect(outcome.ok && outcome.value.summary).toBe(
      `the harvest of West, Middle and East (${(3 * ROWS).toLocaleString('en-US')} records)`,
    );
    const farm = taken(withFields('West', 'Middle', 'East'), together(MIDDLE, EAST, WEST));
    expect(farm.seasons[0]!.visits.map(({ field, part, startedOn, file }) => [field, part, startedOn, file])).toEqual([
      ['west', true, '2026-10-03', farm.files[1]!.id],
      ['middle', true, '2026-10-04', farm.files[1]!.id],
      ['east', true, '2026-10-05', farm.files[1]!.id],
    ]);
    expect(codes(outcome)).not.toContain('records-outside-fields');
  });
  test('a log of one field alone stays whole', () => {
    const farm = taken(withFields('West', 'Middle', 'East'), bundleOf('log.csv', text(WEST)));
    expect(farm.seasons[0]!.visits).toHaveLength(1);
    expect(farm.seasons[0]!.visits[0]!.part).toBeUndefined();
  });
  test('a few records across the line make no visit', () => {
    const stray = MIDDLE.trim().split('\n').slice(0, 15).join('\n');
    const farm = taken(withFields('West', 'Middle', 'East'), together(WEST, `${stray}\n`));
    expect(farm.seasons[0]!.visits.map((one) => one.field)).toEqual(['west']);
  });
  test('records outside every field are counted with the first row, and the fields that are known have theirs', () => {
    const outcome = take(withFields('West'), together(WEST, MIDDLE, EAST));
    const outside = told(outcome, 'records-outside-fields');
    expect(outside.level).toBe('warning');
    expect(outside.text).toContain(`of ${(3 * ROWS).toLocaleString('en-US')} records`);
    expect(outside.where?.row).toBeGreaterThan(ROWS);
    expect(outcome.ok && outcome.value.summary).toContain('the harvest of West');
  });
  test('brought in again after the missing boundary was added, only that field is new', () => {
    const log = together(WEST, MIDDLE);
    const first = taken(withFields('West'), log);
    const grown = taken(first, bundleOf('more.geojson', text(boundaries(['Middle']))));
    const again = take(grown, log);
    expect(again.ok && again.value.summary).toContain('the harvest of Middle');
    const farm = taken(grown, log);
    expect(farm.files.map((one) => one.name)).toEqual(['b.geojson', 'season.csv', 'more.geojson']);
    expect(farm.seasons[0]!.visits.map(({ field, part }) => [field, part])).toEqual([
      ['west', true],
      ['middle', true],
    ]);
    const third = take(farm, log);
    expect(codes(third)).toEqual(['file-known']);
  });
  test('outside all fields the log is refused, said how far away', () => {
    const outcome = take(withFields('West'), bundleOf('log.csv', text(EAST)));
    expect(outcome.ok).toBe(false);
    expect(told(outcome, 'log-of-another-field').text).toContain('of another field');
  });
});

describe('parts of a log', () => {
  const log = recordsOf(drive(readBundle(together(WEST, MIDDLE, EAST), {})), 'harvest log');
  const polygons = (names: readonly FieldName[]) =>
    withFields(...names).fields.map((one) => one.boundary as MultiPolygon);
  test('records in = records out: every record is in one part or in none', () => {
    const of = partsOfLog(log, polygons(['West', 'Middle', 'East']));
    const parts = [0, 1, 2].map((n) => partOfLog(log, of, n));
    const none = of.filter((one) => one === NO_FIELD).length;
    expect(parts.reduce((sum, one) => sum + one.count, none)).toBe(log.count);
    const rows = parts.flatMap((one) => [...one.row]);
    expect(new Set(rows).size).toBe(rows.length);
    for (const [n, part] of parts.entries()) {
      let flow = 0;
      for (let i = 0; i < log.count; i++) if (of[i] === n) flow += log.flowKgS[i]!;
      expect(part.flowKgS.reduce((sum, one) => sum + one, 0)).toBe(flow);
    }
  });
  test('a turn outside goes with its field; a way on the road between fields is in none', () => {
    const of = partsOfLog(log, polygons(['West', 'East']));
    const strict = fieldsOfRecords(log, polygons(['West', 'East']));
    expect(strict.filter((one) => one === NO_FIELD).length).toBeGreaterThan(
      of.filter((one) => one === NO_FIELD).length,
    );
    const middle = [...of].slice(ROWS, 2 * ROWS);
    const [x] = placeIn('Middle', 60, 60);
    const deep = middle.filter((_, i) => Math.abs(log.lon[ROWS + i]! - x) < 1e-4);
    expect(deep.every((one) => one === NO_FIELD)).toBe(true);
  });
  test('the order of the fields changes nothing but their numbers', () => {
    const one = partsOfLog(log, polygons(['West', 'East']));
    const other = partsOfLog(log, polygons(['East', 'West']));
    expect([...other].map((n) => (n === NO_FIELD ? n : 1 - n))).toEqual([...one]);
  });
});

test('the study of each field rests on its part: the same yield as from a file a field', () => {
  const harvested = (...files: [string, string][]) => {
    const planned = 'field,year,crop,planted\nWest,2026,corn,2026-05-01\nMiddle,2026,corn,2026-05-01\n';
    const host = new MemoryHost({ 'b.geojson': boundaries(['West', 'Middle']), 'plan.csv': planned });
    for (const [name, content] of files) host.put(name, content);
    host.run('new', 'farm');
    expect(host.run('add', 'farm', 'b.geojson', 'plan.csv', ...files.map(([name]) => name)).code).toBe(0);
    const study = host.json<{ fields: { id: string; harvest: { records: number; standardMassKg: number } | null }[] }>(
      'study',
      'farm',
    );
    return { study, document: documentOf(host, 'farm') };
  };
  const apart = harvested(['west-corn.csv', WEST], ['middle-corn.csv', MIDDLE]);
  const one = harvested(['season-corn.csv', WEST + MIDDLE.slice(MIDDLE.indexOf('\n') + 1)]);
  expect(one.document.seasons[0]!.visits.map((visit) => visit.part)).toEqual([true, true]);
  expect(one.study.fields.map((field) => field.harvest!.records)).toEqual([ROWS, ROWS]);
  expect(one.study.fields.every((field) => field.harvest!.standardMassKg > 1000)).toBe(true);
  expect(one.study.fields.map((field) => field.harvest)).toEqual(apart.study.fields.map((field) => field.harvest));
});

test('on a farm that knows no weed yet the way of the machine can be followed all the same', () => {
  const log = bundleOf('log.csv', text(WEST));
  const farm = taken(withFields('West'), log);
  expect(farm.thresholdPerM2).toEqual({});
  const door = { open: () => log.parts[0]! };
  const scope = { field: 'west', season: 2026, case: 'central' as const };
  const runner = startRunner(farm, door, memoryStore());
  const outcome = drive(runner.outcome('machine-load', scope));
  expect(outcome.ok && (outcome.value as FieldMachineLoad).depositSeeds.length).toBe(ROWS);
  const landed = drive(runner.outcome('landed', scope));
  expect(landed.ok && (landed.value as FieldLanded).ledger).toEqual(EMPTY_LEDGER);
});

describe('task data', () => {
  const set = {
    'TASKDATA.XML': taskFile([{ log: 'TLG00001' }, { log: 'TLG00002' }]),
    'TLG00001.XML': headerXml(COMBINE_VALUES),
    'TLG00002.XML': headerXml(COMBINE_VALUES),
    'TLG00001.BIN': recordBytes(
      combineRecords(50, { lat: placeIn('West', 60, 10)[1], lon: placeIn('West', 60, 10)[0] }),
    ),
    'TLG00002.BIN': recordBytes(
      combineRecords(50, { ms: 60_000_000, lat: placeIn('East', 60, 10)[1], lon: placeIn('East', 60, 10)[0] }),
    ),
  };
  test('a set over two fields is one file with its parts and two visits', () => {
    const farm = taken(withFields('West', 'Middle', 'East'), taskBundle(set));
    expect(farm.seasons[0]!.visits.map((one) => one.field)).toEqual(['west', 'east']);
    const file = farm.files.find((one) => one.name === 'TASKDATA.XML')!;
    expect(file.parts).toHaveLength(4);
    expect(file.reading.importer).toBe('task-data');
  });
  test('a log of the set that was left behind joins it when the set is brought in whole', () => {
    const { ['TLG00002.BIN']: _lost, ...lacking } = set;
    const first = taken(withFields('West', 'Middle', 'East'), taskBundle(lacking));
    expect(first.seasons[0]!.visits.map((one) => one.field)).toEqual(['west']);
    const whole = taken(first, taskBundle(set));
    expect(whole.seasons[0]!.visits.map((one) => one.field)).toEqual(['west', 'east']);
    expect(whole.files.filter((one) => one.name === 'TASKDATA.XML')).toHaveLength(1);
    expect(whole.files.find((one) => one.name === 'TASKDATA.XML')!.parts).toHaveLength(4);
    expect(codes(take(whole, taskBundle(set)))).toEqual(['file-known']);
  });
});
