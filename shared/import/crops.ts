/** The crop plan: what was planted on which field, when, and what it stands. */
import { UNITS } from '../units/units.ts';
import type { CropRecords } from '../model/records.ts';
import { dateOf, dayText } from '../units/calendar.ts';
import type { WantedColumn } from './columns.ts';
import { cropIdOf } from './crop-names.ts';
import type { CellBlock } from './csv-cells.ts';
import { GROUND_COLUMNS } from './ground-looked-at.ts';
import { CROP } from './harvest-log-columns.ts';
import type { Importer } from './importer.ts';
import { isMissing } from './number-text.ts';
import { FIELD } from './ratings.ts';
import { headTable, kindScore } from './table.ts';
import { readTableRows, unitGuess, words } from './table-reading.ts';
import type { Lack, RowTaker, TableReading } from './table-reading.ts';

const WANTED: readonly WantedColumn[] = [
  FIELD,
  { id: 'year', title: 'the year', names: words('year season cropyear harvestyear') },
  CROP,
  {
    id: 'planted',
    title: 'the planting date',
    names: words(
      'planted plantedon plantingdate planting plantdate dateplanted sown sowingdate sowndate seeded seedingdate',
    ),
  },
  {
    id: 'emerged',
    title: 'the emergence date',
    names: words('emerged emergedon emergencedate emergence cropemergence dateemerged'),
  },
  {
    id: 'mature',
    title: 'the date of maturity',
    names: words('mature matureon maturity maturitydate matured datemature'),
  },
  {
    id: 'harvested',
    title: 'the harvest date',
    names: words('harvested harvestedon harvestdate harvest dateharvested'),
  },
  GROUND_COLUMNS.find(({ id }) => id === 'rowSpacing')!,
  {
    id: 'yield',
    title: 'the expected yield',
    names: words('expectedyield yieldexpected yield yieldgoal targetyield expectedyld goalyield yieldpotential'),
    quantity: 'mass per area',
    unitFromValues: (sample, system) =>
      sample.median > 400 && system !== 'us'
        ? unitGuess('kg/ha', `values like ${sample.median}`, false)
        : sample.median < 20 && system !== 'us'
          ? unitGuess('t/ha', `values like ${sample.median}`, false)
          : unitGuess('bu/ac', `values like ${sample.median}`, system === 'us'),
  },
  {
    id: 'tolerates',
    title: 'what the crop tolerates',
    names: words('tolerates tolerance tolerant traits trait herbicidetolerance toleratedherbicides resistanttraits'),
  },
];

export const cropsImporter: Importer = {
  id: 'crops-table',
  title: 'Crop plan (CSV)',
  columns: () => WANTED,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    return table ? kindScore(table, WANTED, [['field'], ['crop'], ['planted', 'year']]) : 0;
  },
  *read(bundle, wishes) {
    return yield* readTableRows(this.id, 'crops', bundle, wishes, WANTED, takeCrops);
  },
};

/** What is written in the column of tolerances, parted at ; or |. Blank is not stated (null); "none" is stated: []. */
export function toleratesOf(text: string): string[] | null {
  if (/^(none|nothing|conventional)$/i.test(text)) return [];
  if (isMissing(text)) return null;
  return text
    .split(/[;|]/)
    .map((one) => one.trim())
    .filter(Boolean);
}

const BUSHEL: Readonly<Record<string, 'bu/ac 56 lb' | 'bu/ac 60 lb'>> = {
  corn: 'bu/ac 56 lb',
  soybean: 'bu/ac 60 lb',
  wheat: 'bu/ac 60 lb',
};

