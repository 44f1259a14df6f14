/** How a machine drove: which segments it worked through, and when in each what its streams took in came to their stores. */
import { sumCutSeed } from './cut-seed.ts';
import { heldSeeds } from './machine-streams.ts';
import { assertInput, type MachineDrive, type MovementInput } from './movement-input.ts';
import { holdsAny } from './seed-fall.ts';
import { NOTHING_HELD_FRACTION } from './seed-movement.ts';
import { PassingStream, StreamTimes } from './stream-times.ts';

export interface DrivenTimes {
  readonly drive: MachineDrive;
  /** Of the streams that lay seed on the ground: what reaches the tank lies nowhere on the field. */
  readonly streams: readonly StreamTimes[];
}

const SEGMENTS_A_TURN = 4096;

/**
 * The drive of `moveSeed`, with nothing laid down; it hangs on where there is any seed, not on a place that is asked of.
 * @returns progress as [done, total], then the drive with its times
 * @throws as `moveSeed`
 * @source tests/unit/harvest/seed-origin.test.ts holds that it is the drive of the movement
 * @cost O(sub-cells + segments × channels)
 */
export function* driveThrough(input: MovementInput): Generator<readonly [number, number], DrivenTimes, void> {
  assertInput(input);
  const { path, machine, state } = input;
  const segments = Math.max(0, path.count - 1);
  const cutting = sumCutSeed({ ...input, segments, headerLossFraction: machine.headerLossFraction });
  let turn = cutting.next();
  while (!turn.done) {
    yield [0, segments];
    turn = cutting.next();
  }
  const { bySegment, standingSeeds } = turn.value;
  const channels = input.standing.length;
  const total = machine.streams.reduce((sum, { share }) => sum + share, 0);
  const times: StreamTimes[] = [];
  const streams = machine.streams.map((stream) => {
    const [share, before] = [stream.share / total, state.streams[stream.id]];
    if (stream.exit === 'tank') return new PassingStream(stream, share, before, null);
    const of = new StreamTimes(stream, share, 1 - (stream.milled ? machine.millKillFraction : 0), before);
    times.push(of);
    return new PassingStream(stream, share, before, of);
  });
  const nothingHeld = standingSeeds.map(
    (seeds, channel) => NOTHING_HELD_FRACTION * (heldSeeds(state, channel) + seeds),
  );
  const holdsNothing = () => {
    for (const { line } of streams) if (line.size > 0) return false;
    for (let channel = 0; channel < channels; channel++) {
      let held = 0;
      for (const { store } of streams) held += store[channel]!;
      if (held > nothingHeld[channel]!) return false;
    }
    return true;
  };

  const drive = { passed: new Uint8Array(segments), fed: new Uint8Array(segments) };
  const entering = new Float64Array(channels);
  const kept = 1 - machine.headerLossFraction;
  let clockS = 0;
  for (let k = 0; k < segments; k++) {
    if (k % SEGMENTS_A_TURN === 0) yield [k, segments];
    let cuts = path.cutting[k] === 1;
    for (let channel = 0; channel < channels; channel++) {
      const seeds = bySegment[k * channels + channel]!;
      if (seeds === 0) continue;
      entering[channel]! += seeds * kept;
      cuts = true;
    }
    const durationS = path.timeS[k + 1]! - path.timeS[k]!;
    if (!(durationS > 0 && (cuts || path.running[k] === 1))) continue;
    const feeds = holdsAny(entering, 0, channels);
    if (!feeds && holdsNothing()) continue;
    drive.passed[k] = 1;
    if (feeds) drive.fed[k] = 1;
    for (const stream of streams) stream.pass(clockS, clockS + durationS, feeds ? entering : null);
    if (feeds) entering.fill(0);
    clockS += durationS;
  }
  return { drive, streams: times };
}
