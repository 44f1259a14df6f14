import { describe, expect, it } from 'vitest';
import { carryOver } from '../../../shared/model/carry-over.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { type Farm, farmSchema, type Product, type Program } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { writeFarmText, readFarmText } from '../../../shared/model/farm-text.ts';

const farm = (id: string, name: string, more: Partial<Farm> = {}): Farm => ({ ...emptyFarm(id, name), ...more });
const program = (id: string, name: string, costPerHa: number | null = 60): Program => ({
  id,
  name,
  assumed: false,
  passes: [
    {
      id: 'pre',
      timing: 'pre-emergence',
      means: 'residual',
      parts: [{ ingredient: 'S-metolachlor', rateFraction: 1 }],
      daysFromPlanting: 0,
      control: { early: 'good' },
      controlOf: {},
      costPerHa,
      where: 'field',
      crops: [],
    },
  ],
});
const product = (id: string, full: number): Product => ({
  id,
  name: 'Residual as typed',
  parts: [{ ingredient: 'S-metolachlor', group: '15', gPerUnit: 900 }],
  form: 'liquid',
  unit: 'L/ha',
  label: { full },
  costPerUnit: 30,
});
const season = (year: number, prices: Record<string, number>): Farm['seasons'][number] => ({
  year,
  weather: [],
  prices,
  crops: [],
  visits: [],
  sprayed: [],
  sightings: [],
});

function carried(into: Farm, from: Farm) {
  const outcome = carryOver(into, from);
  if (!outcome.ok) throw new Error(outcome.problems[0]!.text);
  return { ...outcome.value, problems: outcome.problems, ...applyEdit(into, outcome.value.edit) };
}

describe('carrying over from another farm', () => {
  it('refuses where there is nothing that the farm does not have', () => {
    const outcome = carryOver(farm('a', 'Ash'), farm('b', 'Birch'));
    expect(outcome).toMatchObject({ ok: false, problems: [{ code: 'nothing-to-carry' }] });
  });

  it('is one edit, says what comes, and is taken back by its reverse', () => {
    const from = farm('b', 'Birch', {
      programs: [...emptyFarm('b', 'B').programs, program('own', 'Own')],
      products: [product('residual', 1.5)],
      seasons: [season(2026, { corn: 0.17, soybean: 0.4 })],
    });
    const into = farm('a', 'Ash');
    const { edit, farm: after, reverse } = carried(into, from);
    expect(edit.label).toBe('Carry over 1 program, 1 product and 2 prices from Birch');
    expect(after.programs.at(-1)).toEqual(program('own', 'Own'));
    expect(after.seasons).toEqual([season(2026, { corn: 0.17, soybean: 0.4 })]);
    expect(applyEdit(after, reverse).farm).toEqual(into);
    expect(readFarmText(writeFarmText(after)).ok).toBe(true);
  });

  it('never takes records: fields, files, rounds, crops, plans, zones, and what resists stay where they are', () => {
    const from = farm('b', 'Birch', {
      seasons: [{ ...season(2026, { corn: 0.17 }), sprayed: [{ where: { field: 'x' }, on: '2026-05-01', parts: [] }] }],
      population: { waterhemp: { '9': 'fails' } },
      ownValues: [{ parameter: 'p', value: 1, low: 1, high: 1, because: 'counted' }],
      planning: { ...emptyFarm('b', 'B').planning, budget: 9000 },
    });
    const into = farm('a', 'Ash');
    const { farm: after } = carried(into, from);
    expect(after).toEqual({ ...into, seasons: [season(2026, { corn: 0.17 })] });
    expect(Object.keys(farmSchema.shape)).toHaveLength(Object.keys(after).length + 2);
  });

  it('leaves what the farm does now, puts its own program in the place of an assumed one, and keeps two that differ', () => {
    const own = program('overlapping-residuals', 'Overlapping, as I do it');
    const from = farm('b', 'Birch', { programs: [{ ...program('as-now', 'As now'), assumed: false }, own] });
    const { farm: after } = carried(farm('a', 'Ash'), from);
    expect(after.programs.find((one) => one.id === 'as-now')).toEqual(emptyFarm('a', 'A').programs[0]);
    expect(after.programs.filter((one) => one.id.startsWith('overlapping'))).toEqual([own]);

    const third = farm('c', 'Cedar', { programs: [{ ...own, passes: program('x', 'x', 75).passes }] });
    const { farm: both } = carried(after, third);
    expect(both.programs.filter((one) => one.id.startsWith('overlapping')).map(({ id, name }) => [id, name])).toEqual([
      ['overlapping-residuals', 'Overlapping, as I do it'],
      ['overlapping-residuals-2', 'Overlapping, as I do it (Cedar)'],
    ]);
    expect(carryOver(both, third).ok).toBe(false);
  });

  it('keeps two products whose labels were typed differently, and says to check them', () => {
    const into = farm('a', 'Ash', { products: [product('residual', 1.5)] });
    const { farm: after, problems } = carried(into, farm('b', 'Birch', { products: [product('residual', 1.75)] }));
    expect(after.products.map((one) => [one.id, one.label.full])).toEqual([
      ['residual', 1.5],
      ['residual-2', 1.75],
    ]);
    expect(problems).toMatchObject([{ code: 'label-as-typed', level: 'note' }]);
  });

  it('puts prices in the place of those of the same crop and year, and leaves the others', () => {
    const into = farm('a', 'Ash', { seasons: [season(2026, { corn: 0.2, wheat: 0.22 })] });
    const from = farm('b', 'Birch', {
      seasons: [season(2025, { corn: 0.16 }), season(2026, { corn: 0.17, wheat: 0.22 })],
    });
    const { farm: after, prices } = carried(into, from);
    expect(prices).toBe(2);
    expect(after.seasons).toEqual([season(2025, { corn: 0.16 }), season(2026, { corn: 0.17, wheat: 0.22 })]);
  });

  it('leaves money of another currency behind, and tells it', () => {
    const from = farm('b', 'Birch', {
      currency: 'CAD',
      programs: [program('own', 'Own')],
      products: [product('residual', 1.5)],
      seasons: [season(2026, { corn: 0.17 })],
    });
    const { farm: after, problems } = carried(farm('a', 'Ash'), from);
    expect(problems.map((one) => one.code)).toContain('money-left-behind');
    expect(after.seasons).toEqual([]);
    expect(after.programs.at(-1)!.passes[0]!.costPerHa).toBeNull();
    expect(after.products[0]).not.toHaveProperty('costPerUnit');
  });
});
