/** The ground that a count stands for, m²: quadrats (times throws), lengths of row, or an area walked. */
import type { CellBlock } from './csv-cells.ts';
import type { WantedColumn } from './columns.ts';
import type { Lack, TableReading } from './table-reading.ts';
import { unitGuess, words } from './table-reading.ts';

export const GROUND_COLUMNS: readonly WantedColumn[] = [
  {
    id: 'area',
    title: 'the area looked at',
    names: words(
      'quadrat quadratarea quadratsize areacounted areasearched arealooked areawalked areawalk areaseen effort effortarea plotarea plotsize framearea frame searchedarea area',
    ),
    quantity: 'area',
    unitFromValues: (sample, system) =>
      system === 'us' && sample.median >= 1
        ? unitGuess('ft2', 'other columns are in US units', false)
        : unitGuess('m2', `values like ${sample.median}`, false),
  },
  {
    id: 'rowLength',
    title: 'the length of row counted',
    names: words('rowlength lengthofrow rowlengthcounted rowcounted lengthcounted row length'),
    quantity: 'length',
    unitFromValues: (sample, system) =>
      system === 'us'
        ? unitGuess('ft', 'other columns are in US units', false)
        : unitGuess('m', `values like ${sample.median}`, false),
  },
  {
    id: 'rowSpacing',
    title: 'row spacing',
    names: words('rowspacing rowwidth spacing rowspace rowdistance'),
    quantity: 'length',
    unitFromValues: (sample) =>
      sample.median >= 100
        ? unitGuess('mm', `values like ${sample.median}`, true)
        : sample.median > 42
          ? unitGuess('cm', `values like ${sample.median}`, true)
          : sample.median >= 5
            ? unitGuess('in', `values like ${sample.median}`, true)
            : unitGuess('m', `values like ${sample.median}`, true),
  },
  {
    id: 'throws',
    title: 'throws of the quadrat',
    names: words(
      'throws quadrats nquadrats numberofquadrats quadratsthrown tosses frames subsamples nthrows numberofthrows',
    ),
    quantity: 'count',
  },
];

/** Ground of one row, or null (told). Undefined ground is asked for, never assumed. */
export type GroundOf = (cells: CellBlock, row: number) => number | null;

/** Largest ground believed for one stop: 100 ha. Above it a unit is wrong. */
const LARGEST_M2 = 1e6;

export function groundLookedAt(reading: TableReading): GroundOf | Lack {
  const { found, wishes } = reading;
  const area = reading.number('area', 'area looked at');
  const length = reading.number('rowLength', 'length of row');
  const spacing = reading.number('rowSpacing', 'row spacing');
  const throwsOf = reading.number('throws', 'throws');
  if (!area && !length) {
    return {
      what: 'no column gives the ground looked at (quadrat area, length of row or area walked)',
      hint: 'Counts mean nothing without it. Say the column, or one size for all: area = "=0.25 m2".',
    };
  }
  if (throwsOf && area)
    reading.note(
      'note',
      'throws',
      `The ground of a row is "${found['throws']!.column}" × "${found['area']!.column}": counts are taken as the sum of all throws.`,
      found['throws'],
    );
  if (length && !spacing && wishes.rowSpacingM !== undefined) {
    reading.note(
      'note',
      'row-spacing-said',
      `Row spacing ${wishes.rowSpacingM} m, as said, turns lengths of row into ground.`,
    );
  }
  return (cells, row) => {
    let ground = area ? area.read(cells, row) : NaN;
    if (ground === ground && throwsOf) {
      const throwsHere = throwsOf.read(cells, row);
      if (!(throwsHere > 0)) {
        reading.tell(
          'error',
          'throws-missing',
          'the number of throws is missing; the row is not used',
          cells,
          row,
          found['throws'],
        );
        return null;
      }
      ground *= throwsHere;
    }
    if (ground !== ground && length) {
      const lengthM = length.read(cells, row);
      const spacingM = spacing ? spacing.read(cells, row) : NaN;
      const used = spacingM > 0 ? spacingM : (wishes.rowSpacingM ?? NaN);
      if (lengthM > 0 && !(used > 0)) {
        reading.tell(
          'error',
          'row-spacing-missing',
          'a count along the row needs the row spacing; the row is not used',
          cells,
          row,
          found['rowLength'],
          'Say the row spacing of this field.',
        );
        return null;
      }
      ground = lengthM * used;
    }
    if (!(ground > 0)) {
      reading.tell(
        'error',
        'ground-missing',
        'the ground looked at is missing or not above 0; the row is not used',
        cells,
        row,
        found['area'] ?? found['rowLength'],
      );
      return null;
    }
    if (ground > LARGEST_M2) {
      reading.tell(
        'error',
        'ground-range',
        `the ground looked at would be ${(ground / 10_000).toFixed(0)} ha; the row is not used`,
        cells,
        row,
        found['area'],
        'Is the unit right?',
      );
      return null;
    }
    return ground;
  };
}
