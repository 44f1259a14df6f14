import { describe, expect, it } from 'vitest';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import type { BoundaryRecords } from '../../../shared/model/records.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { boundariesIn, bundleFromDisk, readAll } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { realDataPath } from '../../support/real-data.ts';

/**
 * Real boundaries; the expected values were computed outside of this tool (GeographicLib's Planimeter, ogrinfo, R sf) and are
 * listed in the data's own README. Skipped aloud where the files are not beside the repository.
 */
function readReal(file: string): { records: BoundaryRecords; problems: string[] } | null {
  const path = realDataPath(`fields/${file}`);
  if (path === null) return null;
  const importer = file.endsWith('.zip') ? shapefileImporter : geojsonImporter;
  const outcome = readAll(importer, bundleFromDisk(path));
  return {
    records: boundariesIn(outcome),
    problems: outcome.problems.map((one) => `${one.level} ${one.code} ${one.text}`),
  };
}

const sum = (records: BoundaryRecords) => records.features.reduce((total, one) => total + one.areaM2, 0);
const holes = (records: BoundaryRecords) =>
  records.features.flatMap((one) => one.polygon).reduce((total, rings) => total + rings.length - 1, 0);
const corners = (records: BoundaryRecords) =>
  records.features.flatMap((one) => one.polygon.flat()).reduce((total, ring) => total + ring.length, 0);
/** Sums of all rings by GeographicLib 2.1's `Planimeter -w -p 14` on the same files. */
const summed = { within: 2e-3, because: 'Planimeter prints 1e-5 m² a ring, up to 200 rings' };
const rounded = { within: 0.05, because: 'the expected value is printed with one decimal' };

describe('real boundaries', () => {
  it('the five fields of the harvest logs have the areas that Planimeter gives', () => {
    const real = readReal('montana-manitoba-fields.geojson');
    if (real === null) return;
    const areas = real.records.features.map((one) => one.areaM2);
    const expected = [922708.1, 732192.3, 974789.3, 401955.5, 259470.3];
    expected.forEach((areaM2, i) => closeTo(areas[i]!, areaM2, rounded));
    recordAgreement(
      'file-interop',
      'areas of five real fields',
      Math.max(...expected.map((areaM2, i) => Math.abs(areas[i]! - areaM2))),
      rounded.within,
      'm²',
    );
    expect(corners(real.records)).toBe(115);
    expect(holes(real.records)).toBe(0);
    expect(real.records.features.map((one) => one.name)).toContain('henrys');
  });

  it('a hundred boundaries made from rasters sum to Planimeter, 4 that touch themselves told and kept', () => {
    const real = readReal('csb-100.geojson');
    if (real === null) return;
    expect(real.records.features.length).toBe(100);
    closeTo(sum(real.records), 6769479.62887, summed);
    expect(holes(real.records)).toBe(3);
    [-103.449618, 35.807381, -103.240939, 35.85571].forEach((edge, i) =>
      closeTo(real.records.bounds[i]!, edge, { within: 1e-6, because: 'the expected value has 6 decimals' }),
    );
    const touching = real.problems.filter((text) => text.includes('ring-touches-itself'));
    for (const id of ['016', '018', '030', '055']) {
      expect(touching.filter((text) => text.includes(`${id}” (feature`)).length).toBe(1);
    }
    expect(touching.length).toBe(4);
    expect(real.records.features[0]!.name).toBe('351724000000001');
  });

  it('the farm-sized set has its sum, largest and smallest', () => {
    const real = readReal('csb-farm.geojson');
    if (real === null) return;
    const areas = real.records.features.map((one) => one.areaM2).sort((a, b) => a - b);
    expect(areas.length).toBe(31);
    closeTo(sum(real.records), 4766010.83897, summed);
    closeTo(areas.at(-1)!, 1302043.6, rounded);
    closeTo(areas[0]!, 51988.3, rounded);
    expect(real.records.features.map((one) => one.name)).toContain('Field 01');
  });

  it('195 pivots and strips: sum, parts, holes and corners, nothing repaired', () => {
    const real = readReal('bahia-195.geojson');
    if (real === null) return;
    expect(real.records.features.length).toBe(195);
    recordAgreement(
      'file-interop',
      'sum of 195 real fields',
      Math.abs(sum(real.records) - 249197597.76967),
      2e-3,
      'm²',
    );
    closeTo(sum(real.records), 249197597.76967, summed);
    expect(real.records.features.filter((one) => one.polygon.length > 1).length).toBe(4);
    expect(holes(real.records)).toBe(2);
    expect(corners(real.records)).toBe(8386);
    expect(real.problems.filter((text) => !/field-twice|shape-twice|name-twice|winding|touches/.test(text))).toEqual(
      [],
    );
  });

  it('zips as delivered, with resource forks beside each part, give the same fields as the GeoJSON', () => {
    const geojson = readReal('montana-manitoba-fields.geojson');
    if (geojson === null) return;
    const zips = ['henrys_bbox', 'millview_bbox', 'sec1west_bbox', 'sec35mid_bbox'];
    const read = zips.map((name) => readReal(`shapefile/${name}.zip`)!);
    expect(read.map((one) => one.records.features.length)).toEqual([1, 1, 1, 2]);
    const areas = read.flatMap((one) => one.records.features.map((feature) => feature.areaM2));
    geojson.records.features.forEach((feature, i) =>
      closeTo(areas[i]!, feature.areaM2, {
        within: 1,
        because: 'the GeoJSON keeps 8 decimals: up to 0.5 mm across 6 km of edge',
      }),
    );
  });
});
