/** Edits of programs and products: new ones, copies, changes, and taking away what nothing uses. */
import type { Edit } from './edit.ts';
import type { Farm, Pass, Product, Program } from './farm.ts';
import { AS_NOW, idFromName } from './plan-edits.ts';

/** The program itself, or a new one where its id is not in the farm yet. */
export function sayProgram(farm: Farm, program: Program): Edit {
  const at = farm.programs.findIndex((one) => one.id === program.id);
  return {
    label: at < 0 ? `Add the program “${program.name}”` : `Change the program “${program.name}”`,
    sets: [{ path: ['programs', at < 0 ? farm.programs.length : at], value: program }],
  };
}

/** A copy under a free name, to be changed. */
export function copyOf(farm: Farm, program: Program): Program {
  const names = farm.programs.map((one) => one.name);
  const free = (n: number): string => {
    const name = n === 1 ? `${program.name}, a copy` : `${program.name}, copy ${n}`;
    return names.includes(name) ? free(n + 1) : name;
  };
  const name = free(1);
  const ids = farm.programs.map((one) => one.id);
  return { ...program, id: idFromName(name, ids, 'program'), name };
}

/** A pass with nothing told: of no ingredient, killing nothing, its cost unknown. */
export function barePass(passes: readonly Pass[]): Pass {
  return {
    id: idFromName(
      'pass',
      passes.map((one) => one.id),
      'pass',
    ),
    timing: 'post-emergence',
    means: 'post',
    parts: [],
    daysFromPlanting: 30,
    control: { early: 'none', 'with the crop': 'none', late: 'none' },
    controlOf: {},
    costPerHa: null,
    where: 'field',
    crops: [],
  };
}

/** Why a program cannot be taken away; null where it can. */
export function programInUse(farm: Farm, id: string): string | null {
  if (id === AS_NOW) return 'Current practice is what every program is compared with: it always exists.';
  if (farm.plan.some((one) => one.program === id)) return 'The plan uses it: choose another program there first.';
  const kept = farm.scenarios.find((one) => one.plan.some((choice) => choice.program === id));
  return kept ? `The kept plan “${kept.name}” uses it.` : null;
}

export function removeProgram(farm: Farm, id: string): Edit {
  const { name } = farm.programs.find((one) => one.id === id)!;
  const value = farm.programs.filter((one) => one.id !== id);
  return { label: `Take away the program “${name}”`, sets: [{ path: ['programs'], value }] };
}

export function sayProduct(farm: Farm, product: Product): Edit {
  const at = farm.products.findIndex((one) => one.id === product.id);
  return {
    label: at < 0 ? `Add ${product.name}` : `Change ${product.name}`,
    sets: [{ path: ['products', at < 0 ? farm.products.length : at], value: product }],
  };
}

/** Why a product cannot be taken away; null where it can. */
export function productInUse(farm: Farm, id: string): string | null {
  const uses = (plan: Farm['plan']) => plan.some((one) => one.rates.some((rate) => rate.product === id));
  if (uses(farm.plan)) return 'The plan holds a rate of it.';
  const kept = farm.scenarios.find((one) => uses(one.plan));
  return kept ? `The kept plan “${kept.name}” holds a rate of it.` : null;
}

export function removeProduct(farm: Farm, id: string): Edit {
  const { name } = farm.products.find((one) => one.id === id)!;
  const value = farm.products.filter((one) => one.id !== id);
  return { label: `Take away ${name}`, sets: [{ path: ['products'], value }] };
}
