/** Formats that a grower may well have and that are not read yet: known by name or first bytes, and said so plainly. */
import { problem, type Problem } from '../model/problem.ts';
import type { Bundle } from './importer.ts';

interface UnreadFormat {
  readonly title: string;
  readonly ending: RegExp;
  /** What the file starts with, as Latin letters. */
  readonly start?: RegExp;
  readonly instead: string;
}

const AS_BOUNDARIES = 'Export it as GeoJSON or as a shapefile.';

export const unreadFormats: readonly UnreadFormat[] = [
  { title: 'KML', ending: /\.kml$/i, start: /^[^]{0,400}<kml[\s>]/i, instead: AS_BOUNDARIES },
  { title: 'KMZ (zipped KML)', ending: /\.kmz$/i, instead: AS_BOUNDARIES },
  { title: 'GeoPackage', ending: /\.gpkg$/i, start: /^SQLite format 3\0/, instead: AS_BOUNDARIES },
  { title: 'FlatGeobuf', ending: /\.fgb$/i, start: /^fgb\x03/, instead: AS_BOUNDARIES },
  { title: 'GML', ending: /\.gml$/i, instead: AS_BOUNDARIES },
  { title: 'DXF drawing', ending: /\.dxf$/i, instead: AS_BOUNDARIES },
  { title: 'spreadsheet', ending: /\.(xlsx|xlsm|xls|ods)$/i, instead: 'Save the sheet as .csv.' },
];

/** @returns null where the file is of none of these formats. @param head its first bytes */
export function unreadFormat(bundle: Bundle, head: Uint8Array): Problem | null {
  const start = new TextDecoder('windows-1252').decode(head.subarray(0, 1000));
  const format =
    unreadFormats.find((one) => one.ending.test(bundle.name)) ??
    unreadFormats.find((one) => one.start?.test(start) ?? false);
  if (format === undefined) return null;
  return problem('error', 'format-not-read', `${bundle.name} is a ${format.title} file; that format is not read yet.`, {
    where: { file: bundle.name },
    hint: format.instead,
  });
}
