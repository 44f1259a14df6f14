/** Where a corner goes that is put near an edge of the field or of a neighboring zone: onto its nearest corner, else onto the edge. */
import { toLocalPolygon } from '../../../shared/geometry/polygon.ts';
import type { Frame } from '../../../shared/geometry/local-frame.ts';
import type { FlatRing, LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';

export interface Snapped {
  readonly at: LonLat;
  readonly to: 'corner' | 'edge';
}

export class SnapTargets {
  private readonly rings: readonly FlatRing[];

  constructor(
    private readonly frame: Frame,
    areas: readonly MultiPolygon[],
  ) {
    this.rings = areas.flatMap((area) => toLocalPolygon(frame, area).flat());
  }

  /** null where nothing lies within reach. */
  near([lon, lat]: LonLat, reachM: number): Snapped | null {
    const [x, y] = this.frame.toLocal(lon, lat);
    let corner: readonly [number, number] | null = null;
    let edge: readonly [number, number] | null = null;
    let cornerM = reachM;
    let edgeM = reachM;
    for (const ring of this.rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        const [ax, ay, bx, by] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
        const fromCornerM = Math.hypot(bx - x, by - y);
        if (fromCornerM <= cornerM) [corner, cornerM] = [[bx, by], fromCornerM];
        const on = nearestOn(ax, ay, bx, by, x, y);
        const fromEdgeM = Math.hypot(on[0] - x, on[1] - y);
        if (fromEdgeM <= edgeM) [edge, edgeM] = [on, fromEdgeM];
      }
    }
    const found = corner ?? edge;
    return found && { at: this.frame.toLonLat(found[0], found[1]), to: corner ? 'corner' : 'edge' };
  }
}

/** The place of a stretch that is nearest to a point. */
export function nearestOn(ax: number, ay: number, bx: number, by: number, x: number, y: number): [number, number] {
  const [dx, dy] = [bx - ax, by - ay];
  const length2 = dx * dx + dy * dy;
  const share = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length2));
  return [ax + share * dx, ay + share * dy];
}
