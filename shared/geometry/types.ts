/**
 * Two coordinate worlds with two shapes: degrees on WGS 84 at the borders (`LonLat`), metres in a field's own frame
 * inside (flat arrays x0, y0, x1, y1, …).
 */

/** Degrees on WGS 84, longitude first. */
export type LonLat = readonly [lon: number, lat: number];
/** RFC 7946 coordinates of a MultiPolygon: polygons → rings (outer first) → closed corners, degrees. */
export type MultiPolygon = LonLat[][][];

/** A ring in metres of the frame: interleaved x, y; NOT closed (the last corner is not the first again); outer rings counter-clockwise, holes clockwise. */
export type FlatRing = Float64Array;
/** Outer ring first, then its holes. */
export type FlatPolygon = FlatRing[];
/** Any number of disjoint polygons in metres; [] is the empty area. */
export type FlatMultiPolygon = FlatPolygon[];

/** West, south, east, north (degrees) or min x, min y, max x, max y (metres). */
export type Bounds = readonly [number, number, number, number];

/** Where a raster lies: cell (column 0, row 0) is south-west; index = row × columns + column; metres of the frame. */
export interface GridShape {
  readonly x0M: number;
  readonly y0M: number;
  readonly columns: number;
  readonly rows: number;
  readonly cellM: number;
}

/** A raster of one quantity; NaN is *unknown*. */
export interface Grid extends GridShape {
  readonly values: Float64Array | Float32Array;
}
