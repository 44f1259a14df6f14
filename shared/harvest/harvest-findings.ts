/** What was found when a harvest log was retraced, and how it is told. */
import type { FlagName } from '../model/log-flags.ts';
import type { Problem } from '../model/problem.ts';
import type { RecordOrder } from './clean-log.ts';
import type { FollowedClock } from './clock-jumps.ts';
import type { Delay } from './delay.ts';
import type { FollowedPath } from './followed-path.ts';
import type { HarvestInput } from './harvest-path.ts';
import type { LogMass } from './log-mass.ts';
import type { Sweep } from './sweep.ts';

export interface Findings {
  readonly input: HarvestInput;
  readonly crop: string | null;
  readonly order: RecordOrder;
  readonly path: FollowedPath;
  readonly sweep: Sweep;
  readonly delay: Delay;
  readonly mass: LogMass;
  readonly ramp: { readonly startS: number; readonly fromData: boolean };
  readonly flags: Uint16Array;
  readonly flagged: Readonly<Record<FlagName, number>>;
  /** Records too far from the rest to have a place. */
  readonly farAway: number;
  /** Jumps of the clock while the machine drove on. */
  readonly set: FollowedClock;
}

export type Tell = (code: string, text: string, hint?: string, row?: number) => void;

export interface Telling {
  readonly note: Tell;
  readonly warn: Tell;
  readonly add: (one: Problem) => void;
}
