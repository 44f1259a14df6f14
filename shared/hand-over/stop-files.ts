/** Stops to walk to, as waypoints for a phone or a receiver and as a table. */
import type { Table } from '../export/csv.ts';
import { quantityColumn } from '../export/csv.ts';
import { type GpxPlace, gpxText } from '../export/gpx.ts';
import type { LonLat } from '../geometry/types.ts';
import { stopSays } from '../import/own-stops.ts';
import { type Display, formatQuantity, shownUnit } from '../units/format.ts';
import { groundWords } from '../units/ground-words.ts';
import { toSI } from '../units/units.ts';

export interface StopRow {
  readonly fieldName: string;
  /** In the walk of its field, from 1. */
  readonly order: number;
  readonly at: LonLat;
  readonly settlesM2: number;
  readonly effortM2: number;
}

/** The walks of several fields as rows, in their order. */
export function stopRows(
  fields: readonly {
    readonly name: string;
    readonly effortM2: number;
    readonly stops: readonly Pick<StopRow, 'order' | 'at' | 'settlesM2'>[];
  }[],
): StopRow[] {
  return fields.flatMap(({ name, effortM2, stops }) =>
    stops.map(({ at, order, settlesM2 }) => ({ fieldName: name, order, at, settlesM2, effortM2 })),
  );
}

/** Acres or hectares. */
const LEAST_SAID = 0.01;

/** "Far Piece 3". */
export function stopName({ fieldName, order }: StopRow): string {
  return `${fieldName} ${order}`;
}

/** What a stop is worth, in words. */
export function settlesInWords({ settlesM2 }: Pick<StopRow, 'settlesM2'>, display: Display): string {
  if (settlesM2 === 0) return 'part of a first look';
  const least = toSI(LEAST_SAID, shownUnit('area', display));
  return settlesM2 < least
    ? `would settle less than ${formatQuantity(least, 'area', display, 2)}`
    : `would settle ${formatQuantity(settlesM2, 'area', display, 2)}`;
}

/** @param weed as people call it */
export function stopsAsGpx(title: string, rows: readonly StopRow[], weed: string, display: Display): string {
  const place = (row: StopRow): GpxPlace => ({
    lon: row.at[0],
    lat: row.at[1],
    name: stopName(row),
    says: stopSays(weed, groundWords(row.effortM2, display), settlesInWords(row, display)),
  });
  return gpxText(title, rows.map(place));
}

export function stopsTable(rows: readonly StopRow[], weed: string, display: Display): Table<StopRow> {
  const us = display === 'us';
  return {
    columns: [
      { title: 'Field', of: (row) => row.fieldName },
      { title: 'Stop', of: (row) => row.order },
      { title: 'Latitude', of: (row) => Number(row.at[1].toFixed(7)) },
      { title: 'Longitude', of: (row) => Number(row.at[0].toFixed(7)) },
      { title: 'Weed', of: () => weed },
      quantityColumn<StopRow>('Ground to look at', us ? 'ft2' : 'm2', (row) => row.effortM2),
      quantityColumn<StopRow>('Would settle', us ? 'ac' : 'ha', (row) => row.settlesM2),
      // To be filled in by hand.
      { title: 'Plants counted', of: () => null },
      { title: 'Height', of: () => null },
    ],
    rows,
  };
}
