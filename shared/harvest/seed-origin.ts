/**
 * Where the seed that lies in a place came from: the movement gone through backward. The movement is linear, so one way back
 * tells of every cell of the field, and of what was aboard on arrival, which share of a seed there comes to lie in the place.
 */
import { DrivenSegment } from './driven-segment.ts';
import { type StreamId, STREAM_IDS } from './machine-streams.ts';
import { assertInput, type MachineDrive, type MovementInput } from './movement-input.ts';
import { PlaceUnder } from './place-under.ts';
import { StreamBackward } from './stream-backward.ts';

export interface SeedOrigin {
  /** Of one seed on a plant in each cell: how much of it comes to lie in the place, through header and machine. */
  readonly ofStanding: Float64Array;
  /** The same of one seed aboard on arrival: in each stream's store, and in each batch of its delay line. */
  readonly ofAboard: Readonly<Record<StreamId, { readonly store: number; readonly line: Float64Array }>>;
}

const SEGMENTS_A_TURN = 4096;

/**
 * The transpose of `moveSeed`: for any seed x and any place y, ⟨landed(x), y⟩ = ⟨x, origin(y)⟩.
 *
 * A sub-step lets out of a store M and an even inflow i what `moveSeed` says; backward, a seed in the store is worth
 * V ← g·u + (1 − g)·V and one that arrives in the step (1 − s)·u + s·V, with u the weight of the place under the exit (less what
 * the mill kills), g the share that leaves, s the share of the arriving that stays. A batch is worth the mean over the pieces in
 * which it arrives, a segment's seed the sum over the streams by their shares, a cell's the mean over the segments that cut it.
 * @param drive of a movement of at least this seed over the same path: where the clock stood, it stands here
 * @param place weight of each cell; 1 in the place and 0 elsewhere asks for seeds
 * @returns progress as [done, total], then the origin
 * @throws as `moveSeed`, and where `drive` or `place` is of another size
 * @source methods-season §4.2 (linear in S); tests/unit/harvest/seed-origin.test.ts holds the law to 1e-12
 * @cost O(sub-cells + segments × sub-steps), × slices only where the machine is near the place
 */
export function* traceOrigin(
  input: MovementInput,
  drive: MachineDrive,
  place: ArrayLike<number>,
): Generator<readonly [number, number], SeedOrigin, void> {
  assertInput(input);
  const segments = Math.max(0, input.path.count - 1);
  if (drive.passed.length !== segments) throw new Error(`traceOrigin: ${drive.passed.length} segments of ${segments}`);
  if (place.length !== input.inField.length) {
    throw new Error(`traceOrigin: expected ${input.inField.length} cells, got ${place.length}`);
  }
  const { machine, state, path } = input;
  const total = machine.streams.reduce((sum, { share }) => sum + share, 0);
  const streams = machine.streams.map(
    (stream) =>
      [
        stream.id,
        new StreamBackward(stream, stream.share / total, machine.millKillFraction, state.streams[stream.id]),
      ] as const,
  );
  // What reaches the tank lies nowhere on the field.
  const onGround = streams.map(([, stream]) => stream).filter((stream) => stream.exit !== 'tank');

  let clockS = 0;
  let passed = 0;
  for (let k = 0; k < segments; k++) {
    if (k % SEGMENTS_A_TURN === 0) yield [k, 2 * segments];
    if (drive.passed[k] === 0) continue;
    const untilS = clockS + path.timeS[k + 1]! - path.timeS[k]!;
    for (const stream of onGround) stream.pass(clockS, untilS, drive.fed[k] === 1);
    clockS = untilS;
    passed++;
  }

  const segment = new DrivenSegment(input);
  const under = new WeightsUnder(new PlaceUnder(input, place), segment);
  /** Worth of a seed that a segment took in; where time stood, of the next that fed. */
  const worth = new Float64Array(segments);
  let fedWorth = 0;
  let batchesBack = 0;
  for (let k = segments - 1; k >= 0; k--) {
    if (k % SEGMENTS_A_TURN === 0) yield [2 * segments - k, 2 * segments];
    if (drive.passed[k] === 1) {
      segment.enter(k);
      under.enter();
      passed--;
      for (const stream of onGround) goBack(stream, passed, segment, under);
      if (drive.fed[k] === 1) {
        batchesBack++;
        fedWorth = onGround.reduce(
          (sum, stream) => sum + stream.share * stream.batchWorth[stream.batchWorth.length - batchesBack]!,
          0,
        );
      }
    }
    worth[k] = fedWorth;
  }
  return {
    ofStanding: worthOfStanding(input, worth, place),
    ofAboard: Object.fromEntries(
      STREAM_IDS.map((id) => {
        const stream = streams.find(([other]) => other === id)?.[1];
        const line = Float64Array.from(stream?.batchWorth.slice(0, stream.aboardBatches) ?? []);
        return [id, { store: stream?.storeWorth ?? 0, line }];
      }),
    ) as SeedOrigin['ofAboard'],
  };
}

