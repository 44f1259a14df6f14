/**
 * Real open logs, against facts computed outside our code with R from the file's own columns (the data folder's README).
 * Licences and origins stand there; nothing of the data is kept here.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { createFrame, frameOriginOf } from '../../../shared/geometry/local-frame.ts';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';
import { FLAG } from '../../../shared/harvest/clean-log.ts';
import type { HarvestPath } from '../../../shared/harvest/harvest-path.ts';
import { harvestLogImporter } from '../../../shared/import/harvest-log.ts';
import type { HarvestLogRecords } from '../../../shared/model/records.ts';
import { bushelKg, UNITS } from '../../../shared/units/units.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { bundleFromDisk, readAll } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { retrace } from '../../support/invented-log.ts';
import { realDataPath } from '../../support/real-data.ts';

const ACRE_M2 = UNITS.ac.factor;

function logOf(name: string): HarvestLogRecords | null {
  const path = realDataPath(`yield/${name}.csv`);
  if (path === null) return null;
  const read = readAll(harvestLogImporter, bundleFromDisk(path));
  if (!read.ok || read.value.records.kind !== 'harvest log') throw new Error(`${name} was refused`);
  return read.value.records;
}

/** Ground driven over with the header down, overlaps counted twice. */
function grossM2({ count, cutting, swathM, xM, yM }: HarvestPath): number {
  let sum = 0;
  for (let k = 0; k + 1 < count; k++) {
    if (cutting[k] === 1) sum += swathM[k]! * Math.hypot(xM[k + 1]! - xM[k]!, yM[k + 1]! - yM[k]!);
  }
  return sum;
}

function fieldOf(name: string, frame: ReturnType<typeof createFrame>): FlatMultiPolygon | null {
  const path = realDataPath('fields/montana-manitoba-fields.geojson');
  if (path === null) return null;
  const { features } = JSON.parse(readFileSync(path, 'utf8')) as {
    features: { properties: Record<string, string>; geometry: { type: string; coordinates: number[][][][] } }[];
  };
  const one = features.find((feature) => Object.values(feature.properties).some((value) => `${value}`.includes(name)));
  if (one === undefined) throw new Error(`no field ${name}`);
  const polygons =
    one.geometry.type === 'Polygon' ? [one.geometry.coordinates as unknown as number[][][]] : one.geometry.coordinates;
  return polygons.map((rings) =>
    rings.map((ring, i) => {
      const flat = ring.slice(0, -1).map(([lon, lat]) => frame.toLocal(lon!, lat!));
      let twice = 0;
      for (let k = 0, j = flat.length - 1; k < flat.length; j = k++) {
        twice += flat[j]![0] * flat[k]![1] - flat[k]![0] * flat[j]![1];
      }
      return Float64Array.from((twice > 0 === (i === 0) ? flat : flat.reverse()).flat());
    }),
  );
}

