import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { takeInAll } from '../../../shared/analysis/take-in-all.ts';
import { takeIn, type IncomingFile } from '../../../shared/analysis/take-in.ts';
import { groupIntoBundles } from '../../../shared/import/bundles.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { boundariesIn, sourceOf } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { codes, drive, told } from '../../support/import-text.ts';
import { realDataPath } from '../../support/real-data.ts';
import { given, onBench } from '../../support/review-bench.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { SMALL_SET } from '../../support/task-data.ts';

type Corner = readonly [lat: number, lon: number];
const [LAT, LON] = [43.9, -93.97];
/** A rectangle of degrees from the south-west corner. */
const box = (lat: number, lon: number, high = 0.004, wide = 0.004): Corner[] => [
  [lat, lon],
  [lat, lon + wide],
  [lat + high, lon + wide],
  [lat + high, lon],
];
const line = (type: number, corners: readonly Corner[], closed = false) =>
  `<LSG A="${type}">${[...corners, ...(closed ? [corners[0]!] : [])]
    .map(([lat, lon]) => `<PNT A="2" C="${lat}" D="${lon}"/>`)
    .join('')}</LSG>`;
const outline = (type: number, ...lines: string[]) => `<PLN A="${type}">${lines.join('')}</PLN>`;
const field = (id: number, name: string, inner: string, areaM2 = 0) =>
  `<PFD A="PFD${id}" C="${name}" D="${areaM2}">${inner}</PFD>`;
