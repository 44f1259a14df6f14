/** What a record of a harvest log can be flagged with, and which of these a person can lift. */

/** In the order of methods-season §1.1; bit i of a record's flags is FLAG_NAMES[i]. */
export const FLAG_NAMES = [
  'time-order',
  'duplicate-time',
  'position-jump',
  'gap-before',
  'duplicate-position',
  'header-up',
  'speed-low',
  'speed-high',
  'speed-change',
  'moisture-range',
  'ramp-start',
  'ramp-end',
  'overlap',
  'yield-global',
  'yield-local',
  'bridged',
] as const;
export type FlagName = (typeof FLAG_NAMES)[number];

/**
 * Lifted, its records count as if they were sound. Not to be lifted is what leaves nothing out (`time-order`, `bridged`), or where two
 * records claim one moment (`duplicate-time`).
 */
export const LIFTABLE_FLAGS = [
  'position-jump',
  'gap-before',
  'duplicate-position',
  'header-up',
  'speed-low',
  'speed-high',
  'speed-change',
  'moisture-range',
  'ramp-start',
  'ramp-end',
  'overlap',
  'yield-global',
  'yield-local',
] as const satisfies readonly FlagName[];
export type LiftableFlag = (typeof LIFTABLE_FLAGS)[number];

export function isLiftable(flag: FlagName): flag is LiftableFlag {
  return (LIFTABLE_FLAGS as readonly FlagName[]).includes(flag);
}