describe('real logs', () => {
  test('gartner-corn: 67.6368 ac and 9027.15 bu, 1.8 % of the ground cut twice', () => {
    const log = logOf('gartner-corn');
    if (log === null) return;
    const path = retrace(log, { frame: createFrame(frameOriginOf(log.bounds)), headerWidthM: 360 * 0.0254 });
    expect(path.flags.length).toBe(4949);
    const bushels = path.standardMassKg! / bushelKg['corn']!;
    closeTo(bushels, 9027.15, { within: 0.01, because: 'R prints two decimals; same sum of flow × seconds' });
    const grossAc = grossM2(path) / ACRE_M2;
    closeTo(grossAc, 67.6368, {
      within: 0.01 * 67.6368,
      because: 'logged distances against positions; 69 pauses lose or bridge an interval each',
    });
    // Overlap takes area away and raises the mean: mass over ground cut once.
    const coveredAc = path.coveredAreaM2 / ACRE_M2;
    expect(coveredAc).toBeLessThan(grossAc);
    closeTo(coveredAc, 67.6368, { within: 0.03 * 67.6368, because: 'passes overlap by some 2 %' });
    const bushelsPerAc = (path.meanYieldKgHa! / bushelKg['corn']!) * (ACRE_M2 / 1e4);
    closeTo(bushelsPerAc, 133.465 * (grossAc / coveredAc), {
      within: 0.01 * 133.465,
      because: 'the mean of the file, raised by the overlap',
    });
    recordAgreement('real-logs', 'gartner-corn, dry grain', Math.abs(bushels - 9027.15), 0.01, 'bu');
    recordAgreement('real-logs', 'gartner-corn, swath × distance', Math.abs(grossAc / 67.6368 - 1), 0.01, 'relative');
  });

  test('henrys-2018: three recordings at once are told apart; 74.6116 ha of swath × distance', () => {
    const log = logOf('henrys-2018');
    if (log === null) return;
    const frame = createFrame(frameOriginOf(log.bounds));
    const path = retrace(log, { frame, boundary: fieldOf('henrys', frame), headerWidthM: null, crop: 'wheat' });
    expect(path.flags.length).toBe(31_276);
    expect(path.problems.find((one) => one.code === 'several-machines')?.text).toContain('up to 3 machines');
    // Hardly a record is lost to the braiding: before it was undone 9864 times doubled and 6805 positions jumped.
    expect(path.count).toBeGreaterThan(0.999 * log.count);
    const grossHa = grossM2(path) / 1e4;
    closeTo(grossHa, 74.6116, {
      within: 0.015 * 74.6116,
      because: 'logged distances against positions; row ends joined where times were made without pauses',
    });
    expect(path.coveredAreaM2 + path.coveredOutsideM2).toBeLessThan(grossM2(path));
    closeTo((path.coveredAreaM2 + path.coveredOutsideM2) / 1e4, 74.6116, {
      within: 0.07 * 74.6116,
      because: 'passes overlap by some 5 %, with 35 and 39 ft headers that the field was driven with at one spacing',
    });
    // The file's "dry" mass is its wet mass (its own columns are equal): taken to 13.5 % from the mean moisture of 11.69 %.
    const expectedKg = (265_981 * (1 - 0.116943)) / (1 - 0.135);
    closeTo(path.standardMassKg! / expectedKg, 1, {
      within: 0.005,
      because: 'mean of moisture for moisture of each record; 84 records without a plausible one',
    });
    // 53.0084 bu/ac over ground counted as often as driven over, at its own moisture.
    const factor = ((1 - 0.116943) / (1 - 0.135)) * (grossM2(path) / (path.coveredAreaM2 + path.coveredOutsideM2));
    const bushelsPerAc = (path.meanYieldKgHa! / bushelKg['wheat']!) * (ACRE_M2 / 1e4);
    closeTo(bushelsPerAc, 53.0084 * factor, { within: 0.01 * 53.0084, because: 'as the area and the mass above' });
    recordAgreement('real-logs', 'henrys-2018, swath × distance', Math.abs(grossHa / 74.6116 - 1), 0.015, 'relative');
    recordAgreement(
      'real-logs',
      'henrys-2018, standard mass',
      Math.abs(path.standardMassKg! / expectedKg - 1),
      0.005,
      'relative',
    );
  });

  test('sec1west-2014: 95.3096 ha of swath × distance on a field of 97.479 ha, with a receiver that jumps', () => {
    const log = logOf('sec1west-2014');
    if (log === null) return;
    const frame = createFrame(frameOriginOf(log.bounds));
    const boundary = fieldOf('sec1west', frame);
    const path = retrace(log, { frame, boundary, headerWidthM: null, crop: 'wheat' });
    expect(path.flags.length).toBe(47_872);
    const codes = path.problems.map((one) => one.code);
    expect(codes).toContain('coarse-times');
    expect(codes).not.toContain('several-machines');
    // 3969 rows have every section shut: up, not cut.
    const up = path.flags.reduce((sum, bits) => sum + (bits & FLAG['header-up'] ? 1 : 0), 0);
    closeTo(up, 3969, { within: 0.04 * 3969, because: 'those that doubled a time or jumped are not judged' });
    expect(path.flagged['position-jump']).toBeGreaterThan(500);
    const grossHa = grossM2(path) / 1e4;
    closeTo(grossHa, 95.3096, {
      within: 0.025 * 95.3096,
      because: 'positions against logged distances; steps over left-out records count here and not there',
    });
    const coveredHa = (path.coveredAreaM2 + path.coveredOutsideM2) / 1e4;
    expect(coveredHa).toBeLessThan(grossHa);
    if (boundary !== null) {
      expect(path.coverageFraction!).toBeGreaterThan(0.9);
      expect(path.coverageFraction!).toBeLessThan(1);
    }
    recordAgreement('real-logs', 'sec1west-2014, swath × distance', Math.abs(grossHa / 95.3096 - 1), 0.025, 'relative');
  });
});
