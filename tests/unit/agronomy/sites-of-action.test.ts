import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { groupOf, siteOfActionName, SITES_OF_ACTION } from '../../../shared/agronomy/sites-of-action.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';

interface Row {
  readonly group: string;
  readonly examples: readonly string[];
}
const science = JSON.parse(
  readFileSync(new URL('../../reference/science/management.json', import.meta.url), 'utf8'),
) as { residual: { groups: readonly Row[]; ingredients: readonly { ai: string; group: string }[] } };

test('the table is that of the science file, but for the group of unknown sites', () => {
  const rows = science.residual.groups.filter((one) => one.group !== '0');
  expect(SITES_OF_ACTION.map(({ group, examples }) => ({ group, examples }))).toEqual(
    rows.map(({ group, examples }) => ({ group, examples })),
  );
});

test('every residual ingredient of the science file has the group that stands beside it there', () => {
  const farm = emptyFarm('a', 'A');
  const plain = (name: string) => name.replace(/ \(.*\)$/, '');
  for (const { ai, group } of science.residual.ingredients) expect(groupOf(farm, plain(ai))?.group).toBe(group);
});

test('what was typed from a label goes before the table, and a pass before it too', () => {
  const farm = emptyFarm('a', 'A');
  const part = (group: string) => ({ ingredient: 'Glyphosate', group, gPerUnit: 540 });
  const product = {
    id: 'p',
    name: 'P',
    form: 'liquid' as const,
    unit: 'L/ha',
    label: { full: 1 },
    parts: [part('99')],
  };
  expect(groupOf(farm, 'glyphosate')).toEqual({ group: '9', from: 'the table' });
  expect(groupOf({ ...farm, products: [product] }, 'glyphosate')).toEqual({ group: '99', from: 'a label' });
  const [first, ...others] = farm.programs;
  const pass = { ...first!.passes[0]!, parts: [{ ingredient: 'novelone', rateFraction: 1, group: '40' }] };
  const programs = [{ ...first!, passes: [pass] }, ...others];
  expect(groupOf({ ...farm, programs }, 'Novelone')).toEqual({ group: '40', from: 'a program' });
  expect(groupOf(farm, 'novelone')).toBeNull();
});

test('a group is named by its site, or left as its number where the table has none', () => {
  expect(siteOfActionName('14')).toContain('PPO');
  expect(siteOfActionName('40')).toBe('40');
});
