/**
 * The path a combine would have taken on a field without a log. Every result is marked `assumed`; the direction of the
 * first strip is not known, so both ways are offered and shown (`reverse`).
 * @source methods-season §3; tests/reference/harvest-path (assumed-path)
 */
import { ringAreaM2 } from '../geometry/ring.ts';
import type { FlatMultiPolygon, FlatRing, GridShape } from '../geometry/types.ts';
import { problem, type Problem } from '../model/problem.ts';
import { countFlags } from './clean-log.ts';
import { DEFAULT_DELAY_S } from './delay.ts';
import { longestSideHeadingDeg, MITRE_LIMIT, planDrive } from './drive-plan.ts';
import type { HarvestPath } from './harvest-path.ts';
import { segmentPasses } from './passes.ts';
import { sweepSwaths } from './sweep.ts';

const RADIAN = Math.PI / 180;
/** @source methods-season §3, common practice: 2 laps (0–4), 1.8 m/s (0.9–3), 12 s a turn */
const HEADLAND_LAPS = 2;
const SPEED_MS = 1.8;
const TURN_S = 12;
/** Laps join at their corners as far as the inset's mitre reaches. */
const LAP_MITRE_DEG = (2 * Math.acos(1 / MITRE_LIMIT)) / RADIAN;

export interface AssumedDrive {
  readonly boundary: FlatMultiPolygon;
  readonly headerWidthM: number;
  readonly headlandLaps?: number;
  /** The farm's; null: the longest side of the smallest rectangle. */
  readonly headingDeg?: number | null;
  readonly speedMS?: number;
  readonly turnS?: number;
  readonly grid: GridShape;
  readonly startS: number;
  /** Every lap and strip the other way round. */
  readonly reverse?: boolean;
}

/**
 * @returns the path, one point a second of driving; yields are unknown
 * @throws RangeError for a header width or a speed that is not above 0
 * @cost O(strips × corners + path points)
 */
