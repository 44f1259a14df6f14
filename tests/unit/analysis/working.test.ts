import { beforeAll, expect, test } from 'vitest';
import { formulaById } from '../../../shared/analysis/formulas.ts';
import type { FigureBook } from '../../../shared/analysis/formula.ts';
import { startRunner, studyFarm } from '../../../shared/analysis/study.ts';
import { workingOf } from '../../../shared/analysis/working.ts';
import { CASES } from '../../../shared/model/range.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { openFarm } from '../../../src/cli/farm-store.ts';
import { closeTo } from '../../support/close-to.ts';
import { drive } from '../../support/import-text.ts';
import { furnish, hostWithFarm } from '../../support/small-farm-host.ts';

let figures: FigureBook;
let farm: Farm;
beforeAll(() => {
  const host = hostWithFarm('farm');
  furnish(host, 'farm');
  const opened = openFarm(host, 'farm');
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  farm = opened.value.farm;
  figures = drive(studyFarm(startRunner(farm, opened.value.door, opened.value.results))).figures;
});

test('a path that names no number has no working', () => {
  expect(workingOf(figures, 'fields/nowhere/stake', farm)).toBeNull();
});

test('every number shown is what its formula gives from the inputs shown, case by case', () => {
  let held = 0;
  for (const path of figures.paths()) {
    const figure = figures.get(path)!;
    const formula = formulaById.get(figure.formula)!;
    const values = CASES.flatMap((which) => {
      const inputs = figure.inputs[which];
      if (!inputs) return [];
      const numbers = Object.entries(inputs).map(([symbol, one]) => [symbol, one.value] as const);
      if (numbers.some(([, value]) => value === null)) return [];
      return [formula.compute(Object.fromEntries(numbers) as Record<string, number>)];
    });
    if (figure.range.central === null || values.length === 0) continue;
    const within = {
      within: 1e-12 * Math.max(...values.map(Math.abs)),
      because: 'the same formula over the same inputs',
    };
    closeTo(figure.range.low!, Math.min(...values), within);
    closeTo(figure.range.high!, Math.max(...values), within);
    held++;
  }
  expect(held).toBeGreaterThan(40);
});

test('every working can be told: symbols have a meaning, sources are named, deeper numbers have their own', () => {
  for (const path of figures.paths()) {
    const working = workingOf(figures, path, farm)!;
    expect(working.source.length).toBeGreaterThan(3);
    for (const input of working.inputs) {
      expect(input.means.length).toBeGreaterThan(3);
      expect(input.from.length).toBeGreaterThan(1);
      if (figures.get(input.from)) expect(input.working?.path).toBe(input.from);
    }
    for (const one of working.parameters) {
      expect(one.low).toBeLessThanOrEqual(one.value);
      expect(one.high).toBeGreaterThanOrEqual(one.value);
      for (const value of [one.mild, one.harsh]) {
        expect(value).toBeGreaterThanOrEqual(one.low);
        expect(value).toBeLessThanOrEqual(one.high);
      }
    }
  }
});

test('the farm’s own value stands in place of the published one, and says so', () => {
  const path = figures.paths().find((one) => figures.get(one)!.behind.length > 0)!;
  const [first] = workingOf(figures, path, farm)!.parameters;
  const own = { parameter: first!.id, value: first!.low, low: first!.low, high: first!.low, because: 'a strip trial' };
  const [mine] = workingOf(figures, path, { ...farm, ownValues: [own] })!.parameters;
  expect(mine).toMatchObject({ id: first!.id, own: true, value: own.value, mild: own.value, harsh: own.value });
});
