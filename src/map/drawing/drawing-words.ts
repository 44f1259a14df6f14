/** What the bar says while something is drawn: what to do next, how large it is, what is amiss. */
import type { LonLat } from '../../../shared/geometry/types.ts';
import { type Display, formatNumber, formatQuantity, shownUnit } from '../../../shared/units/format.ts';
import { toSI } from '../../../shared/units/units.ts';
import type { Sketching } from './sketching.svelte.ts';
import { type CornerRef, cornersOf } from './sketch.ts';
import { distanceM } from './soundness.ts';

export function nextStep({ sketch, isComplete }: Sketching): string {
  const placed = sketch.rings[0]?.corners.length ?? 0;
  if (sketch.kind === 'point')
    return isComplete ? 'Press elsewhere to move it, or Done.' : 'Press its place on the map.';
  if (sketch.kind === 'line') {
    if (placed === 0) return 'Press where the line begins, outside of what it cuts.';
    return isComplete ? 'Press its next corner, or Done.' : 'Press its next corner.';
  }
  if (sketch.phase === 'shaping') {
    return 'Drag a corner to move it, or the small mark in the middle of an edge to make a new one. Then press Done.';
  }
  if (placed === 0) return 'Press its first corner on the map.';
  return isComplete
    ? 'Press the next corner; Done, or the first corner again, closes it.'
    : `Press the ${placed === 1 ? 'second' : 'third'} corner.`;
}

export function size({ sketch, sound, cross, frame }: Sketching, display: Display): string {
  if (sketch.kind === 'point') return '';
  const corners = cornersOf(sketch).length;
  if (corners === 0) return '';
  const length = (valueM: number) => formatQuantity(valueM, 'length', display, 0);
  const parts = [`${corners} ${corners === 1 ? 'corner' : 'corners'}`];
  const last = sketch.rings[0]!.corners.at(-1)!;
  if (sketch.phase === 'placing') parts.push(`${length(distanceM(frame, last, cross))} from the last`);
  if (sketch.kind === 'line') parts.push(`${length(sound.lengthM)} long`);
  else if (sound.areaM2 > 0) {
    parts.push(formatQuantity(sound.areaM2, 'area', display));
    if (sketch.phase === 'shaping') parts.push(`${length(sound.lengthM)} around`);
  }
  return parts.join(' · ');
}

/** null where nothing is. */
export function amiss(drawing: Sketching, display: Display): string | null {
  const { sketch, sound, crossesAt } = drawing;
  if (crossesAt) {
    const corner = nearestCorner(drawing, crossesAt);
    const away = formatQuantity(distanceM(drawing.frame, crossesAt, corner.at), 'length', display, 0);
    return `The outline crosses itself ${away} from corner ${corner.number} (ringed on the map).`;
  }
  if (sketch.phase === 'placing' && !drawing.isComplete) return null;
  if (sound.fault) return sound.fault;
  if (sound.outsideM2 > 0)
    return `${formatQuantity(sound.outsideM2, 'area', display)} of it lie outside of the field and will be left out.`;
  return null;
}

function nearestCorner({ sketch, frame }: Sketching, at: LonLat): { number: number; at: LonLat } {
  const all = sketch.rings.flatMap((ring) => ring.corners);
  const away = all.map((one) => distanceM(frame, one, at));
  const index = away.indexOf(Math.min(...away));
  return { number: index + 1, at: all[index]! };
}

/** Said to those who hear the map, after a key. */
export function whereIs(drawing: Sketching, ref: CornerRef | null): string {
  const [lon, lat] = drawing.cross;
  const place = `${degrees(lat, 'N', 'S')}, ${degrees(lon, 'E', 'W')}`;
  if (!ref) return `Cross at ${place}.`;
  const all = cornersOf(drawing.sketch);
  const number = all.findIndex((one) => one.ring === ref.ring && one.corner === ref.corner) + 1;
  return `Corner ${number} of ${all.length}, ${place}.`;
}

function degrees(value: number, positive: string, negative: string): string {
  return `${formatNumber(Math.abs(value), 5)}° ${value < 0 ? negative : positive}`;
}

const NICE: Readonly<Record<Display, readonly number[]>> = {
  us: [1, 2, 5, 10, 20, 50, 100, 200, 500],
  metric: [0.5, 1, 2, 5, 10, 20, 50, 100, 200],
};
/** What one press of an arrow key should move on the screen, at least. */
const STEP_PX = 4;

/** One step of an arrow key: a round length of the farm's units that is seen to move. */
export function stepM(pxPerM: number, display: Display): number {
  const unit = shownUnit('length', display);
  const steps = NICE[display].map((one) => toSI(one, unit));
  return steps.find((one) => one * pxPerM >= STEP_PX) ?? steps.at(-1)!;
}
