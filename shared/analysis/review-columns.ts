/**
 * Which column of a file is which quantity, in which unit and why, and what else a person could say: every other column, every
 * unit of the quantity. Also of a file that was refused, so that it can be read after all.
 */
import { findColumns, readings, sampleOf, unitsOf, type ValueSample, type WantedColumn } from '../import/columns.ts';
import type { Table } from '../import/csv.ts';
import { plainWishes } from '../import/harvest-log-rules.ts';
import type { ReadingWishes } from '../import/importer.ts';
import { speciesOfHeader } from '../import/species-columns.ts';
import type { UnitWord } from '../import/unit-words.ts';
import type { ColumnReading, FileKind } from '../model/records.ts';
import type { Quantity } from '../units/units.ts';

export interface ColumnChoice {
  /** Of the quantity: the key of `ReadingWishes.columns` and `.units`. */
  readonly id: string;
  /** "mass flow". */
  readonly title: string;
  readonly quantity: Quantity | null;
  /** null where no column gives it. */
  readonly taken: ColumnReading | null;
  readonly units: readonly UnitWord[];
  /** Numbers of its first rows, as written in the file; null where there are none. */
  readonly sample: ValueSample | null;
  /** The different texts in it, where one of them can be asked for: stations, recordings. */
  readonly values: readonly string[];
}

/** Quantities of which one value can be asked for: "station=IA0200". */
const PARTED_BY: ReadonlySet<string> = new Set(['station', 'recording']);
const MOST_VALUES = 60;

/** @param taken as the file was read; null where it was refused: then the columns are found anew */
export function columnChoices(
  table: Table,
  wanted: readonly WantedColumn[],
  wishes: ReadingWishes,
  taken: Readonly<Record<string, ColumnReading>> | null,
): ColumnChoice[] {
  const found = taken ?? readings(findColumns(wanted, table, plainWishes(wishes, table.header)).found);
  return wanted.map((one) => {
    const reading = found[one.id] ?? null;
    const index = reading ? table.header.indexOf(reading.column) : -1;
    return {
      id: one.id,
      title: one.title,
      quantity: one.quantity ?? null,
      taken: reading,
      units: one.quantity ? unitsOf(one.quantity) : [],
      sample: index < 0 ? null : sampleIn(table, index),
      values: index >= 0 && PARTED_BY.has(one.id) ? valuesIn(table, index) : [],
    };
  });
}

/** Columns that each count or rate one species, in files without a column of species. */
export function speciesByColumn(table: Table, kind: FileKind, choices: readonly ColumnChoice[]): string[] {
  if (kind !== 'scouting' && kind !== 'ratings') return [];
  if (choices.some((one) => one.id === 'species' && one.taken)) return [];
  const used = new Set(choices.map((one) => one.taken?.column));
  return table.header.filter((column) => !used.has(column) && speciesOfHeader(column) !== null);
}

function sampleIn(table: Table, index: number): ValueSample | null {
  const sample = sampleOf(table, index);
  return sample.count === 0 ? null : sample;
}

function valuesIn(table: Table, index: number): string[] {
  const values = new Set<string>();
  for (const { cells } of table.blocks()) {
    for (let row = 0; row < cells.rows; row++) values.add(cells.text(row, index));
    if (values.size > MOST_VALUES) return [];
  }
  values.delete('');
  return [...values];
}
