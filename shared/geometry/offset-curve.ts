/**
 * The raw curve at a distance to the right of a closed path, joins and caps included. It crosses itself at bays and
 * where things vanish: the ground that it winds about more often counter-clockwise than clockwise is the buffer.
 *
 * Chords and cut-off mitres are placed as GEOS places them, so that areas can be compared to the last grid line.
 * @source tests/reference/polygon-ops (GEOS 3.11)
 */

export interface OffsetStyle {
  readonly join: 'round' | 'mitre';
  /** Chords that stand for a quarter turn. */
  readonly quadrantSegments: number;
  /** How many distances a mitred corner may stand out; beyond, it is cut off square at that distance. */
  readonly mitreLimit: number;
  /** Never fewer chords than a turn asks for (instead of the nearest number). */
  readonly finer: boolean;
}

export interface PathPoint {
  x: number;
  y: number;
}

/**
 * @param path closed, without repeated corners, in any unit; at least two points
 * @param distance to the right, in the same unit; negative to the left
 * @param caps indices where the path turns back on itself at the end of a line, and how the end is closed
 * @cost O(n × chords)
 */
export function offsetCurve(
  path: readonly PathPoint[],
  distance: number,
  style: OffsetStyle,
  caps: { readonly at: readonly number[]; readonly round: boolean } = { at: [], round: true },
): PathPoint[] {
  const count = path.length;
  const out: PathPoint[] = [];
  // Unit direction of the edge that leaves each corner.
  const ux = new Float64Array(count);
  const uy = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const next = path[(i + 1) % count]!;
    const dx = next.x - path[i]!.x;
    const dy = next.y - path[i]!.y;
    const length = Math.hypot(dx, dy);
    ux[i] = dx / length;
    uy[i] = dy / length;
  }
  for (let i = 0; i < count; i++) {
    const k = (i + count - 1) % count;
    const { x, y } = path[i]!;
    // The ends of the shifted edges before and after the corner; the right-hand normal of (ux, uy) is (uy, −ux).
    const before = { x: x + distance * uy[k]!, y: y - distance * ux[k]! };
    const after = { x: x + distance * uy[i]!, y: y - distance * ux[i]! };
    const sine = ux[k]! * uy[i]! - uy[k]! * ux[i]!;
    const cosine = ux[k]! * ux[i]! + uy[k]! * uy[i]!;
    const cap = caps.at.includes(i);
    const turnsBack = cosine < 0 && Math.abs(sine) < 1e-12;
    if (!cap && !turnsBack && sine * distance < 0) {
      // A bay: by way of the corner itself, so that the loop is wound the other way and falls out.
      out.push(before, { x, y }, after);
      continue;
    }
    out.push(before);
    if (cap ? caps.round : style.join === 'round') {
      const turn = cap || turnsBack ? Math.PI : Math.abs(Math.atan2(sine, cosine));
      const asked = (turn / (Math.PI / 2)) * style.quadrantSegments;
      const chords = style.finer ? Math.ceil(asked - 1e-9) : Math.floor(asked + 0.5);
      const step = (Math.sign(distance) * turn) / Math.max(1, chords);
      for (let c = 1; c < chords; c++) {
        const cos = Math.cos(c * step);
        const sin = Math.sin(c * step);
        const rx = before.x - x;
        const ry = before.y - y;
        out.push({ x: x + rx * cos - ry * sin, y: y + rx * sin + ry * cos });
      }
    } else if (!cap) {
      const halfCosine = Math.sqrt(Math.max(0, (1 + cosine) / 2));
      const reach = Math.abs(distance);
      if (halfCosine * style.mitreLimit >= 1) {
        const grow = 1 / (1 + cosine);
        out.push({
          x: x + distance * grow * (uy[k]! + uy[i]!),
          y: y - distance * grow * (ux[k]! + ux[i]!),
        });
      } else {
        const halfSine = Math.sqrt(Math.max(0, (1 - cosine) / 2));
        const along = (reach * (style.mitreLimit - halfCosine)) / halfSine;
        out.push(
          { x: before.x + along * ux[k]!, y: before.y + along * uy[k]! },
          { x: after.x - along * ux[i]!, y: after.y - along * uy[i]! },
        );
      }
    }
    out.push(after);
  }
  return out;
}
