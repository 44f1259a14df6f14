/** Logs with one row a header section: the rows of one time become one record. */
import type { Numbers } from './growing.ts';

export interface SectionColumns {
  readonly timeS: Float64Array;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  readonly flow: Numbers;
  readonly swath: Numbers | null;
  readonly moisture: Numbers | null;
}

/** Index of the record of each row and the number of records; null where no two rows share a time in different sections. */
export function groupSections(
  timeS: Float64Array,
  section: Float64Array,
): { record: Uint32Array; count: number; sections: number } | null {
  const sections = new Set(section);
  if (sections.size < 2) return null;
  const recordOfTime = new Map<number, number>();
  const record = new Uint32Array(timeS.length);
  for (let i = 0; i < timeS.length; i++) {
    const time = timeS[i]!;
    let index = recordOfTime.get(time);
    if (index === undefined) recordOfTime.set(time, (index = recordOfTime.size));
    record[i] = index;
  }
  return recordOfTime.size < timeS.length ? { record, count: recordOfTime.size, sections: sections.size } : null;
}

/** First row of each record. */
export function firstRows(record: Uint32Array, count: number): Uint32Array {
  const first = new Uint32Array(count);
  for (let i = record.length - 1; i >= 0; i--) first[record[i]!] = i;
  return first;
}

/**
 * One record a time: widths and flows add up; the position is the middle of the cutting width (sections weighted by width),
 * moisture the mean weighted by flow, plain where nothing flows.
 */
export function mergeSections(rows: SectionColumns, record: Uint32Array, count: number): SectionColumns {
  const make = () => new Float64Array(count);
  const [lon, lat, weight, flow, swath, moisture, wet, dryShare, shares] = [
    make(),
    make(),
    make(),
    make(),
    make(),
    make(),
    make(),
    make(),
    make(),
  ];
  const first = firstRows(record, count);
  for (let i = 0; i < record.length; i++) {
    const at = record[i]!;
    const origin = first[at]!;
    const width = rows.swath ? rows.swath[i]! : 1;
    const w = width > 0 ? width : 1e-9;
    lon[at]! += w * (rows.lon[i]! - rows.lon[origin]!);
    lat[at]! += w * (rows.lat[i]! - rows.lat[origin]!);
    weight[at]! += w;
    flow[at]! += rows.flow[i]!;
    swath[at]! += width;
    const share = rows.moisture ? rows.moisture[i]! : NaN;
    if (share === share) {
      dryShare[at]! += share;
      shares[at]! += 1;
      if (rows.flow[i]! > 0) {
        moisture[at]! += share * rows.flow[i]!;
        wet[at]! += rows.flow[i]!;
      }
    }
  }
  for (let at = 0; at < count; at++) {
    const origin = first[at]!;
    lon[at] = rows.lon[origin]! + lon[at]! / weight[at]!;
    lat[at] = rows.lat[origin]! + lat[at]! / weight[at]!;
    moisture[at] = wet[at]! > 0 ? moisture[at]! / wet[at]! : dryShare[at]! / shares[at]!;
  }
  const timeS = Float64Array.from(first, (row) => rows.timeS[row]!);
  return { timeS, lon, lat, flow, swath: rows.swath ? swath : null, moisture: rows.moisture ? moisture : null };
}
