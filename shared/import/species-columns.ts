/** Tables with one column a species: which headers name one ("AMATU", "waterhemp count", "Palmer (plants)"). */
import { speciesIdOf } from '../agronomy/species-names.ts';
import { listed } from './columns.ts';
import type { TableReading } from './table-reading.ts';

const BESIDE =
  /\b(counts?|counted|numbers?|no|n|nr|plants?|weeds?|density|ratings?|rated|per|quadrat|present|presence|seen|of)\b|[#:]/gi;

/** The species that a header names, or null. */
export function speciesOfHeader(header: string): string | null {
  const whole = speciesIdOf(header);
  if (whole) return whole;
  const rest = header
    .replace(/[[(].*?[\])]/g, ' ')
    .replace(/_/g, ' ')
    .replace(BESIDE, ' ')
    .trim();
  return rest === '' ? null : speciesIdOf(rest);
}

/** Columns that name a species, except those taken for something else; codes that are unknown here are told. */
export function speciesColumns(reading: TableReading): { index: number; column: string; species: string }[] {
  const { table, found } = reading;
  const taken = new Set(Object.values(found).map((one) => one?.index));
  const columns: { index: number; column: string; species: string }[] = [];
  const unknown: string[] = [];
  table.header.forEach((column, index) => {
    if (taken.has(index)) return;
    const species = speciesOfHeader(column);
    if (species) columns.push({ index, column, species });
    else if (/^[A-Z]{3,5}\d?[A-Z]?$/.test(column) && column.length >= 5) unknown.push(column);
  });
  if (columns.length > 0 && unknown.length > 0) {
    reading.note(
      'note',
      'species-columns-unknown',
      `Columns that may be species unknown here are left out: ${listed(unknown)}.`,
    );
  }
  return columns;
}
