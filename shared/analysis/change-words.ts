/** What became of a weed from round to round, in words: the same on the page and on the command line. */
import type { Range } from '../model/range.ts';
import { type Display, formatDistance, formatNumber, formatQuantity, formatRange } from '../units/format.ts';
import { capital, counted, listed } from '../units/words.ts';
import type { RoundTold, Turn } from '../scouting/round-told.ts';
import { SAME_PLACE_M } from '../scouting/same-places.ts';
import type { FieldChange, FieldOverRounds, FieldRound, RoundDays, WeedOverRounds } from './changes.ts';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** "Aug 26 – Sep 4, 2026"; a round without days of its own is its season. */
export function roundInWords({ season, from, to }: RoundDays): string {
  if (from.endsWith('-01-01') && to.endsWith('-12-31')) return `${season}, no day told`;
  const [a, b] = [dayWords(from), dayWords(to)];
  const year = Number(to.slice(0, 4));
  return `${a === b ? a : `${a} – ${b}`}, ${year}${year === season ? '' : ` (season ${season})`}`;
}

function dayWords(day: string): string {
  return `${MONTHS[Number(day.slice(5, 7)) - 1]} ${Number(day.slice(8))}`;
}

/** One round on one field, in the ladder's terms: "3 of 20 places, 0.10/ft²", "rated “few”", "none at 24 places". */
export function toldInWords(told: RoundTold, display: Display): string {
  switch (told.rests) {
    case 'nothing':
      return 'nobody looked';
    case 'word':
      return `rated “${told.word}”`;
    case 'patches':
      return counted(told.patches, 'drawn patch', 'drawn patches');
    case 'counts':
      return told.clean
        ? `none at ${counted(told.places, 'place')}, at most ${percent(told.clean.shareBelow)} of such places`
        : `${told.positives} of ${counted(told.places, 'place')}, ${formatQuantity(told.meanPerM2.central, 'count per area', display, 3).replace(/0+(?=\/)/, '')}`;
  }
}

const TURN_WORDS: Readonly<Record<Turn, string>> = {
  new: 'new',
  spread: 'more of it',
  'still there': 'still there',
  less: 'less of it',
  'gone as far as was looked': 'gone as far as was looked',
  'still none as far as was looked': 'still none as far as was looked',
  'cannot tell': 'cannot tell',
};

export function turnInWords({ last }: Pick<FieldOverRounds, 'last'>): string {
  return last ? TURN_WORDS[last.turn] : 'nothing to compare with';
}

/** The finding over the farm: where it is new, where there is more, where it was not found again. */
export function overFarmFinding({ fields }: WeedOverRounds, weed: string): string {
  const named = (turn: Turn) => fields.filter((one) => one.last?.turn === turn).map((one) => one.name);
  const said = [
    ['new in', named('new')],
    ['more of it in', named('spread')],
    ['less of it in', named('less')],
    ['not found again, as far as was looked, in', named('gone as far as was looked')],
  ].flatMap(([words, names]) => (names!.length > 0 ? [`${words as string} ${listed(names as string[])}`] : []));
  if (said.length > 0) return `${capital(weed)} from round to round: ${said.join('; ')}`;
  return fields.some((one) => one.last)
    ? `${capital(weed)} stands as it did, as far as two rounds can tell`
    : `No field was looked at twice for ${weed}: nothing can be compared yet`;
}

/** Headings tell a change; this says how sure of it anyone can be. */
export const CHANGE_NOTE =
  'More or less is said where the 90% ranges of two means stay clear of each other, or two words differ. A round that found none is never “gone” alone: what it may have missed stands beside it.';

export function changeFinding(change: FieldChange, field: string, weed: string): string {
  const { earlier, later, turn } = change;
  const since = `since ${roundInWords(earlier)}`;
  switch (turn) {
    case 'new':
      return `${capital(weed)} is new in ${field} ${since}`;
    case 'spread':
      return `There is more ${weed} in ${field} than in ${roundInWords(earlier)}`;
    case 'less':
      return `There is less ${weed} in ${field} than in ${roundInWords(earlier)}`;
    case 'still there':
      return `${capital(weed)} is still in ${field}, neither clearly more nor less ${since}`;
    case 'gone as far as was looked':
      return `${capital(weed)} was not found again in ${field}, as far as was looked`;
    case 'still none as far as was looked':
      return `Still no ${weed} in ${field}, as far as was looked`;
    case 'cannot tell':
      return `What became of ${weed} in ${field} cannot be told: nobody looked in ${roundInWords(earlier.told.found === null ? earlier : later)}`;
  }
}

