/** The spray record: field, day, active ingredient and the share of the full label rate that went on. */
import type { SprayingRecords } from '../model/records.ts';
import { dateOf, dayText } from '../units/calendar.ts';
import type { WantedColumn } from './columns.ts';
import type { CellBlock } from './csv-cells.ts';
import { DATE_NAMES } from './harvest-log-columns.ts';
import type { Importer } from './importer.ts';
import { FIELD } from './ratings.ts';
import { headTable, kindScore } from './table.ts';
import { readTableRows, unitGuess, words } from './table-reading.ts';
import type { Lack, RowTaker, TableReading } from './table-reading.ts';

const WANTED: readonly WantedColumn[] = [
  FIELD,
  {
    id: 'date',
    title: 'the date',
    names: [...DATE_NAMES, ...words('sprayed sprayedon spraydate applied appliedon applicationdate applicdate')],
  },
  {
    id: 'ingredient',
    title: 'the active ingredient',
    names: words('ingredient activeingredient active ai herbicide herbicideai activesubstance substance'),
  },
  {
    id: 'rate',
    title: 'the share of the full label rate',
    names: words(
      'ratefraction share rateshare shareofrate shareoffullrate shareoffulllabelrate shareoflabelrate labelshare fraction rate ratepercent percentofrate percentoffullrate percentoflabelrate percentoffulllabelrate relativerate',
    ),
    quantity: 'fraction',
    unitFromValues: (sample) =>
      sample.max > 2.5
        ? unitGuess('%', `values up to ${sample.max} are percent`, true)
        : unitGuess('fraction', `values up to ${sample.max} are shares`, true),
  },
];

export const sprayingsImporter: Importer = {
  id: 'sprayings-table',
  title: 'Spray record (CSV)',
  columns: () => WANTED,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    return table ? kindScore(table, WANTED, [['field'], ['date'], ['ingredient']]) : 0;
  },
  *read(bundle, wishes) {
    return yield* readTableRows(this.id, 'sprayings', bundle, wishes, WANTED, takeSprayings);
  },
};

function takeSprayings(reading: TableReading): RowTaker | Lack {
  const { found, wishes } = reading;
  if (!found['field']) return { what: 'no column gives the field' };
  if (!found['ingredient']) return { what: 'no column gives the active ingredient' };
  const days = reading.day('date');
  if (!days) return { what: 'no column gives the date' };
  const rate = reading.number('rate', 'share of the full label rate');
  if (!rate) {
    return {
      what: 'no column gives the share of the full label rate',
      hint: 'A cut rate covers for fewer days. Say the column, or one share for all: rate = "=1".',
    };
  }
  const sprayings: SprayingRecords['sprayings'][number][] = [];
  const take = (cells: CellBlock, row: number): boolean => {
    const fieldName = reading.text(cells, row, 'field');
    const ingredient = reading.text(cells, row, 'ingredient');
    const day = days.read(cells, row);
    const rateFraction = rate.read(cells, row);
    const lacks =
      fieldName === ''
        ? 'field'
        : ingredient === ''
          ? 'ingredient'
          : day === null
            ? 'date'
            : rateFraction !== rateFraction
              ? 'rate'
              : null;
    if (lacks !== null || day === null) {
      reading.tell(
        'warning',
        `${lacks}-missing`,
        `the ${lacks} is missing or cannot be read; the row is not used`,
        cells,
        row,
        found[lacks ?? 'date'],
      );
      return false;
    }
    if (rateFraction < 0) {
      reading.tell(
        'error',
        'rate-negative',
        `the rate is ${cells.text(row, found['rate']!.index)}; a rate cannot be negative, the row is not used`,
        cells,
        row,
        found['rate'],
      );
      return false;
    }
    if (rateFraction > 1.0001) {
      reading.tell(
        'warning',
        'rate-over-full',
        `the rate is ${Math.round(rateFraction * 100)}% of the full label rate; kept as written`,
        cells,
        row,
        found['rate'],
        'The label’s highest rate is the law. Is the column a share?',
      );
    }
    if (wishes.season !== undefined && dateOf(day).year !== wishes.season) {
      reading.tell(
        'warning',
        'date-out-of-season',
        `${dayText(day)} is not in the season ${wishes.season}`,
        cells,
        row,
        found['date'],
      );
    }
    sprayings.push({ fieldName, on: dayText(day), ingredient, rateFraction, row: cells.line(row) });
    return true;
  };
  return { take, finish: () => (sprayings.length === 0 ? null : { kind: 'sprayings', sprayings }) };
}
