/** The options by which a person overrules what a file was taken for. */
import type { ReadingWishes } from '../../shared/import/importer.ts';
import { FILE_KINDS, type FileKind } from '../../shared/model/records.ts';
import { isUnit } from '../../shared/units/units.ts';
import { type OptionSpec, pairOf } from './arguments.ts';

export const READING_OPTIONS: readonly OptionSpec[] = [
  { name: 'as', value: 'KIND', help: `what the file is: ${FILE_KINDS.join(', ')}` },
  { name: 'column', value: 'QUANTITY=COLUMN', many: true, help: 'which column holds a quantity: flow=FlowRate' },
  { name: 'unit', value: 'QUANTITY=UNIT', many: true, help: 'the unit of a quantity: flow=lb/s, moisture=%' },
  { name: 'crs', value: 'CRS', help: 'a coordinate system that the file does not say: EPSG:26916' },
  { name: 'utc-offset', value: 'MINUTES', help: 'local time of the file minus UTC, minutes' },
  { name: 'row-spacing', value: 'M', help: 'row spacing for counts per length of row, m' },
  { name: 'walked-width', value: 'M', help: 'width of the strip that was looked over along a walked track, m' },
  { name: 'season', value: 'YEAR', help: 'the season that the records belong to' },
];

export function readingWishes(
  options: Readonly<Record<string, readonly string[]>>,
): ReadingWishes | { readonly wrong: string } {
  const as = options['as']?.[0];
  if (as !== undefined && !FILE_KINDS.includes(as as FileKind))
    return { wrong: `--as ${as} is not one of ${FILE_KINDS.join(', ')}.` };
  const columns: Record<string, string> = {};
  const units: Record<string, string> = {};
  for (const [name, into] of [
    ['column', columns],
    ['unit', units],
  ] as const) {
    for (const text of options[name] ?? []) {
      const pair = pairOf(text);
      if (!pair)
        return { wrong: `--${name} ${text} is not of the form ${name === 'column' ? 'flow=FlowRate' : 'flow=lb/s'}.` };
      into[pair[0]] = pair[1];
    }
  }
  for (const unit of Object.values(units)) {
    if (!isUnit(unit) && unit !== 'bu/ac') return { wrong: `--unit: "${unit}" is not a unit that is known here.` };
  }
  const number = (name: string) => (options[name] === undefined ? undefined : Number(options[name]![0]));
  const [offset, spacing, season] = [number('utc-offset'), number('row-spacing'), number('season')];
  const width = number('walked-width');
  for (const [name, value] of Object.entries({
    'utc-offset': offset,
    'row-spacing': spacing,
    'walked-width': width,
    season,
  })) {
    if (value !== undefined && !Number.isFinite(value)) return { wrong: `--${name} needs a number.` };
  }
  return {
    ...(as === undefined ? {} : { as: as as FileKind }),
    columns,
    units,
    ...(options['crs'] === undefined ? {} : { crs: options['crs'][0]! }),
    ...(offset === undefined ? {} : { utcOffsetMinutes: offset }),
    ...(spacing === undefined ? {} : { rowSpacingM: spacing }),
    ...(width === undefined ? {} : { walkedWidthM: width }),
    ...(season === undefined ? {} : { season }),
  };
}