export function assumePath(input: AssumedDrive): HarvestPath {
  const { boundary, headerWidthM, grid, startS, reverse = false } = input;
  const { headlandLaps = HEADLAND_LAPS, speedMS = SPEED_MS, turnS = TURN_S } = input;
  if (!(speedMS > 0)) throw new RangeError(`assumePath: expected a speed above 0 m/s, got ${speedMS}`);
  const largest = boundary.reduce<FlatRing | null>(
    (best, rings) => (best === null || ringAreaM2(rings[0]!) > ringAreaM2(best) ? rings[0]! : best),
    null,
  );
  const headingDeg = input.headingDeg ?? (largest === null ? 0 : longestSideHeadingDeg(largest));

  const xs: number[] = [];
  const ys: number[] = [];
  const times: number[] = [];
  const cuts: number[] = [];
  let t = startS;
  const put = (x: number, y: number, cut: number) => {
    xs.push(x);
    ys.push(y);
    times.push(t);
    cuts.push(cut);
  };
  /** Points on a straight leg after its start, evenly, at most a second apart. */
  const goTo = (x: number, y: number, seconds: number, cut: number) => {
    const fromX = xs.at(-1)!;
    const fromY = ys.at(-1)!;
    const fromS = t;
    const pieces = Math.max(1, Math.ceil(seconds - 1e-9));
    cuts[cuts.length - 1] = cut;
    for (let i = 1; i <= pieces; i++) {
      t = fromS + (seconds * i) / pieces;
      put(fromX + ((x - fromX) * i) / pieces, fromY + ((y - fromY) * i) / pieces, i < pieces ? cut : 0);
    }
  };
  const drive = (line: readonly number[]) => {
    if (xs.length === 0) put(line[0]!, line[1]!, 0);
    else {
      const apart = Math.hypot(line[0]! - xs.at(-1)!, line[1]! - ys.at(-1)!);
      goTo(line[0]!, line[1]!, Math.max(turnS, apart / speedMS), 0);
    }
    for (let i = 2; i < line.length; i += 2) {
      const length = Math.hypot(line[i]! - xs.at(-1)!, line[i + 1]! - ys.at(-1)!);
      if (length > 0) goTo(line[i]!, line[i + 1]!, length / speedMS, 1);
    }
  };

  const ux = Math.sin(headingDeg * RADIAN);
  const uy = Math.cos(headingDeg * RADIAN);
  let strips = 0;
  for (const polygon of boundary) {
    const plan = planDrive(polygon, headerWidthM, headlandLaps, headingDeg);
    for (const rings of plan.laps) for (const ring of rings) drive(lapLine(ring, reverse));
    plan.stripsAlongM.forEach((pieces, k) => {
      const ahead = (strips + (reverse ? 1 : 0)) % 2 === 0;
      const across = plan.stripAcrossM[k]!;
      const place = (along: number) => [along * ux + across * uy, along * uy - across * ux];
      for (const [from, to] of ahead ? pieces : [...pieces].reverse()) {
        drive(ahead ? [...place(from), ...place(to)] : [...place(to), ...place(from)]);
      }
      strips++;
    });
  }

  const count = xs.length;
  const xM = Float64Array.from(xs);
  const yM = Float64Array.from(ys);
  const timeS = Float64Array.from(times);
  const cutting = Uint8Array.from(cuts);
  const running = new Uint8Array(count).fill(1);
  if (count > 0) running[count - 1] = 0;
  const headings = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const dx = k + 1 < count ? xM[k + 1]! - xM[k]! : 0;
    const dy = k + 1 < count ? yM[k + 1]! - yM[k]! : 0;
    if (dx === 0 && dy === 0) headings[k] = k > 0 ? headings[k - 1]! : headingDeg;
    else headings[k] = (Math.atan2(dx, dy) / RADIAN + 360) % 360;
  }
  const swathM = new Float32Array(count).fill(headerWidthM);
  const sweeping = sweepSwaths({ xM, yM, cutting, widthM: swathM, grid, boundary, mitreDeg: LAP_MITRE_DEG });
  let step = sweeping.next();
  while (!step.done) step = sweeping.next();
  const sweep = step.value;
  const bounds: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < count; k++) {
    bounds[0] = Math.min(bounds[0], xM[k]!);
    bounds[1] = Math.min(bounds[1], yM[k]!);
    bounds[2] = Math.max(bounds[2], xM[k]!);
    bounds[3] = Math.max(bounds[3], yM[k]!);
  }
  return {
    assumed: true,
    count,
    timeS,
    xM,
    yM,
    headingDeg: headings,
    cutting,
    running,
    swathM,
    record: new Uint32Array(count),
    pass: segmentPasses(timeS, cutting, headings, { gapS: Infinity, turnDeg: 60, minRecords: 3 }),
    flags: new Uint16Array(0),
    flagged: countFlags([]),
    delay: {
      rangeS: null,
      valueS: DEFAULT_DELAY_S,
      decided: false,
      correlation: null,
      why: 'no log: the path is assumed',
    },
    newAreaM2: sweep.newInsideM2,
    owner: sweep.owner,
    coveredAreaM2: sweep.coveredAreaM2,
    coveredOutsideM2: sweep.coveredOutsideM2,
    coverageFraction: sweep.coverageFraction,
    standardMassKg: null,
    meanYieldKgHa: null,
    yieldKgHa: new Float32Array(count).fill(NaN),
    yieldGrid: null,
    bounds: count > 0 ? bounds : [0, 0, 0, 0],
    problems: tell(headerWidthM, headingDeg, input.headingDeg ?? null, strips, sweep.coverageFraction),
  };
}

/** A lap begins and ends in the middle of its longest side, so that every corner is driven through. */
function lapLine(ring: FlatRing, reverse: boolean): number[] {
  let longest = -1;
  let side = 0;
  for (let i = 0; i < ring.length; i += 2) {
    const j = (i + 2) % ring.length;
    const length = Math.hypot(ring[j]! - ring[i]!, ring[j + 1]! - ring[i + 1]!);
    if (length > longest) {
      longest = length;
      side = i;
    }
  }
  const next = (side + 2) % ring.length;
  const start = [(ring[side]! + ring[next]!) / 2, (ring[side + 1]! + ring[next + 1]!) / 2];
  const line = [...start];
  for (let i = 0; i < ring.length; i += 2) {
    const at = reverse ? (side - i + ring.length) % ring.length : (next + i) % ring.length;
    line.push(ring[at]!, ring[at + 1]!);
  }
  return [...line, ...start];
}

function tell(
  widthM: number,
  headingDeg: number,
  asked: number | null,
  strips: number,
  coverageFraction: number | null,
): Problem[] {
  const from = asked === null ? 'the longest side of the field' : 'as given';
  const problems = [
    problem(
      'note',
      'assumed-path',
      `No harvest log: the path is assumed from the boundary, a header of ${widthM} m and a heading of ${Math.round(headingDeg)}° (${from}), ${strips} strips.`,
      { hint: 'The direction of the first strip is not known: look at both ways.' },
    ),
  ];
  if (coverageFraction !== null && coverageFraction < 0.98) {
    problems.push(
      problem(
        'note',
        'assumed-path-uncut',
        `${Math.round(100 * (1 - coverageFraction))} % of the field lies in corners and necks that the assumed path does not reach.`,
      ),
    );
  }
  return problems;
}
