/**
 * What is made of the positions that a device gives, one after the other: the one that is trusted, how fast it moves, and whether a
 * new one can be true. A position that jumps farther than anybody drives is doubted until the next ones agree with it.
 */
import { geodesicDistanceM } from '../../../shared/geometry/geodesic.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { FASTEST_MS } from '../../../shared/model/field-notes.ts';

export interface Fix {
  readonly at: LonLat;
  /** As the device says: about two of three positions lie within it. */
  readonly accuracyM: number;
  /** As the device says; null where it does not. */
  readonly speedMS: number | null;
  /** On the clock of the device. */
  readonly timeMs: number;
}

export interface Track {
  /** The position that is trusted; null before the first. */
  readonly fix: Fix | null;
  /** The trusted ones of the last seconds, oldest first. */
  readonly recent: readonly Fix[];
  /** A jump that is not trusted yet: how far, and the fixes that were at its end. */
  readonly jump: { readonly awayM: number; readonly seconds: number; readonly there: readonly Fix[] } | null;
}

export const NO_TRACK: Track = { fix: null, recent: [], jump: null };

/** So many fixes in a row at the end of a jump are believed: then the one before was wrong. */
const BELIEVED_AFTER = 4;
const RECENT_MS = 6000;
/** After so long without a further fix nobody can say that the device still moves. */
const SPEED_HOLDS_MS = 4000;
/** Whoever is faster sits in a machine, or does not look at the ground. */
export const STOPPED_MS = 1;

export function followFix(track: Track, fix: Fix): Track {
  const { fix: before, jump } = track;
  if (before === null || canFollow(before, fix)) return trusting(track.recent, fix);
  const last = jump?.there.at(-1);
  const there = last && canFollow(last, fix) ? [...jump!.there, fix] : [fix];
  if (there.length >= BELIEVED_AFTER) return trusting([], fix);
  const awayM = geodesicDistanceM(before.at, there[0]!.at);
  const seconds = Math.max(1, Math.round((there[0]!.timeMs - before.timeMs) / 1000));
  return { ...track, jump: { awayM, seconds, there } };
}

/** Of the device, or from the way of the last seconds less what its accuracy explains; null where neither tells it. */
export function speedMS(track: Track, nowMs: number): number | null {
  const { fix, recent } = track;
  if (fix === null || nowMs - fix.timeMs > SPEED_HOLDS_MS) return null;
  if (fix.speedMS !== null) return fix.speedMS;
  const first = recent[0]!;
  const seconds = (fix.timeMs - first.timeMs) / 1000;
  if (seconds < 0.5) return null;
  const slackM = Math.max(first.accuracyM, fix.accuracyM);
  return Math.max(0, geodesicDistanceM(first.at, fix.at) - slackM) / seconds;
}

function trusting(recent: readonly Fix[], fix: Fix): Track {
  return { fix, recent: [...recent.filter((one) => fix.timeMs - one.timeMs <= RECENT_MS), fix], jump: null };
}

/** Whether somebody can have come from one to the other, both accuracies allowed for. */
function canFollow(from: Fix, to: Fix): boolean {
  const awayM = geodesicDistanceM(from.at, to.at) - from.accuracyM - to.accuracyM;
  return awayM <= FASTEST_MS * Math.max(1, (to.timeMs - from.timeMs) / 1000);
}
