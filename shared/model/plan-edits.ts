/** Edits of the plan: which program a field gets, at which rates, and plans kept under a name. Each returns an edit, so that it can be undone. */
import type { Edit } from './edit.ts';
import type { Choice, Farm, PassOrder } from './farm.ts';
import { freeId } from './free-id.ts';

export const AS_NOW = 'as-now';

/** The field's own choice in a season; null: nothing chosen, which stands for current practice. */
export function choiceOf(plan: readonly Choice[], season: number, field: string): Choice | null {
  return plan.find((one) => one.season === season && 'field' in one.target && one.target.field === field) ?? null;
}

/** Rates of passes that the new program does not have go with the old one. */
export function chooseProgram(farm: Farm, season: number, field: string, program: string): Edit {
  const name = farm.fields.find((one) => one.id === field)!.name;
  const chosen = farm.programs.find((one) => one.id === program)!;
  const before = choiceOf(farm.plan, season, field);
  const has = (pass: string) => chosen.passes.some((one) => one.id === pass);
  const same = before?.program === program;
  const orders = before?.orders?.filter((one) => same && has(one.pass));
  return planEdit(farm, `Choose “${chosen.name}” for ${name}`, {
    season,
    target: { field },
    program,
    rates: same ? before.rates.filter((one) => has(one.pass)) : [],
    ...(orders && orders.length > 0 ? { orders } : {}),
  });
}

/** The field's choice is taken away: nothing chosen. */
export function unchoose(farm: Farm, season: number, field: string): Edit {
  const name = farm.fields.find((one) => one.id === field)!.name;
  const value = farm.plan.filter((one) => one !== choiceOf(farm.plan, season, field));
  return { label: `Choose nothing for ${name}`, sets: [{ path: ['plan'], value }] };
}

/** Many fields at once: the best set taken as the plan. Choices of zones, and of other seasons, stay. */
export function choosePrograms(
  farm: Farm,
  season: number,
  programs: Readonly<Record<string, string>>,
  label: string,
): Edit {
  const fields = Object.keys(programs);
  const plan = fields.reduce<readonly Choice[]>((so, field) => {
    const edit = chooseProgram({ ...farm, plan: [...so] }, season, field, programs[field]!);
    return edit.sets[0]!.value as Choice[];
  }, farm.plan);
  return { label, sets: [{ path: ['plan'], value: plan }] };
}

/** Keeps what goes out in one pass: rates and how it is ordered. Other passes of the same program keep theirs. */
export function keepOrder(
  farm: Farm,
  target: { readonly season: number; readonly field: string; readonly program: string },
  rates: Choice['rates'],
  order: PassOrder,
): Edit {
  const { season, field, program } = target;
  const name = farm.fields.find((one) => one.id === field)!.name;
  const before = choiceOf(farm.plan, season, field);
  const kept = before?.program === program ? before : null;
  const other = <T extends { pass: string }>(list: readonly T[] | undefined) =>
    (list ?? []).filter((one) => one.pass !== order.pass);
  return planEdit(farm, `Keep the rates of ${name}`, {
    season,
    target: { field },
    program,
    rates: [...other(kept?.rates), ...rates],
    orders: [...other(kept?.orders), order],
  });
}

export function saveScenario(farm: Farm, id: string, name: string): Edit {
  const scenario = { id, name, plan: farm.plan };
  const at = farm.scenarios.findIndex((one) => one.id === id);
  return {
    label: `Keep the plan as “${name}”`,
    sets: [{ path: ['scenarios', at < 0 ? farm.scenarios.length : at], value: scenario }],
  };
}

export function bringBack(farm: Farm, id: string): Edit {
  const scenario = farm.scenarios.find((one) => one.id === id)!;
  return { label: `Bring back the plan “${scenario.name}”`, sets: [{ path: ['plan'], value: scenario.plan }] };
}

export function forgetScenario(farm: Farm, id: string): Edit {
  const scenario = farm.scenarios.find((one) => one.id === id)!;
  const value = farm.scenarios.filter((one) => one.id !== id);
  return { label: `Forget the plan “${scenario.name}”`, sets: [{ path: ['scenarios'], value }] };
}

/** An id that no other has: the name in plain letters, numbered where it is taken. */
export function idFromName(name: string, taken: readonly string[], fallback: string): string {
  const plain = name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .slice(0, 48)
    .replace(/^-+|-+$/g, '');
  return freeId(plain === '' ? fallback : plain, new Set(taken));
}

function planEdit(farm: Farm, label: string, choice: Choice): Edit {
  const { season } = choice;
  const field = (choice.target as { field: string }).field;
  const at = farm.plan.findIndex((one) => one === choiceOf(farm.plan, season, field));
  const value = at < 0 ? [...farm.plan, choice] : farm.plan.map((one, index) => (index === at ? choice : one));
  return { label, sets: [{ path: ['plan'], value }] };
}
