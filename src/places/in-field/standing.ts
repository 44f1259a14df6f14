/** Where one stands, in words, and whether a find can be marked there: yes, after a second press, or not now. */
import { ROUGH_POSITION_M } from '../../../shared/model/field-notes.ts';
import type { NearestField } from '../../../shared/model/nearest-field.ts';
import type { Display } from '../../../shared/units/format.ts';
import { farWords } from './far-words.ts';
import { type Fix, speedMS, STOPPED_MS, type Track } from './fixes.ts';

export type Standing =
  | { readonly is: 'unknown' }
  /** Not now. */
  | { readonly is: 'blocked'; readonly finding: string; readonly because: string }
  /** `doubts`: each is a reason to ask once more; none where it is as good as it gets. */
  | { readonly is: 'here'; readonly fix: Fix; readonly finding: string; readonly doubts: readonly string[] };

const OLD_S = 30;

/** @param nearest of the trusted position; null where every field is far away */
export function standing(track: Track, nearest: NearestField | null, nowMs: number, display: Display): Standing {
  const { fix, jump } = track;
  if (fix === null) return { is: 'unknown' };
  if (jump !== null) {
    return {
      is: 'blocked',
      finding: `Your position jumped ${farWords(jump.awayM, display)} in ${jump.seconds} s`,
      because: 'Nobody moves so fast, so it is not trusted. Stand still, with open sky above, until it settles.',
    };
  }
  const speed = speedMS(track, nowMs);
  if (speed !== null && speed > STOPPED_MS) {
    return {
      is: 'blocked',
      finding: 'Stop before you mark',
      because: 'You are moving. In a machine the driver looks at the way: stop, or let a passenger stand by.',
    };
  }
  const within = farWords(fix.accuracyM, display);
  const outside = nearest === null || nearest.awayM > 0;
  const place =
    nearest === null
      ? 'far from every field'
      : outside
        ? `${farWords(nearest.awayM, display)} outside ${nearest.field.name}`
        : `in ${nearest.field.name}`;
  const oldS = Math.round((nowMs - fix.timeMs) / 1000);
  const doubts = [
    ...(fix.accuracyM > ROUGH_POSITION_M ? [`Your position is good to ${within} only.`] : []),
    ...(outside ? [`You stand ${place}: the find counts in no field.`] : []),
    ...(oldS > OLD_S ? [`Your position is ${oldS} s old.`] : []),
  ];
  return { is: 'here', fix, finding: `You are ${place}, within ${within}`, doubts };
}