const set = (inner: string) =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<ISO11783_TaskData VersionMajor="4" VersionMinor="3" DataTransferOrigin="2">${inner}</ISO11783_TaskData>`;

const WEST = field(1, 'West', outline(1, line(1, box(LAT - 0.001, LON - 0.002))));
const bundlesOf = (files: Readonly<Record<string, string | Uint8Array>>) =>
  groupIntoBundles(Object.entries(files).map(([name, content]) => sourceOf(name, content, 300)));
const read = (inner: string) => drive(readBundle(bundlesOf({ 'TASKDATA.XML': set(inner) })[0]!, {}));
const fieldsOf = (inner: string) => boundariesIn(read(inner)).features;

describe('fields of a task set', () => {
  test('are boundaries with their names, whether their rings end where they began or not', () => {
    const open = fieldsOf(WEST);
    const closed = fieldsOf(field(1, 'West', outline(1, line(1, box(LAT - 0.001, LON - 0.002), true))));
    expect(open.map((one) => one.name)).toEqual(['West']);
    expect(closed[0]!.areaM2).toBe(open[0]!.areaM2);
    // 0.004° by 0.004°: 444.4 m of meridian by 321.3 m of parallel at 43.9°.
    closeTo(open[0]!.areaM2, 444.4 * 321.3, { within: 300, because: 'lengths of a degree to a meter' });
    expect(codes(read(WEST))).toEqual(['no-time-logs']);
  });

  test('keep their holes and parts', () => {
    const part = outline(1, line(1, box(LAT, LON)), line(2, box(LAT + 0.001, LON + 0.001, 0.001, 0.001)));
    const other = outline(1, line(1, box(LAT, LON + 0.006)));
    const [one] = fieldsOf(field(1, 'Parts', part + other));
    expect(one!.polygon.map((rings) => rings.length)).toEqual([2, 1]);
    const [whole] = fieldsOf(field(1, 'Whole', outline(1, line(1, box(LAT, LON)))));
    closeTo(one!.areaM2 / whole!.areaM2, 2 - 1 / 16, {
      within: 1e-4,
      because: 'degrees of latitude differ by as much',
    });
  });

  test('tell what is left out: other polygons, a field without an outline, a corner without a place, another area', () => {
    const headland = outline(10, line(1, box(LAT, LON)));
    const broken = field(3, 'Broken', '<PLN A="1"><LSG A="1"><PNT A="2" C="43.9" D=""/></LSG></PLN>');
    const outcome = read(
      field(1, 'West', outline(1, line(1, box(LAT, LON))) + headland, 200_000) + field(2, 'Bare', '') + broken,
    );
    expect(boundariesIn(outcome).features.map((one) => one.name)).toEqual(['West']);
    expect(told(outcome, 'polygons-left-out').text).toContain('1 × headland');
    expect(told(outcome, 'shape-missing').text).toContain('Bare');
    expect(told(outcome, 'corner-broken').text).toContain('Broken');
    expect(told(outcome, 'area-differs').text).toMatch(/14\.\d+ ha by its outline, and 20\.00 ha/);
    if (outcome.ok) expect(outcome.value.reading.why).toContain('1 of 3 fields of a task set');
  });

  test('in a part of its own are found, and a part that is missing is told', () => {
    const main = set('<XFR A="PFD00001" B="1"/><XFR A="TSK00001" B="1"/>');
    const [bundle] = bundlesOf({ 'TASKDATA.XML': main, 'PFD00001.XML': `<XFC>${WEST}</XFC>` });
    expect(boundariesIn(drive(readBundle(bundle!, {}))).features).toHaveLength(1);
  });

  test('a prescription’s zones are no fields', () => {
    const zones = `<PFD A="PFD1" C="West" D="1"/><TSK A="TSK1" G="1"><TZN A="1">${outline(2, line(1, box(LAT, LON)))}</TZN></TSK>`;
    expect(codes(read(zones))).toContain('no-time-logs');
  });
});

/** The small set, whose log runs over West. */
const withFields = (inner: string): Readonly<Record<string, string | Uint8Array>> => ({
  ...SMALL_SET,
  'TASKDATA.XML': String(SMALL_SET['TASKDATA.XML']).replace(/<PFD [^>]*\/>/, inner),
});
const incoming = (files: Readonly<Record<string, string | Uint8Array>>): IncomingFile[] =>
  bundlesOf(files).map((bundle) => {
    const outcome = drive(readBundle(bundle, {}));
    if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
    const hash = (name: string) =>
      [...name]
        .reduce((sum, c) => sum + c.charCodeAt(0), 0)
        .toString(16)
        .padStart(64, '0');
    const parts = bundle.parts.map(({ name, size }) => ({ name, bytes: size, sha256: hash(name) }));
    const [main] = parts.filter((one) => one.name === bundle.name);
    return { ...main!, parts: parts.filter((one) => one !== main), read: outcome.value, wishes: {} };
  });

describe('a set with logs and fields', () => {
  test('is two things under review: boundaries with their areas, and the log that lies on them', () => {
    const { reviews, gathered } = onBench(
      Object.entries(withFields(WEST)).map(([name, content]) => given(name, content)),
    );
    expect(gathered.items).toHaveLength(2);
    expect(reviews.map((one) => one.kind)).toEqual(['boundaries', 'harvest log']);
    expect(reviews[0]!.shapes).toMatchObject({ are: 'outlines' });
    expect(reviews[0]!.asked).toEqual([]);
    expect(reviews[0]!.columns, 'nothing to choose').toEqual([]);
  });

  test('brings a farm without fields both; a farm that has the field keeps its own and says so', () => {
    const files = incoming(withFields(WEST));
    const first = takeInAll(emptyFarm('a', 'A'), files, () => false);
    expect(first.farm.fields.map((one) => one.name)).toEqual(['West']);
    expect(first.farm.seasons[0]!.visits.map((one) => one.field)).toEqual(['west']);
    expect(first.farm.files.map((one) => [one.kind, one.reading.importer])).toContainEqual([
      'boundaries',
      'task-data-fields',
    ]);
    // Again: nothing new, and nothing worse than a note.
    const again = takeInAll(first.farm, files, () => false);
    expect(again.edit).toBeNull();
    expect(again.files[0]!.problems.map((one) => one.level)).toEqual(['note']);
    // Another set over the same ground under another name.
    const renamed = incoming(withFields(WEST.replace('"West"', '"Field 7"')))[0]!;
    const other = takeIn(first.farm, { ...renamed, sha256: 'f'.repeat(64) });
    expect(other.ok).toBe(false);
    expect(told(other, 'fields-known').text).toContain('Field 7 (here West)');
  });

  test('undoing takes both away again', () => {
    const farm = emptyFarm('a', 'A');
    const { edit } = takeInAll(farm, incoming(withFields(WEST)), () => false);
    const done = applyEdit(farm, edit!);
    expect(applyEdit(done.farm, done.reverse).farm).toEqual(farm);
  });

  test('the command line adds both, and a second time is no fault of the fields', () => {
    const host = new MemoryHost();
    host.run('new', 'farm', '--name', 'A');
    for (const [name, content] of Object.entries(withFields(WEST))) host.put(`set/${name}`, content);
    const added = host.run('add', 'farm', 'set');
    expect(added.out).toContain('Added 1 field from TASKDATA.XML');
    expect(added.out).toContain('Added the harvest of West');
    expect(added.code).toBe(0);
  });
});

describe('real sets', () => {
  const partsOf = (folder: string) =>
    Object.fromEntries(
      readdirSync(folder)
        .filter((name) => /\.xml$/i.test(name))
        .map((name) => [name, new Uint8Array(readFileSync(join(folder, name)))]),
    );
  /** Fields with an outline; the area that the set itself gives of each is the outside's. */
  for (const [sample, fields, within, because] of [
    ['log-external-files', 9, 0.06, 'some of its outlines are not those that its areas are of: up to 4 %'],
    ['log-forage-5', 21, 0.06, 'the set is anonymised: its own areas are 4 to 6 % larger throughout'],
  ] as const) {
    const folder = realDataPath(`iso11783/samples/${sample}`);
    test.skipIf(folder === null)(`${sample}: ${fields} fields, about as large as it says itself`, () => {
      const [bundle] = bundlesOf(partsOf(folder!));
      const { features } = boundariesIn(drive(readBundle(bundle!, {})));
      expect(features).toHaveLength(fields);
      const text = bundle!.parts
        .flatMap((one) => [...one.chunks()].map((chunk) => Buffer.from(chunk).toString()))
        .join('');
      const said = [...text.matchAll(/<PFD [^>]*>/g)].map(([tag]) => {
        const of = (attribute: string) => new RegExp(`\\b${attribute}="([^"]*)"`).exec(tag)?.[1]?.trim() ?? '';
        return { name: of('C') || of('B') || of('A'), areaM2: Number(of('D')) };
      });
      for (const { name, areaM2 } of features) {
        const saidM2 = said.find((one) => one.name === name)!.areaM2;
        closeTo(areaM2 / saidM2, 1, { within, because });
      }
    });
  }
  const ring = realDataPath('iso11783/samples/grid/type2-b');
  test.skipIf(ring === null)('grid/type2-b: the area of its ring', () => {
    const [field] = boundariesIn(drive(readBundle(bundlesOf(partsOf(ring!))[0]!, {}))).features;
    closeTo(field!.areaM2, 45_622.3, { within: 0.1, because: 'GeographicLib, as the README of the open data says' });
  });
});
