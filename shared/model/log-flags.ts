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

/** What leaves nothing out, and what two records that claim one moment carry. */
const NEVER_LIFTED = ['time-order', 'duplicate-time', 'bridged'] as const satisfies readonly FlagName[];
export type LiftableFlag = Exclude<FlagName, (typeof NEVER_LIFTED)[number]>;

/** Lifted, its records count as if they were sound. */
export const LIFTABLE_FLAGS: readonly LiftableFlag[] = FLAG_NAMES.filter(isLiftable);

export function isLiftable(flag: FlagName): flag is LiftableFlag {
  return !(NEVER_LIFTED as readonly FlagName[]).includes(flag);
}
