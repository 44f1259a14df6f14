/** A GeoTIFF that the person gave, as a picture for the map. Loaded only when one is. */
import { fromBlob, type GeoTIFFImage } from 'geotiff';
import { type Projection, projectionFromEpsg } from '../../../shared/geometry/projection.ts';
import type { Bounds, LonLat } from '../../../shared/geometry/types.ts';
import { done, type Outcome, problem, refused } from '../../../shared/model/problem.ts';
import { boundsOf } from '../field-shapes.ts';
import { type Pixels, warpToMercator } from './warp.ts';

export interface PlacedPicture {
  readonly pixels: Pixels;
  /** West, south, east, north; degrees. */
  readonly bounds: Bounds;
  readonly attribution: string;
  /** What was assumed of its coordinates, one sentence each. */
  readonly notes: readonly string[];
}

/** Longer side of what is read and drawn, pixels. */
const LONGEST_PX = 2048;
const HOW = 'Export it as a GeoTIFF in WGS 84 (EPSG:4326), web Mercator (EPSG:3857) or UTM.';

export async function readGeoTiff(file: Blob, name: string): Promise<Outcome<PlacedPicture>> {
  const no = (text: string, hint = HOW) =>
    refused(problem('error', 'base-map-file', text, { where: { file: name }, hint }));
  let first: GeoTIFFImage;
  let overviews: GeoTIFFImage[];
  try {
    const tiff = await fromBlob(file);
    first = await tiff.getImage(0);
    const count = await tiff.getImageCount();
    overviews = await Promise.all(Array.from({ length: count }, (_, k) => tiff.getImage(k)));
  } catch {
    return no(`${name} cannot be read as a TIFF.`);
  }
  const keys = first.getGeoKeys();
  const code = Number(keys?.ProjectedCSTypeGeoKey ?? keys?.GeographicTypeGeoKey ?? NaN);
  if (!Number.isInteger(code)) return no(`${name} does not say which coordinate system it is in.`);
  const projection = projectionFromEpsg(code);
  if (!projection.ok) return no(`${name} is in a coordinate system that is not known here: ${projection.why}`);
  const way = pixelWay(first);
  if (!way) return no(`${name} does not say where on the ground it lies.`);
  try {
    const pixels = await readPixels(smallestEnough(first, overviews));
    const scale = [pixels.width / first.getWidth(), pixels.height / first.getHeight()] as const;
    const bounds = boundsThrough(way, projection, first);
    if (bounds.some(Number.isNaN)) return no(`${name} lies outside of the globe.`);
    const toPixel = ([lon, lat]: LonLat) => {
      const [column, row] = way.toPixel(...projection.fromLonLat(lon, lat));
      return [column * scale[0], row * scale[1]] as const;
    };
    const drawn = warpToMercator(pixels, toPixel, bounds, LONGEST_PX);
    return done({ pixels: drawn, bounds, attribution: await attributionOf(first), notes: projection.notes });
  } catch (error) {
    return no(`${name} could not be drawn: ${error instanceof Error ? error.message : String(error)}`);
  }
}

interface PixelWay {
  toPixel(x: number, y: number): readonly [column: number, row: number];
  toModel(column: number, row: number): readonly [x: number, y: number];
}

/** The affine way between pixels and the file's coordinates, turned pictures too; null where the file has none. */
function pixelWay(image: GeoTIFFImage): PixelWay | null {
  const matrix = image.fileDirectory.hasTag('ModelTransformation')
    ? (image.fileDirectory.getValue('ModelTransformation') as ArrayLike<number>)
    : null;
  let a: number, b: number, c: number, d: number, e: number, f: number;
  try {
    if (matrix) [a, b, c, d, e, f] = [matrix[0]!, matrix[1]!, matrix[3]!, matrix[4]!, matrix[5]!, matrix[7]!];
    else {
      const [x, y] = image.getOrigin();
      const [perColumn, perRow] = image.getResolution();
      [a, b, c, d, e, f] = [perColumn!, 0, x!, 0, perRow!, y!];
    }
  } catch {
    return null;
  }
  // Where a pixel stands for a point, its middle lies there.
  const half = image.pixelIsArea() ? 0 : 0.5;
  const area = a * e - b * d;
  if (!(Math.abs(area) > 0)) return null;
  return {
    toModel: (column, row) => [a * (column - half) + b * (row - half) + c, d * (column - half) + e * (row - half) + f],
    toPixel: (x, y) => [(e * (x - c) - b * (y - f)) / area + half, (a * (y - f) - d * (x - c)) / area + half],
  };
}

