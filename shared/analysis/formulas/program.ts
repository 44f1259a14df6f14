/** What is at stake, and what programs cost and gain. */
import { presentValue } from '../../agronomy/economics.ts';
import { formula, M2_PER_HA, sumOf } from './notation.ts';

export const PROGRAM_FORMULAS = {
  stake: formula('stake', {
    gives: 'cost of doing nothing new: present value of the yield lost over the horizon under current practice',
    text: 'Σ_t M_t / (1 + r)^t',
    unit: 'money',
    symbols: {
      M_t: { means: 'yield lost in year t, in money', unit: 'money' },
      r: { means: 'discount rate', unit: 'fraction' },
    },
    source: 'methods-season §7 (reference cases economics-priority)',
    compute: (inputs) => {
      const flows: number[] = [];
      for (let t = 0; inputs[`M_${t}`] !== undefined; t++) flows.push(inputs[`M_${t}`]!);
      return presentValue(flows, inputs['r']!);
    },
  }),
  perHectare: formula('perHectare', {
    gives: 'the same for each hectare of the field',
    text: 'x / (A / 10 000)',
    unit: 'money/ha',
    symbols: { x: { means: 'the field’s number', unit: 'money' }, A: { means: 'area', unit: 'm2' } },
    source: 'arithmetic',
    compute: ({ x, A }) => x! / (A! / M2_PER_HA),
  }),
  gain: formula('gain', {
    gives: 'stake avoided by the program, less what it costs beyond current practice',
    text: 'S_now − S_program − (K_program − K_now)',
    unit: 'money',
    symbols: {
      S_now: { means: 'present value of yield lost as now', unit: 'money' },
      S_program: { means: 'present value of yield lost under the program', unit: 'money' },
      K_program: { means: 'present value of the program’s cost', unit: 'money' },
      K_now: { means: 'present value of current practice’s cost', unit: 'money' },
    },
    source: 'methods-season §7 (reference cases economics-priority)',
    compute: ({ S_now, S_program, K_program, K_now }) => S_now! - S_program! - (K_program! - K_now!),
  }),
  programCost: formula('programCost', {
    gives: 'mean yearly cost of the program for each hectare of the field',
    text: 'mean over years of (Σ passes over the field + Σ passes over zones · A_zones/A)',
    unit: 'money/ha',
    symbols: { K: { means: 'mean yearly cost', unit: 'money/ha' } },
    source: 'costs as typed in the programs',
    compute: ({ K }) => K!,
  }),
  bestSetGain: formula('bestSetGain', {
    gives: 'gain of the best set of programs within the budget, over the horizon, central case',
    text: 'max Σ g·x with Σ c·x ≤ B, one program a field',
    unit: 'money',
    symbols: { G_t: { means: 'gain of the program chosen on a field', unit: 'money' } },
    source: 'methods-season §8 (reference cases budget-optimum)',
    compute: (inputs) => sumOf(inputs, 'G_'),
  }),
  bestSetCost: formula('bestSetCost', {
    gives: 'yearly cost of the best set beyond current practice, mean over the horizon, central case',
    text: 'Σ c·x',
    unit: 'money',
    symbols: { C_t: { means: 'yearly cost beyond current practice of the program chosen on a field', unit: 'money' } },
    source: 'methods-season §8 (reference cases budget-optimum)',
    compute: (inputs) => sumOf(inputs, 'C_'),
  }),
} as const;
