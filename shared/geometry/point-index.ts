/**
 * Nearest points and points within a radius, by a bucket grid with about two points a bucket.
 */

export interface PointIndex {
  /**
   * The k nearest points, nearest first; equal distances by index, so that the order of search never matters.
   * @param out receives the indices; at least k long
   * @returns how many were found (fewer than k where there are fewer points)
   */
  nearest(x: number, y: number, k: number, out: Int32Array): number;
  /** Visits every point at or within the radius, in no stated order. */
  within(x: number, y: number, radiusM: number, visit: (index: number, distance2: number) => void): void;
}

/**
 * An index over points in metres of the frame. The columns are read, not copied: do not write into them afterwards.
 * @cost O(n) to build; a search of 16 in 1e5 points takes a few µs
 */
export function indexPoints(xM: Float64Array, yM: Float64Array): PointIndex {
  const count = xM.length;
  if (yM.length !== count) throw new RangeError(`indexPoints: expected ${count} y values, got ${yM.length}`);
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < count; i++) {
    const x = xM[i]!;
    const y = yM[i]!;
    if (!Number.isFinite(x) || !Number.isFinite(y)) throw new RangeError(`indexPoints: point ${i} is no place`);
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  if (count === 0) return { nearest: () => 0, within: () => undefined };

  const wide = maxX - minX;
  const high = maxY - minY;
  const area = Math.max(wide * high, (Math.max(wide, high) * Math.max(wide, high)) / count);
  const bucketM = Math.sqrt((2 * area) / count) || 1;
  const columns = Math.floor(wide / bucketM) + 1;
  const rows = Math.floor(high / bucketM) + 1;
  const columnOf = (x: number) => Math.floor((x - minX) / bucketM);
  const rowOf = (y: number) => Math.floor((y - minY) / bucketM);

  const starts = new Uint32Array(columns * rows + 1);
  const bucketOf = new Uint32Array(count);
  for (let i = 0; i < count; i++) {
    const bucket = rowOf(yM[i]!) * columns + columnOf(xM[i]!);
    bucketOf[i] = bucket;
    starts[bucket + 1]!++;
  }
  for (let b = 0; b < columns * rows; b++) starts[b + 1]! += starts[b]!;
  const filled = starts.slice(0, columns * rows);
  const filed = new Uint32Array(count);
  for (let i = 0; i < count; i++) filed[filled[bucketOf[i]!]!++] = i;

  let best2 = new Float64Array(32);

  return {
    nearest(x, y, k, out) {
      if (!(k >= 1) || out.length < k)
        throw new RangeError(`nearest: expected room for ${k} points, got ${out.length}`);
      if (!Number.isFinite(x) || !Number.isFinite(y)) throw new RangeError(`nearest: ${x}, ${y} is no place`);
      if (best2.length < k) best2 = new Float64Array(2 * k);
      const column = columnOf(x);
      const row = rowOf(y);
      let found = 0;
      const look = (bucket: number) => {
        for (let at = starts[bucket]!; at < starts[bucket + 1]!; at++) {
          const i = filed[at]!;
          const dx = xM[i]! - x;
          const dy = yM[i]! - y;
          const d2 = dx * dx + dy * dy;
          if (found === k && (d2 > best2[k - 1]! || (d2 === best2[k - 1]! && i > out[k - 1]!))) continue;
          let place = found === k ? k - 1 : found++;
          while (place > 0 && (best2[place - 1]! > d2 || (best2[place - 1]! === d2 && out[place - 1]! > i))) {
            best2[place] = best2[place - 1]!;
            out[place] = out[place - 1]!;
            place--;
          }
          best2[place] = d2;
          out[place] = i;
        }
      };
      // Square rings of buckets about the place, from the first that touches the grid to the one that passes it.
      const firstRing = Math.max(0, -column, column - (columns - 1), -row, row - (rows - 1));
      const lastRing = Math.max(column, columns - 1 - column, row, rows - 1 - row);
      for (let ring = firstRing; ring <= lastRing; ring++) {
        const west = column - ring;
        const east = column + ring;
        const south = row - ring;
        const north = row + ring;
        for (let r = Math.max(0, south); r <= Math.min(rows - 1, north); r++) {
          if (r === south || r === north) {
            for (let c = Math.max(0, west); c <= Math.min(columns - 1, east); c++) look(r * columns + c);
          } else {
            if (west >= 0 && west < columns) look(r * columns + west);
            if (east < columns && east >= 0) look(r * columns + east);
          }
        }
        if (found < k) continue;
        const clearM = Math.min(
          x - (minX + west * bucketM),
          minX + (east + 1) * bucketM - x,
          y - (minY + south * bucketM),
          minY + (north + 1) * bucketM - y,
        );
        if (best2[k - 1]! < clearM * clearM * (1 - 1e-12)) break;
      }
      return found;
    },
    within(x, y, radiusM, visit) {
      const radius2 = radiusM * radiusM;
      const west = Math.max(0, columnOf(x - radiusM));
      const east = Math.min(columns - 1, columnOf(x + radiusM));
      const north = Math.min(rows - 1, rowOf(y + radiusM));
      for (let r = Math.max(0, rowOf(y - radiusM)); r <= north; r++) {
        for (let c = west; c <= east; c++) {
          const bucket = r * columns + c;
          for (let at = starts[bucket]!; at < starts[bucket + 1]!; at++) {
            const i = filed[at]!;
            const dx = xM[i]! - x;
            const dy = yM[i]! - y;
            const d2 = dx * dx + dy * dy;
            if (d2 <= radius2) visit(i, d2);
          }
        }
      }
    },
  };
}