/** Areas by state, in the order in which they are read. */
export const STATE_WORDS = {
  appeared: 'above the threshold now, not before',
  gone: 'above it before, not now, as far as was looked',
  stayed: 'above it both times',
  clean: 'below it both times',
  unknown: 'unknown in one of the rounds',
} as const;

/** What is to be said beside the areas; one sentence each. */
export function changeNotes(change: FieldChange, display: Display): string[] {
  const { earlier, later, ground, samePlaces } = change;
  const notes: string[] = [];
  const area = (range: Range) => formatRange(range, 'area', display);
  if (ground && ground.infestedChangeM2.central !== null) {
    const { low, high } = ground.infestedChangeM2;
    const sure = low > 0 ? 'It grew.' : high < 0 ? 'It shrank.' : 'Whether it grew or shrank cannot be told.';
    notes.push(
      `Above the threshold then ${area(earlier.infestedAreaM2)}, now ${area(later.infestedAreaM2)}: a change of ${signedArea(low, display)} to ${signedArea(high, display)}. ${sure}`,
    );
  } else if (ground)
    notes.push('How much ground changed in all is not told: the two rounds do not speak of the same ground.');
  else notes.push(noGround(earlier, later));
  notes.push(...[earlier, later].flatMap((one) => boundNote(one, display)));
  const { pairs, more, less, same, p, earlierPerM2, laterPerM2 } = samePlaces;
  if (pairs.length > 0) {
    const density = (value: number) => formatQuantity(value, 'count per area', display);
    const mean =
      earlierPerM2 === null || laterPerM2 === null
        ? ''
        : `, on the whole from ${density(earlierPerM2)} to ${density(laterPerM2)}`;
    const open = pairs.length - more - less - same;
    notes.push(
      `At ${counted(pairs.length, 'place')} looked at both times (within ${formatDistance(SAME_PLACE_M, display)}): more at ${more}, fewer at ${less}, the same at ${same}${open > 0 ? `, not to be told at ${open}` : ''}${mean}.${signNote(p)}`,
    );
  } else if (earlier.told.rests === 'counts' && later.told.rests === 'counts')
    notes.push(
      `No place was counted both times: positions differ by more than ${formatDistance(SAME_PLACE_M, display)}.`,
    );
  if (ground && change.turn === 'still there')
    notes.push('With ranges this wide the parts hint at where to look again; they do not say what happened there.');
  if (ground)
    notes.push(
      'Ground counts as above the threshold where that is likelier than not in its round: the parts have no range of their own, and need not add up to the areas above, which are sums of chances.',
    );
  return notes;
}

function noGround(earlier: FieldRound, later: FieldRound): string {
  const [a, b] = [earlier.told, later.told];
  if (a.word !== null && b.word !== null)
    return `The word went from “${a.word}” to “${b.word}”: a word names no ground.`;
  const silent = [earlier, later].find((one) => one.told.rests === 'nothing');
  if (silent) return `Nobody looked in ${roundInWords(silent)}: unknown, not clean.`;
  return 'One of the rounds rests on a word, which names no ground: where it changed cannot be told.';
}

function boundNote(round: FieldRound, display: Display): string[] {
  const { clean, places } = round.told;
  if (!clean) return [];
  return [
    `None at ${counted(places, 'place')} in ${roundInWords(round)} is not none: with 95% confidence fewer than ${percent(clean.shareBelow)} of such places hold it, below ${formatQuantity(clean.belowPerM2, 'count per area', display)}.`,
  ];
}

function signNote(p: number | null): string {
  if (p === null) return '';
  const chance = `such a split comes by chance ${p < 0.001 ? 'in fewer than 1 of 1,000' : `in ${formatNumber(100 * p, p < 0.1 ? 1 : 0)} of 100`} cases (sign test)`;
  return ` If neither were likelier, ${chance}.`;
}

function signedArea(areaM2: number, display: Display): string {
  const text = formatQuantity(areaM2, 'area', display);
  return areaM2 > 0 ? `+${text}` : text;
}

/** A row a field and round, the turn in words at its later round. */
export function roundRows({ fields }: Pick<WeedOverRounds, 'fields'>) {
  return fields.flatMap((field) =>
    field.rounds.map(({ season, from, to, id, told }) => ({
      fieldName: field.name,
      season,
      from,
      to,
      ...told,
      since: field.last?.later === id ? turnInWords(field) : null,
    })),
  );
}

const percent = (share: number): string => formatQuantity(share, 'fraction', 'us');