function takeCrops(reading: TableReading): RowTaker | Lack {
  const { found, wishes } = reading;
  if (!found['field']) return { what: 'no column gives the field' };
  if (!found['crop']) return { what: 'no column gives the crop' };
  const days = {
    planted: reading.day('planted'),
    emerged: reading.day('emerged'),
    mature: reading.day('mature'),
    harvested: reading.day('harvested'),
  };
  const year = reading.number('year', 'the year');
  if (!days.planted && !year && wishes.season === undefined)
    return { what: 'no column gives the planting date or the year' };
  const [spacing, yields] = [reading.number('rowSpacing', 'row spacing'), reading.number('yield', 'expected yield')];
  const crops: CropRecords['crops'][number][] = [];

  const expectedYield = (crop: string, cells: CellBlock, row: number): number | null => {
    const value = yields ? yields.read(cells, row) : NaN;
    if (value !== value) return null;
    if (value < 0) {
      reading.tell(
        'warning',
        'yield-negative',
        'the expected yield is negative; it is left out',
        cells,
        row,
        found['yield'],
      );
      return null;
    }
    if (found['yield']!.unit !== 'bu/ac') return value;
    const bushel = BUSHEL[crop];
    if (bushel) return value * UNITS[bushel].factor;
    reading.tell(
      'warning',
      'bushel-unknown',
      `a bushel of ${crop} has no weight here; the expected yield is left out`,
      cells,
      row,
      found['yield'],
      'Give it in lb/ac or kg/ha.',
    );
    return null;
  };
  const take = (cells: CellBlock, row: number): boolean => {
    const fieldName = reading.text(cells, row, 'field');
    const named = reading.text(cells, row, 'crop');
    if (fieldName === '' || named === '') {
      reading.tell(
        'warning',
        fieldName === '' ? 'field-missing' : 'crop-missing',
        `the ${fieldName === '' ? 'field' : 'crop'} is missing; the row is not used`,
        cells,
        row,
        found[fieldName === '' ? 'field' : 'crop'],
      );
      return false;
    }
    const crop = cropIdOf(named) ?? named.toLowerCase();
    if (cropIdOf(named) === null)
      reading.tell(
        'warning',
        'crop-unknown',
        `the crop "${named}" is not known here: no yield loss is worked out for it`,
        cells,
        row,
        found['crop'],
      );
    const day = (id: keyof typeof days) => days[id]?.read(cells, row) ?? null;
    const [planted, emerged, mature, harvested] = [day('planted'), day('emerged'), day('mature'), day('harvested')];
    const inFile = year ? year.read(cells, row) : NaN;
    const own = Number.isInteger(inFile)
      ? inFile
      : planted !== null
        ? dateOf(harvested ?? planted).year
        : wishes.season;
    if (own === undefined) {
      reading.tell(
        'warning',
        'year-missing',
        'neither year nor planting date is given; the row is not used',
        cells,
        row,
        found['year'] ?? found['planted'],
      );
      return false;
    }
    if (wishes.season !== undefined && own !== wishes.season)
      reading.tell(
        'warning',
        'date-out-of-season',
        `the year is ${own}, not ${wishes.season}`,
        cells,
        row,
        found['year'] ?? found['planted'],
      );
    tellOrder(reading, { planted, emerged, mature, harvested }, cells, row);
    const spacingM = spacing ? spacing.read(cells, row) : NaN;
    const text = (number: number | null) => (number === null ? null : dayText(number));
    crops.push({
      fieldName,
      year: own,
      crop,
      plantedOn: text(planted),
      emergedOn: text(emerged),
      matureOn: text(mature),
      harvestedOn: text(harvested),
      rowSpacingM: spacingM > 0 ? spacingM : null,
      expectedYieldKgHa: expectedYield(crop, cells, row),
      tolerates: toleratesOf(reading.text(cells, row, 'tolerates')),
      row: cells.line(row),
    });
    return true;
  };
  return { take, finish: () => (crops.length === 0 ? null : { kind: 'crops', crops }) };
}

/** A crop emerges after planting, ripens after that, and is harvested last: told where a row says otherwise. */
function tellOrder(reading: TableReading, dates: Record<string, number | null>, cells: CellBlock, row: number): void {
  let last: [string, number] | null = null;
  for (const [name, day] of Object.entries(dates)) {
    if (day === null) continue;
    if (last && day < last[1]) {
      reading.tell(
        'warning',
        'dates-out-of-order',
        `${name} ${dayText(day)} is before ${last[0]} ${dayText(last[1])}; kept as written`,
        cells,
        row,
        reading.found[name],
      );
    }
    last = [name, day];
  }
}
