/** What a person is told about where a harvest log lies. */
import { polygonBounds } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { FlatMultiPolygon } from '../geometry/types.ts';
import type { Findings, Telling } from './harvest-findings.ts';

/** Whether the log lies on this field at all. */
export function tellPlace(boundary: FlatMultiPolygon, { input, path, sweep }: Findings, { note, warn }: Telling): void {
  const { count, xM, yM, headerDown } = path;
  const index = indexPolygon(boundary);
  let down = 0;
  let inside = 0;
  let nearest2 = Infinity;
  for (let k = 0; k < count; k++) {
    if (headerDown[k] === 0) continue;
    down++;
    if (index.contains(xM[k]!, yM[k]!)) inside++;
  }
  if (down === 0) return;
  const sideM = narrowSideM(boundary);
  let [wide, first] = [0, -1];
  for (let k = 0; k < count; k++) {
    if (!(path.swathM[k]! > sideM)) continue;
    wide++;
    if (first < 0) first = k;
  }
  if (wide > 0) {
    const row = input.log.row[path.record[first]!]!;
    warn(
      'swath-wider-than-field',
      `Row ${row}: the cut width is ${path.swathM[first]!.toFixed(1)} m, the field is ${sideM.toFixed(1)} m wide (${wide} records).`,
      'Is the width in another unit, or is this another field?',
      row,
    );
  }
  const share = inside / down;
  if (share < 0.5) {
    const stride = Math.max(1, Math.floor(count / 500));
    for (let k = 0; k < count; k += stride) nearest2 = Math.min(nearest2, distance2(boundary, xM[k]!, yM[k]!));
    const away = inside > 0 ? 'it touches the field' : `it comes no nearer than ${Math.round(Math.sqrt(nearest2))} m`;
    warn(
      'log-of-another-field',
      `${Math.round(100 * share)} % of the cutting lies inside this field; ${away}.`,
      'Is this the log of another field?',
    );
  } else if (sweep.coveredOutsideM2 > 0.02 * sweep.coveredAreaM2) {
    note(
      'cut-outside',
      `${(sweep.coveredOutsideM2 / 1e4).toFixed(2)} ha were cut outside the boundary and are kept apart.`,
    );
  }
}

/** The shorter side of the field's box. */
function narrowSideM(boundary: FlatMultiPolygon): number {
  const [west, south, east, north] = polygonBounds(boundary);
  return Math.min(east - west, north - south);
}

function distance2(boundary: FlatMultiPolygon, x: number, y: number): number {
  let best = Infinity;
  for (const rings of boundary) {
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        const dx = ring[i]! - ring[j]!;
        const dy = ring[i + 1]! - ring[j + 1]!;
        const size2 = dx * dx + dy * dy;
        const share = size2 > 0 ? ((x - ring[j]!) * dx + (y - ring[j + 1]!) * dy) / size2 : 0;
        const t = Math.min(1, Math.max(0, share));
        best = Math.min(best, (ring[j]! + t * dx - x) ** 2 + (ring[j + 1]! + t * dy - y) ** 2);
      }
    }
  }
  return best;
}
