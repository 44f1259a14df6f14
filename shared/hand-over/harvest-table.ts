/** The order of harvest as a table for a spreadsheet: a row a field, with what each kind of clean-out before it is worth. */
import { rangeColumns, type Table } from '../export/csv.ts';
import type { Range } from '../model/range.ts';

export interface HarvestRow {
  readonly machine: string;
  readonly place: number;
  readonly fieldName: string;
  readonly crop: string;
  readonly is: string;
  readonly weed: string | null;
  readonly ripeFrom: string | null;
  readonly cleanOut: string | null;
  readonly ridesIn: Range;
  readonly falls: Range;
  readonly stops: readonly {
    readonly kind: 'limited' | 'thorough';
    readonly seeds: Range;
    readonly money: Range;
    readonly breakEvenMin: Range;
  }[];
}

const NOT_TOLD: Range = { low: null, central: null, high: null };

export function harvestTable(rows: readonly HarvestRow[], currency: string): Table<HarvestRow> {
  const stop = (row: HarvestRow, kind: 'limited' | 'thorough') => row.stops.find((one) => one.kind === kind);
  const worth = (kind: 'limited' | 'thorough') => [
    ...rangeColumns<HarvestRow>(
      `Kept off by a ${kind} clean-out`,
      'seeds',
      (row) => stop(row, kind)?.seeds ?? NOT_TOLD,
    ),
    ...rangeColumns<HarvestRow>(
      `Saved by a ${kind} clean-out (${currency})`,
      'money',
      (row) => stop(row, kind)?.money ?? NOT_TOLD,
    ),
    ...rangeColumns<HarvestRow>(`A ${kind} clean-out pays up to`, 'min', (row) =>
      minutes(stop(row, kind)?.breakEvenMin ?? NOT_TOLD),
    ),
  ];
  return {
    columns: [
      { title: 'Machine', of: (row) => row.machine },
      { title: 'Place', of: (row) => row.place },
      { title: 'Field', of: (row) => row.fieldName },
      { title: 'Crop', of: (row) => row.crop },
      { title: 'Class', of: (row) => row.is },
      { title: 'Weed', of: (row) => row.weed },
      { title: 'Ripe from', of: (row) => row.ripeFrom },
      { title: 'Clean out before', of: (row) => row.cleanOut },
      ...rangeColumns<HarvestRow>('Rides in', 'seeds', (row) => row.ridesIn),
      ...rangeColumns<HarvestRow>('Falls', 'seeds', (row) => row.falls),
      ...worth('limited'),
      ...worth('thorough'),
    ],
    rows,
  };
}

/** To SI. */
function minutes(range: Range): Range {
  return range.central === null ? range : { low: 60 * range.low, central: 60 * range.central, high: 60 * range.high };
}
