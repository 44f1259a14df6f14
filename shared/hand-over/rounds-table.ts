/** A weed from round to round as a table for a spreadsheet. */
import type { FieldOverRounds, FieldRound, WeedOverRounds } from '../analysis/changes.ts';
import { turnInWords } from '../analysis/change-words.ts';
import { quantityColumn, rangeColumns, type Table } from '../export/csv.ts';
import { type Display, shownUnit } from '../units/format.ts';

/** One row a field and round. */
export function overRoundsTable(
  { fields }: WeedOverRounds,
  weed: string,
  display: Display,
): Table<readonly [FieldOverRounds, FieldRound]> {
  type Row = readonly [FieldOverRounds, FieldRound];
  return {
    columns: [
      { title: 'Field', of: ([field]) => field.name },
      { title: 'Weed', of: () => weed },
      { title: 'Season', of: ([, round]) => round.season },
      { title: 'From', of: ([, round]) => round.from },
      { title: 'To', of: ([, round]) => round.to },
      { title: 'Rests on', of: ([, { told }]) => told.rests },
      { title: 'Rating', of: ([, { told }]) => told.word },
      { title: 'Drawn patches', of: ([, { told }]) => (told.patches > 0 ? told.patches : null) },
      { title: 'Places', of: ([, { told }]) => (told.places > 0 ? told.places : null) },
      { title: 'Places with the weed', of: ([, { told }]) => (told.places > 0 ? told.positives : null) },
      quantityColumn<Row>('Ground looked at', display === 'us' ? 'ft2' : 'm2', ([, { told }]) =>
        told.places > 0 ? told.effortM2 : null,
      ),
      ...rangeColumns<Row>('Plants', shownUnit('count per area', display), ([, { told }]) => told.meanPerM2),
      { title: 'Clumping k', of: ([, { told }]) => told.k },
      { title: 'Clean round: share of places below', of: ([, { told }]) => told.clean?.shareBelow ?? null },
      {
        title: 'Since the round before',
        of: ([field, round]) => (field.last?.later === round.id ? turnInWords(field) : null),
      },
    ],
    rows: fields.flatMap((field) => field.rounds.map((round) => [field, round] as const)),
  };
}
