/** A weed from round to round as a table for a spreadsheet: a row a field and round. */
import { quantityColumn, rangeColumns, type Table } from '../export/csv.ts';
import type { Range } from '../model/range.ts';
import { type Display, shownUnit } from '../units/format.ts';

export interface RoundRow {
  readonly fieldName: string;
  readonly season: number;
  readonly from: string;
  readonly to: string;
  readonly rests: string;
  readonly word: string | null;
  readonly patches: number;
  readonly places: number;
  readonly positives: number;
  readonly effortM2: number;
  readonly meanPerM2: Range;
  readonly k: number | null;
  readonly kRange: { readonly low: number; readonly high: number | null } | null;
  readonly clean: { readonly shareBelow: number } | null;
  /** What became of it since the round before, in words; null for earlier rounds. */
  readonly since: string | null;
}

export function roundsTable(rows: readonly RoundRow[], weed: string, display: Display): Table<RoundRow> {
  const counted = (row: RoundRow, value: number) => (row.places > 0 ? value : null);
  return {
    columns: [
      { title: 'Field', of: (row) => row.fieldName },
      { title: 'Weed', of: () => weed },
      { title: 'Season', of: (row) => row.season },
      { title: 'From', of: (row) => row.from },
      { title: 'To', of: (row) => row.to },
      { title: 'Rests on', of: (row) => row.rests },
      { title: 'Rating', of: (row) => row.word },
      { title: 'Drawn patches', of: (row) => (row.patches > 0 ? row.patches : null) },
      { title: 'Places', of: (row) => counted(row, row.places) },
      { title: 'Places with the weed', of: (row) => counted(row, row.positives) },
      quantityColumn<RoundRow>('Ground looked at', display === 'us' ? 'ft2' : 'm2', (row) =>
        counted(row, row.effortM2),
      ),
      ...rangeColumns<RoundRow>('Plants', shownUnit('count per area', display), (row) => row.meanPerM2),
      { title: 'Clumping k', of: (row) => row.k },
      { title: 'Clumping k, low', of: (row) => row.kRange?.low ?? null },
      { title: 'Clumping k, high', of: (row) => row.kRange?.high ?? null },
      { title: 'Clean round: share of places below', of: (row) => row.clean?.shareBelow ?? null },
      { title: 'Since the round before', of: (row) => row.since },
    ],
    rows,
  };
}
