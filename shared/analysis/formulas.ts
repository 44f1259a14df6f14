/** Every formula behind a shown number of the study. */
import type { Formula } from './formula.ts';
import { HARVEST_FORMULAS } from './formulas/harvest.ts';
import { INFESTATION_FORMULAS } from './formulas/infestation.ts';
import { ORDER_FORMULAS } from './formulas/order.ts';
import { PROGRAM_FORMULAS } from './formulas/program.ts';
import { SEED_FORMULAS } from './formulas/seed.ts';
import { YIELD_LOSS_FORMULAS } from './formulas/yield-loss.ts';
import { ZONE_FORMULAS } from './formulas/zone.ts';

export const FORMULAS = {
  ...INFESTATION_FORMULAS,
  ...YIELD_LOSS_FORMULAS,
  ...HARVEST_FORMULAS,
  ...ORDER_FORMULAS,
  ...SEED_FORMULAS,
  ...PROGRAM_FORMULAS,
  ...ZONE_FORMULAS,
} as const;

export const formulaById: ReadonlyMap<string, Formula> = new Map(Object.values(FORMULAS).map((one) => [one.id, one]));