const ALONG_EDGE = 8;

function boundsThrough(way: PixelWay, { toLonLat }: Projection, image: GeoTIFFImage): Bounds {
  const [width, height] = [image.getWidth(), image.getHeight()];
  const edge = Array.from({ length: ALONG_EDGE + 1 }, (_, k) => k / ALONG_EDGE).flatMap((share) => [
    [share * width, 0],
    [share * width, height],
    [0, share * height],
    [width, share * height],
  ]);
  return boundsOf(edge.map(([column, row]): LonLat => toLonLat(...way.toModel(column!, row!))));
}

/** The file's own smaller copy, where it has one that is large enough. */
function smallestEnough(first: GeoTIFFImage, all: readonly GeoTIFFImage[]): GeoTIFFImage {
  const longer = (image: GeoTIFFImage) => Math.max(image.getWidth(), image.getHeight());
  const alike = (image: GeoTIFFImage) =>
    Math.abs(image.getWidth() / image.getHeight() - first.getWidth() / first.getHeight()) < 0.05;
  const enough = all.filter((one) => longer(one) >= Math.min(LONGEST_PX, longer(first)) && alike(one));
  return enough.reduce((best, one) => (longer(one) < longer(best) ? one : best), first);
}

/** Red, green and blue; a single band is stretched from its least to its most. */
async function readPixels(image: GeoTIFFImage): Promise<Pixels> {
  const shrink = Math.min(1, LONGEST_PX / Math.max(image.getWidth(), image.getHeight()));
  const width = Math.max(1, Math.round(image.getWidth() * shrink));
  const height = Math.max(1, Math.round(image.getHeight() * shrink));
  const rgba = new Uint8ClampedArray(4 * width * height);
  const photometric = Number(image.fileDirectory.getValue('PhotometricInterpretation') ?? 1);
  if (photometric >= 2 && image.getBitsPerSample() === 8) {
    const rgb = await image.readRGB({ width, height, interleave: true });
    for (let i = 0; i < width * height; i++) {
      for (let band = 0; band < 3; band++) rgba[4 * i + band] = Number(rgb[3 * i + band]);
      rgba[4 * i + 3] = 255;
    }
    return { width, height, rgba };
  }
  const colors = photometric === 2 && image.getSamplesPerPixel() >= 3 ? [0, 1, 2] : [0];
  const bands = await image.readRasters({ width, height, samples: colors, interleave: false });
  const none = image.getGDALNoData();
  for (const [band, values] of bands.entries())
    stretch(values as ArrayLike<number>, none, rgba, colors.length === 1 ? null : band);
  return { width, height, rgba };
}

/** Writes a band, or all three of a gray picture. */
function stretch(values: ArrayLike<number>, none: number | null, rgba: Uint8ClampedArray, band: number | null): void {
  let [least, most] = [Infinity, -Infinity];
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value === none || Number.isNaN(value)) continue;
    [least, most] = [Math.min(least, value), Math.max(most, value)];
  }
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value === none || Number.isNaN(value)) continue;
    const shown = most > least ? (255 * (value - least)) / (most - least) : 128;
    for (const at of band === null ? [0, 1, 2] : [band]) rgba[4 * i + at] = shown;
    rgba[4 * i + 3] = 255;
  }
}

async function attributionOf({ fileDirectory }: GeoTIFFImage): Promise<string> {
  const said = fileDirectory.hasTag('Copyright') ? await fileDirectory.loadValue('Copyright') : '';
  return typeof said === 'string' ? said.replace(/\0/g, '').trim() : '';
}
