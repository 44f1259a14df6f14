// @vitest-environment happy-dom
import { writeArrayBuffer } from 'geotiff';
import { describe, expect, it } from 'vitest';
import { projectionFromEpsg } from '../../../../shared/geometry/projection.ts';
import { readGeoTiff } from '../../../../src/map/base-map/geotiff-picture.ts';
import { warpToMercator } from '../../../../src/map/base-map/warp.ts';
import { mercatorOf } from '../../../../src/map/mercator.ts';

/** 4 × 2 pixels: red, green, blue, white over four grays. */
const COLORS = [255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255, 10, 10, 10, 60, 60, 60, 110, 110, 110, 160, 160, 160];

function tiff(georeference: Record<string, unknown>): Blob {
  const bytes = writeArrayBuffer(Uint8Array.from(COLORS), {
    height: 2,
    width: 4,
    SamplesPerPixel: 3,
    BitsPerSample: [8, 8, 8],
    PhotometricInterpretation: 2,
    ...georeference,
  } as never);
  return new Blob([bytes as ArrayBuffer]);
}

const UTM_16 = {
  GTModelTypeGeoKey: 1,
  GTRasterTypeGeoKey: 1,
  ProjectedCSTypeGeoKey: 32616,
  ModelPixelScale: [10, 10, 0],
  ModelTiepoint: [0, 0, 0, 483000, 4441000, 0],
};

describe('a GeoTIFF of the person’s own', () => {
  it('lies where its coordinate system says', async () => {
    const read = await readGeoTiff(tiff(UTM_16), 'field.tif');
    expect(read.ok).toBe(true);
    if (!read.ok) return;
    const [west, south, east, north] = read.value.bounds;
    const utm = projectionFromEpsg(32616);
    if (!utm.ok) throw new Error(utm.why);
    const corners = [
      [483000, 4441000],
      [483040, 4441000],
      [483000, 4440980],
      [483040, 4440980],
    ].map(([x, y]) => utm.toLonLat(x!, y!));
    expect(west).toBeCloseTo(Math.min(...corners.map(([lon]) => lon)), 9);
    expect(east).toBeCloseTo(Math.max(...corners.map(([lon]) => lon)), 9);
    expect(south).toBeCloseTo(Math.min(...corners.map(([, lat]) => lat)), 9);
    expect(north).toBeCloseTo(Math.max(...corners.map(([, lat]) => lat)), 9);
  });

  it('keeps its colors, each on its own ground', async () => {
    const read = await readGeoTiff(tiff(UTM_16), 'field.tif');
    if (!read.ok) throw new Error(read.problems[0]!.text);
    const { pixels, bounds } = read.value;
    const utm = projectionFromEpsg(32616);
    if (!utm.ok) throw new Error(utm.why);
    const colorAt = (x: number, y: number) => {
      const [px, py] = mercatorOf(utm.toLonLat(x, y));
      const [west, north] = mercatorOf([bounds[0], bounds[3]]);
      const [east, south] = mercatorOf([bounds[2], bounds[1]]);
      const column = Math.floor(((px - west) / (east - west)) * pixels.width);
      const row = Math.floor(((py - north) / (south - north)) * pixels.height);
      return [...pixels.rgba.slice(4 * (row * pixels.width + column), 4 * (row * pixels.width + column) + 4)];
    };
    expect(colorAt(483005, 4440995)).toEqual([255, 0, 0, 255]);
    expect(colorAt(483015, 4440995)).toEqual([0, 255, 0, 255]);
    expect(colorAt(483035, 4440985)).toEqual([160, 160, 160, 255]);
  });

  it('is refused in words where it is no TIFF, or does not say where it lies', async () => {
    const none = await readGeoTiff(new Blob(['a,b\n1,2\n']), 'counts.csv');
    expect(none.ok).toBe(false);
    expect(none.problems[0]!.text).toBe('counts.csv cannot be read as a TIFF.');
    const unknown = await readGeoTiff(tiff({ ...UTM_16, ProjectedCSTypeGeoKey: 2193 }), 'far.tif');
    expect(unknown.ok).toBe(false);
    expect(unknown.problems[0]!.text).toContain('EPSG:2193 is not among the codes known here');
    expect(unknown.problems[0]!.hint).toContain('EPSG:4326');
  });
});

describe('a picture drawn anew in Mercator', () => {
  it('leaves out what the picture does not cover', () => {
    const picture = { width: 1, height: 1, rgba: Uint8ClampedArray.of(9, 8, 7, 255) };
    const drawn = warpToMercator(picture, ([lon]) => [lon < 0.5 ? 0.5 : -1, 0.5], [0, 0, 1, 0.001], 64);
    expect(drawn.width).toBe(64);
    expect(drawn.rgba[3]).toBe(255);
    expect(drawn.rgba[4 * 63 + 3]).toBe(0);
  });

  it('puts rows where Mercator has them: a row of degrees grows northward', () => {
    // A picture of ten rows from 50° to 60°; the middle of the drawing is north of 55° by less than half a degree.
    const rows = Array.from({ length: 10 }, (_, row) => [row, row, row, 255]).flat();
    const picture = { width: 1, height: 10, rgba: Uint8ClampedArray.from(rows) };
    const drawn = warpToMercator(picture, ([, lat]) => [0.5, 60 - lat], [0, 50, 1, 60], 1000);
    const rowAt = (share: number) => drawn.rgba[4 * Math.floor(share * drawn.height) * drawn.width];
    const middle = mercatorOf([0, 55.5])[1];
    const [north, south] = [mercatorOf([0, 60])[1], mercatorOf([0, 50])[1]];
    expect(rowAt((middle - north) / (south - north))).toBe(4);
    expect(rowAt(0.999)).toBe(9);
    expect(rowAt(0)).toBe(0);
  });
});
