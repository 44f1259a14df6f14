/**
 * Where the seed that lies in a place came from: the movement gone through backward. The movement is linear, so one way back
 * tells of every cell of the field, and of what was aboard on arrival, which share of a seed there comes to lie in the place.
 */
import { cellOfEach } from './cut-seed.ts';
import { DrivenSegment } from './driven-segment.ts';
import type { DrivenTimes } from './machine-drive.ts';
import { type StreamId, STREAM_IDS } from './machine-streams.ts';
import { assertDriveOf, assertInput, type MovementInput } from './movement-input.ts';
import { PlaceUnder } from './place-under.ts';
import { StreamWorth } from './stream-worth.ts';

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
 * @param times of this machine over this path, of at least the seed that is asked of: where its clock stood, it stands here
 * @param place weight of each cell; 1 in the place and 0 elsewhere asks for seeds
 * @returns progress as [done, total], then the origin
 * @throws as `moveSeed`, and where `times` or `place` is of another size
 * @source methods-season §4.2 (linear in S); tests/unit/harvest/seed-origin.test.ts holds the law to 1e-12
 * @cost O(sub-cells + segments), × sub-steps × slices only where the machine is near the place
 */
export function* traceOrigin(
  input: MovementInput,
  { drive, streams: times }: DrivenTimes,
  place: ArrayLike<number>,
): Generator<readonly [number, number], SeedOrigin, void> {
  assertInput(input);
  assertDriveOf(drive, input.path);
  if (place.length !== input.inField.length) {
    throw new Error(`traceOrigin: expected ${input.inField.length} cells, got ${place.length}`);
  }
  const streams = times.map((one) => new StreamWorth(one));
  const segments = drive.passed.length;
  const under = new WeightsUnder(input, place);
  /** Worth of a seed that a segment took in; where time stood, of the next that fed. */
  const worth = new Float64Array(segments);
  let passed = times.length === 0 ? 0 : times[0]!.pieceFrom.length - 1;
  let fedWorth = 0;
  let batchesBack = 0;
  for (let k = segments - 1; k >= 0; k--) {
    if (k % SEGMENTS_A_TURN === 0) yield [segments - k, segments];
    if (drive.passed[k] === 1) {
      passed--;
      const isNear = under.enter(k);
      for (const stream of streams) {
        if (isNear) goBack(stream, passed, under);
        else stream.goBackFar(passed);
      }
      if (drive.fed[k] === 1) {
        batchesBack++;
        fedWorth = 0;
        for (const { times: of, batch } of streams) fedWorth += of.share * batch[batch.length - batchesBack]!;
      }
    }
    worth[k] = fedWorth;
  }
  return {
    ofStanding: worthOfStanding(input, worth, place),
    ofAboard: Object.fromEntries(
      STREAM_IDS.map((id) => {
        const stream = streams.find((one) => one.times.stream.id === id);
        const line = new Float64Array(input.state.streams[id].dueStartS.length);
        if (stream) line.set(stream.batch.subarray(0, stream.times.aboardBatches));
        return [id, { store: stream?.store ?? 0, line }];
      }),
    ) as SeedOrigin['ofAboard'],
  };
}

/** Through the n-th segment that was passed, which `under` has entered. */
function goBack(stream: StreamWorth, passed: number, under: WeightsUnder): void {
  const { stream: of, pieceFrom, pieceLengthS } = stream.times;
  const exit = of.exit as 'chaff' | 'straw';
  const { segment } = under;
  const from = pieceFrom[passed]!;
  const to = pieceFrom[passed + 1]!;
  const whole = to - from === 1;
  let untilS = segment.durationS;
  for (let piece = to - 1; piece >= from; piece--) {
    const lengthS = pieceLengthS[piece]!;
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
  readonly segment: DrivenSegment;
  private readonly place: PlaceUnder;
  private room = new Float64Array(64);
  private readonly kept: Record<'chaff' | 'straw', Float64Array> = {
    chaff: new Float64Array(64),
    straw: new Float64Array(64),
  };
  private readonly isKept = { chaff: false, straw: false };

  constructor(input: MovementInput, place: ArrayLike<number>) {
    this.segment = new DrivenSegment(input);
    this.place = new PlaceUnder(input, place);
  }

  /** @returns false where nothing that leaves in segment k can fall in the place; it is not entered then */
  enter(k: number): boolean {
    if (!this.place.isReachedIn(k)) return false;
    this.segment.enter(k);
    this.isKept.chaff = this.isKept.straw = false;
    return true;
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
  const { columns, rows, x0M, y0M, cellM } = owner.grid;
  const columnOf = cellOfEach(columns, x0M, cellM, cells.x0M, cells.cellM, cells.columns);
  const rowOf = cellOfEach(rows, y0M, cellM, cells.y0M, cells.cellM, cells.rows);
  for (let row = 0; row < rows; row++) {
    if (rowOf[row]! < 0) continue;
    const cellRow = rowOf[row]! * cells.columns;
    for (let column = 0; column < columns;) {
      const segment = owner.segment[row * columns + column]!;
      const cellColumn = columnOf[column]!;
      // Sub-cells side by side are mostly one cell's, cut by one segment.
      const first = column++;
      while (column < columns && owner.segment[row * columns + column] === segment && columnOf[column] === cellColumn)
        column++;
      if (segment < 0 || cellColumn < 0) continue;
      sum[cellRow + cellColumn]! += (column - first) * worth[segment]!;
      cut[cellRow + cellColumn]! += column - first;
    }
  }
  const whole = perSide * perSide;
  const loss = machine.headerLossFraction;
  return sum.map((worthOfCut, cell) => (worthOfCut * (1 - loss) + cut[cell]! * loss * place[cell]!) / whole);
}
