import { describe, expect, it } from 'vitest';
import { budgetCurve, type FieldOffers } from '../../../../shared/analysis/budget-curve.ts';
import type { FieldStudy } from '../../../../shared/analysis/study.ts';
import { csvText, type Table } from '../../../../shared/export/csv.ts';
import type { Farm } from '../../../../shared/model/farm.ts';
import { emptyFarm } from '../../../../shared/model/new-farm.ts';
import { UNKNOWN_RANGE } from '../../../../shared/model/range.ts';
import { banksTable, curveTable, programsTable, setRows, setTable } from '../../../../src/places/plan/plan-tables.ts';

const range = (low: number, central: number, high: number) => ({ low, central, high });
const linesOf = <Row>(table: Table<Row>) => csvText(table).trimEnd().split('\r\n');

const farm = {
  ...emptyFarm('f', 'F'),
  display: 'metric',
  fields: [{ id: 'west', name: 'West' }],
  programs: [
    { id: 'as-now', name: 'As now' },
    { id: 'full', name: 'Everything, twice' },
  ],
  planning: { ...emptyFarm('f', 'F').planning, mustTreat: ['west'] },
} as unknown as Farm;

const program = (id: string, more: Partial<FieldStudy['programs'][number]> = {}): FieldStudy['programs'][number] => ({
  id,
  compared: 'the same',
  gain: range(0, 0, 0),
  gainPerHa: range(0, 0, 0),
  costPerHa: range(80, 80, 80),
  seedbankPerM2ByYear: [range(10, 20, 40), range(12, 30, 90)],
  ...more,
});
const west = {
  id: 'west',
  name: 'West',
  programs: [
    program('as-now'),
    program('full', {
      compared: 'cannot tell',
      gain: range(-100, 500, 900),
      gainPerHa: range(-10, 50, 90),
      seedbankPerM2ByYear: [range(10, 20, 40), UNKNOWN_RANGE],
    }),
  ],
} as unknown as FieldStudy;

describe('tables of the plan', () => {
  it('hold the programs of a field side by side, and which one was chosen', () => {
    expect(linesOf(programsTable(farm, west, 'full'))).toEqual([
      'Field,Program,Beside now,"Gain, least ($)","Gain, most likely ($)","Gain, most ($)","Gain, least ($/ha)","Gain, most likely ($/ha)","Gain, most ($/ha)","Cost a year, least ($/ha)","Cost a year, most likely ($/ha)","Cost a year, most ($/ha)",Chosen',
      'West,As now,,0,0,0,0,0,0,80,80,80,no',
      'West,"Everything, twice",Better or worse than now: cannot tell,-100,500,900,-10,50,90,80,80,80,yes',
    ]);
  });

  it('hold seed in the ground spring by spring, empty where it is not known', () => {
    expect(linesOf(banksTable(farm, west, 2027))).toEqual([
      'Field,Program,Spring,"Seed in the ground, least (per m²)","Seed in the ground, most likely (per m²)","Seed in the ground, most (per m²)"',
      'West,As now,2027,10,20,40',
      'West,As now,2028,12,30,90',
      'West,"Everything, twice",2027,10,20,40',
      'West,"Everything, twice",2028,,,',
    ]);
  });

  const offers: FieldOffers[] = [
    {
      field: 'west',
      offers: [
        { program: 'as-now', gain: range(0, 0, 0), extraCostPerYear: 0 },
        { program: 'full', gain: range(-100, 500, 900), extraCostPerYear: 70 },
      ],
    },
  ];

  it('hold the set of a budget, and leave out fields without an offer', () => {
    const study = { fields: [west, { ...west, id: 'nobody-looked' }] };
    const rows = setRows(study, offers, { west: 'full' });
    expect(linesOf(setTable(farm, rows))).toEqual([
      'Field,Program,"Gain over the years, least ($)","Gain over the years, most likely ($)","Gain over the years, most ($)",More a year ($),Must be treated',
      'West,"Everything, twice",-100,500,900,70,yes',
    ]);
    expect(setRows(study, offers, {})[0]!.program).toBe('as-now');
  });

  it('hold what each budget buys, empty below what must be treated costs', () => {
    expect(linesOf(curveTable(budgetCurve(offers, ['west'], [0, 100])))).toEqual([
      'Budget a year ($),Spent a year ($),"Gain over the years, least ($)","Gain over the years, most likely ($)","Gain over the years, most ($)",Gain at most ($)',
      '0,,,,,',
      '100,70,-100,500,900,500',
    ]);
  });
});
