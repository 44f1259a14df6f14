/** One file and one interface a format. A writer gives whole files as bytes, and says what the format could not carry. */
import type { MultiPolygon } from '../geometry/types.ts';
import type { Problem } from '../model/problem.ts';
import { UNITS, type UnitId } from '../units/units.ts';

export interface ZoneFeature {
  /** Degrees on WGS 84; winding does not matter. */
  readonly polygon: MultiPolygon;
  readonly properties: Readonly<Record<string, string | number | null>>;
}

export interface ExportWishes {
  /** Of the files, without ending. */
  readonly name: string;
  /** Units of the properties that hold a quantity: { rate: 'gal/ac' }. A rate must have one. */
  readonly units?: Readonly<Record<string, UnitId>>;
}

export interface Exported {
  readonly files: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  /** Level note or warning: units, names cut, text cut, numbers rounded. */
  readonly notes: readonly Problem[];
}

export interface Exporter {
  readonly id: string;
  readonly title: string;
  /** Of the main file, with its dot. */
  readonly extension: string;
  /** @throws On what only a programmer can cause: a rate without a unit, a number or corner that is not finite, an unsafe name. */
  write(zones: readonly ZoneFeature[], wishes: ExportWishes): Exported;
}

/** Property names over all zones, in the order in which they first come. */
export function columnsOf(zones: readonly ZoneFeature[]): string[] {
  const columns = new Set<string>();
  for (const { properties } of zones) for (const column of Object.keys(properties)) columns.add(column);
  return [...columns];
}

/** A unit as part of a name: gal/ac → gal_ac, fl oz/ac → fl_oz_ac, % → percent. */
export function unitSuffix(unit: UnitId): string {
  return unit
    .replaceAll('%', 'percent')
    .replace(/[^A-Za-z0-9]+/g, '_')
    .replace(/^_|_$/g, '');
}

/**
 * Refuses what must never leave the house: numbers that are not finite, rings that are not rings, rates whose unit a machine
 * would have to guess.
 */
export function checkZones(zones: readonly ZoneFeature[], { name, units = {} }: ExportWishes): void {
  if (!/^[^/\\:*?"<>|\0]+$/.test(name) || name.startsWith('.')) throw new Error(`export: bad file name “${name}”`);
  const columns = columnsOf(zones);
  for (const [column, unit] of Object.entries(units)) {
    if (!columns.includes(column)) throw new Error(`export: a unit is given for “${column}”, which no zone has`);
    if (!Object.hasOwn(UNITS, unit)) throw new Error(`export: “${unit}” is not a unit`);
  }
  for (const column of columns) {
    const hasNumbers = zones.some(({ properties }) => typeof properties[column] === 'number');
    if (/rate/i.test(column) && hasNumbers && units[column] === undefined) {
      throw new Error(`export: the rate “${column}” has no unit`);
    }
  }
  zones.forEach(({ polygon, properties }, i) => {
    for (const [column, value] of Object.entries(properties)) {
      if (typeof value === 'number' && !Number.isFinite(value)) {
        throw new Error(`export: zone ${i + 1} has ${value} in “${column}”`);
      }
    }
    if (polygon.length === 0) throw new Error(`export: zone ${i + 1} has no area`);
    for (const rings of polygon) {
      for (const ring of rings) {
        if (ring.length < 4)
          throw new Error(`export: zone ${i + 1} has a ring of ${ring.length} corners; closed ones have 4`);
        const [first, last] = [ring[0]!, ring.at(-1)!];
        if (first[0] !== last[0] || first[1] !== last[1])
          throw new Error(`export: zone ${i + 1} has a ring that is not closed`);
        for (const [lon, lat] of ring) {
          if (!(Math.abs(lon) <= 180 && Math.abs(lat) <= 90)) {
            throw new Error(`export: zone ${i + 1} has a corner at ${lon}, ${lat}`);
          }
        }
      }
    }
  });
}

/** Twice the signed area in square degrees; positive counter-clockwise. */
export function ringTurn(ring: readonly (readonly [number, number])[]): number {
  const [x0, y0] = ring[0]!;
  let sum = 0;
  for (let i = 1; i < ring.length; i++) {
    const a = ring[i - 1]!;
    const b = ring[i]!;
    sum += (a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0);
  }
  return sum;
}
