/** Walked tracks in words, and as lines and places for the map. */
import type { WalkedPlace, WalkedTrack } from '../../../shared/analysis/walked.ts';
import type { Named } from '../../../shared/model/edits/named.ts';
import { type Display, formatDistance } from '../../../shared/units/format.ts';
import { counted } from '../../../shared/units/words.ts';
import type { Walked } from '../../state/stage.svelte.ts';

/** Nearer than this somebody was at the place: a receiver is good to a few meters, and writes a point every few. */
const REACHED_M = 20;

/** "1.3 mi walked in Home in 2026". @param field null: on the farm */
export function trackTitle(
  tracks: readonly WalkedTrack[],
  field: Named | null,
  season: number,
  display: Display,
): string {
  const lengthM = tracks.reduce((sum, track) => {
    const ways = track.fields.filter((one) => field === null || one.field === field.id);
    return sum + ways.reduce((all, one) => all + one.lengthM, 0);
  }, 0);
  const where = field === null ? 'on the fields' : `in ${field.name}`;
  if (lengthM > 0) return `${formatDistance(lengthM, display)} walked ${where} in ${season}`;
  const places = tracks.flatMap((one) => one.places).filter((one) => field === null || one.field === field.id);
  return `${counted(places.length, 'place')} marked ${where} in ${season}`;
}

/** Of a stop: whether the walk came to it. */
export function passedInWords({ passedM }: Pick<WalkedPlace, 'passedM'>, display: Display): string {
  if (passedM === null) return '';
  return passedM <= REACHED_M ? 'reached' : `not reached: the track came within ${formatDistance(passedM, display)}`;
}

export function walkedOnMap(tracks: readonly WalkedTrack[]): Walked {
  return {
    lines: tracks.flatMap((one) => one.lines),
    places: tracks.flatMap((one) => one.places.filter((it) => !it.isStop).map(({ at, name }) => ({ at, words: name }))),
  };
}
