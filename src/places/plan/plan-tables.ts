/** Tables of the plan for a spreadsheet: all of what the page shows, with the ranges. */
import type { BudgetPoint, FieldOffers, Offer } from '../../../shared/analysis/budget-curve.ts';
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';
import { quantityColumn, rangeColumns, type Table } from '../../../shared/export/csv.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { fieldName, programName } from '../../../shared/model/lookups.ts';
import { AS_NOW } from '../../../shared/model/plan-edits.ts';
import { type Range, UNKNOWN_RANGE } from '../../../shared/model/range.ts';
import { shownUnit } from '../../../shared/units/format.ts';

type ProgramNumbers = FieldStudy['programs'][number];

/** Better or worse than current practice, in words. */
export const COMPARED: Readonly<Record<ProgramNumbers['compared'], string>> = {
  better: 'Better than now, in every case',
  worse: 'Worse than now, in every case',
  'the same': 'The same as now',
  'cannot tell': 'Better or worse than now: cannot tell',
};

/** The programs of one field side by side. */
export function programsTable(farm: Farm, field: FieldStudy, chosen: string | null): Table<ProgramNumbers> {
  const perArea = shownUnit('money per area', farm.display);
  return {
    columns: [
      { title: 'Field', of: () => field.name },
      { title: 'Program', of: (row) => programName(farm, row.id) },
      { title: 'Beside now', of: (row) => (row.id === AS_NOW ? null : COMPARED[row.compared]) },
      ...rangeColumns<ProgramNumbers>('Gain', 'money', (row) => row.gain),
      ...rangeColumns<ProgramNumbers>('Gain', perArea, (row) => row.gainPerHa),
      ...rangeColumns<ProgramNumbers>('Cost a year', perArea, (row) => row.costPerHa),
      { title: 'Chosen', of: (row) => (row.id === chosen ? 'yes' : 'no') },
    ],
    rows: field.programs,
  };
}

interface Spring {
  readonly program: string;
  readonly year: number;
  readonly bank: Range;
}

/** Live seed in the ground, spring by spring, under each program. @param season year of the first spring */
export function banksTable(farm: Farm, field: FieldStudy, season: number): Table<Spring> {
  return {
    columns: [
      { title: 'Field', of: () => field.name },
      { title: 'Program', of: (row) => programName(farm, row.program) },
      { title: 'Spring', of: (row) => row.year },
      ...rangeColumns<Spring>('Seed in the ground', shownUnit('count per area', farm.display), (row) => row.bank),
    ],
    rows: field.programs.flatMap(({ id: program, seedbankPerM2ByYear }) =>
      seedbankPerM2ByYear.map((bank, t) => ({ program, year: season + t, bank })),
    ),
  };
}

export interface SetRow {
  readonly id: string;
  readonly program: string;
  readonly offer: Offer;
}

/** A set of programs field by field, in the order of the study: fields that have no offer are left out. */
export function setRows(
  { fields }: Pick<Study, 'fields'>,
  offers: readonly FieldOffers[],
  set: Readonly<Record<string, string>>,
): SetRow[] {
  return fields.flatMap(({ id }) => {
    const program = set[id] ?? AS_NOW;
    const offer = offers.find((one) => one.field === id)?.offers.find((one) => one.program === program);
    return offer ? [{ id, program, offer }] : [];
  });
}

export function setTable(farm: Farm, rows: readonly SetRow[]): Table<SetRow> {
  return {
    columns: [
      { title: 'Field', of: (row) => fieldName(farm, row.id) },
      { title: 'Program', of: (row) => programName(farm, row.program) },
      ...rangeColumns<SetRow>('Gain over the years', 'money', (row) => row.offer.gain),
      quantityColumn<SetRow>('More a year', 'money', (row) => row.offer.extraCostPerYear),
      { title: 'Must be treated', of: (row) => (farm.planning.mustTreat.includes(row.id) ? 'yes' : 'no') },
    ],
    rows,
  };
}

/** What each yearly budget buys. */
export function curveTable(points: readonly BudgetPoint[]): Table<BudgetPoint> {
  return {
    columns: [
      quantityColumn<BudgetPoint>('Budget a year', 'money', (row) => row.budget),
      quantityColumn<BudgetPoint>('Spent a year', 'money', (row) => row.best?.spentPerYear ?? null),
      ...rangeColumns<BudgetPoint>('Gain over the years', 'money', (row) => row.best?.gain ?? UNKNOWN_RANGE),
      quantityColumn<BudgetPoint>('Gain at most', 'money', (row) => row.best?.bound ?? null),
    ],
    rows: points,
  };
}
