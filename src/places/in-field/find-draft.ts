/** A find before it is marked: what was found, on how much ground. The place and the time come with the press. */
import type { LonLat } from '../../../shared/geometry/types.ts';
import { type Find, newFindId } from '../../../shared/model/field-notes.ts';
import type { Day } from '../../../shared/units/calendar.ts';
import type { Display } from '../../../shared/units/format.ts';
import { asTyped, typedNumber } from '../../../shared/units/typed-number.ts';
import { type Read, Reading } from '../../ui/draft.ts';
import { type GroundDraft, groundRules, readGround } from '../typing/ground-draft.ts';

export type Counting = 'exactly' | 'at least' | 'seen';

export interface FindDraft extends GroundDraft {
  species: string;
  counting: Counting;
  /** null until it was said: a find is never marked with a count that nobody chose. */
  plants: number | null;
  height: string;
  note: string;
}

/** What the device adds at the press. */
export interface Pressed {
  readonly at: LonLat;
  readonly accuracyM: number;
  /** ISO 8601 UTC to the second. */
  readonly time: string;
  /** The day on the clock of whoever marks. */
  readonly on: Day;
  /** In [0, 1). */
  readonly random: number;
  /** Id of the file that is the picture. */
  readonly photo: string | null;
}

export const LONGEST_NOTE = 500;
const heightRule = (display: Display) => ({
  what: 'Height',
  unit: display === 'us' ? ('in' as const) : ('cm' as const),
  least: 0,
  most: display === 'us' ? 160 : 400,
});

/** The weed and the ground of the find before; of the first one the ground is still to be said. */
export function nextDraft(last: Find | null, species: string, rowSpacingM: number | null, display: Display): FindDraft {
  const rules = groundRules(display);
  const row = last?.alongRow;
  return {
    species: last?.species ?? species,
    counting: 'exactly',
    plants: null,
    ground: row ? 'row' : 'area',
    area: last && !row ? asTyped(last.effortM2, rules.area) : '',
    rowLength: asTyped(row?.lengthM, rules.rowLength),
    rowSpacing: asTyped(row?.spacingM ?? rowSpacingM, rules.rowSpacing),
    height: '',
    note: '',
  };
}

export function readFind(draft: FindDraft, pressed: Pressed, display: Display): Read<Find, FindDraft> {
  const reading = new Reading<FindDraft>();
  const count = countOf(draft);
  if (count === null) reading.note('plants', 'Say first how many: 0 where you looked and found none.');
  const ground = readGround(draft, display, reading);
  const heightM = reading.take('height', typedNumber(draft.height, heightRule(display)));
  const note = draft.note.trim();
  if (note.length > LONGEST_NOTE) reading.note('note', `A note has at most ${LONGEST_NOTE} letters.`);
  if (!reading.isRight) return { wrong: reading.wrong };
  return {
    value: {
      id: newFindId(pressed.time, pressed.random),
      at: [roundDeg(pressed.at[0]), roundDeg(pressed.at[1])],
      on: pressed.on,
      time: pressed.time,
      species: draft.species,
      count: count!,
      ...ground!,
      ...(pressed.accuracyM > 0 ? { accuracyM: Math.max(0.1, Math.round(pressed.accuracyM * 10) / 10) } : {}),
      ...(typeof heightM === 'number' ? { heightMm: Math.round(heightM * 1000) } : {}),
      ...(note === '' ? {} : { note }),
      ...(pressed.photo === null ? {} : { photo: pressed.photo }),
    },
  };
}

function countOf({ counting, plants }: FindDraft): Find['count'] | null {
  if (counting === 'seen') return { present: true };
  if (plants === null) return null;
  return counting === 'at least' ? { atLeast: plants } : plants;
}

/** To about a centimeter. */
const roundDeg = (deg: number) => Math.round(deg * 1e7) / 1e7;

/** "3", "20 or more", "seen". */
export function countWords(count: Find['count']): string {
  if (typeof count === 'number') return String(count);
  return 'present' in count ? (count.present ? 'seen' : 'none seen') : `${count.atLeast} or more`;
}
