import { describe, expect, test } from 'vitest';
import { applyEdit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { writeFarmText, readFarmText } from '../../../shared/model/farm-text.ts';
import {
  bringBack,
  chooseProgram,
  choosePrograms,
  forgetScenario,
  idFromName,
  keepOrder,
  saveScenario,
  unchoose,
} from '../../../shared/model/plan-edits.ts';

const square = [
  [
    [
      [0, 0],
      [0.001, 0],
      [0.001, 0.001],
      [0, 0],
    ],
  ],
] as Farm['fields'][number]['boundary'];
const field = (id: string): Farm['fields'][number] => ({
  id,
  name: id.toUpperCase(),
  ours: true,
  frameOrigin: [0, 0],
  boundary: square,
  exclusions: [],
});
const farm: Farm = { ...emptyFarm('farm', 'Farm'), fields: [field('west'), field('east')] };
const [, second, third] = farm.programs;
const order = { pass: 'post', where: 'zones', volumeLHa: 150, outsideFraction: 0, positionLost: 'nothing' } as const;
const rate = { pass: 'post', product: 'p', perArea: 1, unit: 'L/ha', rateMeans: 'product' } as const;

test('a choice for a field is one of the plan, replaced by the next, and undone', () => {
  const first = applyEdit(farm, chooseProgram(farm, 2027, 'west', second!.id));
  expect(first.farm.plan).toEqual([{ season: 2027, target: { field: 'west' }, program: second!.id, rates: [] }]);
  const then = applyEdit(first.farm, chooseProgram(first.farm, 2027, 'west', third!.id));
  expect(then.farm.plan).toHaveLength(1);
  expect(then.farm.plan[0]!.program).toBe(third!.id);
  expect(applyEdit(then.farm, then.reverse).farm).toEqual(first.farm);
  expect(applyEdit(first.farm, unchoose(first.farm, 2027, 'west')).farm.plan).toEqual([]);
});

test('seasons and zones of the same field are left as they are', () => {
  const zone = { season: 2027, target: { zone: 'west-A' }, program: second!.id, rates: [] };
  const before = { ...farm, plan: [zone, { season: 2026, target: { field: 'west' }, program: third!.id, rates: [] }] };
  const { plan } = applyEdit(before, choosePrograms(before, 2027, { west: second!.id, east: third!.id }, 'Best')).farm;
  expect(plan).toHaveLength(4);
  expect(plan.slice(0, 2)).toEqual(before.plan);
});

describe('rates that are kept', () => {
  const kept = applyEdit(
    farm,
    keepOrder(farm, { season: 2027, field: 'west', program: second!.id }, [rate], order),
  ).farm;
  test('stand in the plan with how the pass goes out, and are a document that can be read', () => {
    expect(kept.plan[0]).toMatchObject({ program: second!.id, rates: [rate], orders: [order] });
    const product = {
      id: 'p',
      name: 'P',
      parts: [{ ingredient: 'x', group: '15', gPerUnit: 1 }],
      form: 'liquid' as const,
    };
    const whole = { ...kept, products: [{ ...product, unit: 'L/ha', label: { full: 1 } }] };
    expect(readFarmText(writeFarmText(whole))).toMatchObject({ ok: true });
  });
  test('those of another pass stay, those of the same pass are replaced', () => {
    const residual = { ...rate, pass: 'residual' };
    const both = applyEdit(
      kept,
      keepOrder(kept, { season: 2027, field: 'west', program: second!.id }, [residual], { ...order, pass: 'residual' }),
    ).farm;
    expect(both.plan[0]!.rates.map((one) => one.pass)).toEqual(['post', 'residual']);
    const again = applyEdit(
      both,
      keepOrder(both, { season: 2027, field: 'west', program: second!.id }, [{ ...rate, perArea: 2 }], order),
    ).farm;
    expect(again.plan[0]!.rates.map((one) => [one.pass, one.perArea])).toEqual([
      ['residual', 1],
      ['post', 2],
    ]);
  });
  test('go with the program when another is chosen, and stay when the same is', () => {
    expect(applyEdit(kept, chooseProgram(kept, 2027, 'west', third!.id)).farm.plan[0]!.rates).toEqual([]);
    expect(applyEdit(kept, chooseProgram(kept, 2027, 'west', second!.id)).farm.plan).toEqual(kept.plan);
  });
});

test('a plan is kept under a name, brought back, and forgotten', () => {
  const planned = applyEdit(farm, chooseProgram(farm, 2027, 'west', second!.id)).farm;
  const kept = applyEdit(planned, saveScenario(planned, 'best', 'The best')).farm;
  const changed = applyEdit(kept, chooseProgram(kept, 2027, 'west', third!.id)).farm;
  expect(applyEdit(changed, bringBack(changed, 'best')).farm.plan).toEqual(planned.plan);
  expect(applyEdit(changed, saveScenario(changed, 'best', 'The best')).farm.scenarios).toHaveLength(1);
  expect(applyEdit(changed, forgetScenario(changed, 'best')).farm.scenarios).toEqual([]);
});

test('an id is made from a name, and never one that is taken', () => {
  expect(idFromName('Zwölf & more!', [], 'plan')).toBe('zwolf-more');
  expect(idFromName('Post', ['post', 'post-2'], 'plan')).toBe('post-3');
  expect(idFromName('!!', [], 'plan')).toBe('plan');
});