function goBack(stream: StreamBackward, passed: number, segment: DrivenSegment, under: WeightsUnder): void {
  const exit = stream.exit as 'chaff' | 'straw';
  const [from, to] = stream.piecesOf(passed);
  const whole = to - from === 1;
  let untilS = segment.durationS;
  for (let piece = to - 1; piece >= from; piece--) {
    const lengthS = stream.lengthS(piece);
    const startS = untilS - lengthS;
    const steps = whole ? segment.subSteps : segment.stepsOf(lengthS);
    const weights = whole
      ? under.ofSegment(exit)
      : under.between(exit, startS / segment.durationS, lengthS / segment.durationS, steps);
    stream.goBack(piece, weights, steps);
    untilS = startS;
  }
}

/** Weights of the place under an exit in the sub-steps of a segment; those of the whole segment are kept for the other stream. */
class WeightsUnder {
  private room = new Float64Array(64);
  private readonly kept: Record<'chaff' | 'straw', Float64Array> = {
    chaff: new Float64Array(64),
    straw: new Float64Array(64),
  };
  private readonly isKept = { chaff: false, straw: false };

  constructor(
    private readonly place: PlaceUnder,
    private readonly segment: DrivenSegment,
  ) {}

  enter(): void {
    this.isKept.chaff = this.isKept.straw = false;
  }

  ofSegment(exit: 'chaff' | 'straw'): Float64Array {
    if (!this.isKept[exit]) {
      const { subSteps } = this.segment;
      if (this.kept[exit].length < subSteps) this.kept[exit] = new Float64Array(2 * subSteps);
      this.fill(this.kept[exit], exit, 0, 1, subSteps);
      this.isKept[exit] = true;
    }
    return this.kept[exit];
  }

  between(exit: 'chaff' | 'straw', after: number, span: number, steps: number): Float64Array {
    if (this.room.length < steps) this.room = new Float64Array(2 * steps);
    this.fill(this.room, exit, after, span, steps);
    return this.room;
  }

  private fill(out: Float64Array, exit: 'chaff' | 'straw', after: number, span: number, steps: number): void {
    const { segment, place } = this;
    for (let step = 0; step < steps; step++) {
      segment.exitAt(after + ((step + 0.5) / steps) * span);
      out[step] = place.isNear(segment) ? place.weightUnder(exit, segment) : 0;
    }
  }
}

/** From the segments to the cells that they cut: header loss lies where it stood, the rest goes the segment's way. */
function worthOfStanding({ owner, cells, machine }: MovementInput, worth: Float64Array, place: ArrayLike<number>) {
  const perSide = Math.round(cells.cellM / owner.grid.cellM);
  const sum = new Float64Array(cells.columns * cells.rows);
  const cut = new Int32Array(sum.length);
  const column0 = Math.round((owner.grid.x0M - cells.x0M) / owner.grid.cellM);
  const row0 = Math.round((owner.grid.y0M - cells.y0M) / owner.grid.cellM);
  for (let row = 0; row < owner.grid.rows; row++) {
    const cellRow = Math.floor((row + row0) / perSide);
    if (cellRow < 0 || cellRow >= cells.rows) continue;
    for (let column = 0; column < owner.grid.columns; column++) {
      const segment = owner.segment[row * owner.grid.columns + column]!;
      const cellColumn = Math.floor((column + column0) / perSide);
      if (segment < 0 || cellColumn < 0 || cellColumn >= cells.columns) continue;
      const cell = cellRow * cells.columns + cellColumn;
      sum[cell]! += worth[segment]!;
      cut[cell]!++;
    }
  }
  const whole = perSide * perSide;
  const loss = machine.headerLossFraction;
  return sum.map((worthOfCut, cell) => (worthOfCut * (1 - loss) + cut[cell]! * loss * place[cell]!) / whole);
}
