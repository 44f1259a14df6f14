/** The few calls of GEOS (as WebAssembly) that the benchmarks compare with: flat rings in, numbers out. */
import initGeosJs from 'geos-wasm';
import type { FlatMultiPolygon, FlatPolygon, FlatRing } from '../../shared/geometry/types.ts';

const COLLECTION = 7;
const MULTI_POLYGON = 6;

export class Geos {
  private readonly number: number;

  private constructor(private readonly engine: Awaited<ReturnType<typeof initGeosJs>>) {
    this.number = engine.Module._malloc(8);
  }

  static async start(): Promise<Geos> {
    return new Geos(await initGeosJs());
  }

  /** A geometry that the caller destroys. */
  area(polygons: FlatMultiPolygon, kind = MULTI_POLYGON): number {
    return this.collected(
      polygons.map((rings) => this.polygon(rings)),
      kind,
    );
  }

  destroy(geometry: number): void {
    this.engine.GEOSGeom_destroy(geometry);
  }

  areaM2(geometry: number): number {
    this.engine.GEOSArea(geometry, this.number);
    return this.engine.Module.getValue(this.number, 'double');
  }

  intersectionAreaM2(a: FlatMultiPolygon, b: FlatMultiPolygon): number {
    const [first, second] = [this.area(a), this.area(b)];
    const both = this.engine.GEOSIntersection(first, second);
    const areaM2 = this.areaM2(both);
    for (const one of [first, second, both]) this.destroy(one);
    return areaM2;
  }

  unionAreaM2(areas: readonly FlatMultiPolygon[]): number {
    const all = this.area(areas.flat(), COLLECTION);
    const united = this.engine.GEOSUnaryUnion(all);
    const areaM2 = this.areaM2(united);
    this.destroy(all);
    this.destroy(united);
    return areaM2;
  }

  /** Places inside the polygon, by a prepared geometry. */
  countInside(polygon: FlatMultiPolygon, xM: Float64Array, yM: Float64Array): number {
    const { engine } = this;
    const geometry = this.area(polygon);
    const prepared = engine.GEOSPrepare(geometry);
    let inside = 0;
    for (let i = 0; i < xM.length; i++) inside += engine.GEOSPreparedContainsXY(prepared, xM[i]!, yM[i]!);
    engine.GEOSPreparedGeom_destroy(prepared);
    this.destroy(geometry);
    return inside;
  }

  private polygon(rings: FlatPolygon): number {
    const [shell, ...holes] = rings.map((ring) => this.ring(ring));
    const list = this.list(holes);
    const polygon = this.engine.GEOSGeom_createPolygon(shell!, list, holes.length);
    this.engine.Module._free(list);
    return polygon;
  }

  private ring(ring: FlatRing): number {
    const { engine } = this;
    const corners = ring.length / 2 + 1;
    const at = engine.Module._malloc(16 * corners);
    const heap = engine.Module.HEAPF64;
    heap.set(ring, at / 8);
    heap[at / 8 + ring.length] = ring[0]!;
    heap[at / 8 + ring.length + 1] = ring[1]!;
    const line = engine.GEOSCoordSeq_copyFromBuffer(at, corners, 0, 0);
    engine.Module._free(at);
    return engine.GEOSGeom_createLinearRing(line);
  }

  private collected(geometries: readonly number[], kind: number): number {
    const list = this.list(geometries);
    const all = this.engine.GEOSGeom_createCollection(kind, list, geometries.length);
    this.engine.Module._free(list);
    return all;
  }

  private list(pointers: readonly number[]): number {
    const at = this.engine.Module._malloc(Math.max(4, 4 * pointers.length));
    this.engine.Module.HEAPU32.set(pointers, at / 4);
    return at;
  }
}
