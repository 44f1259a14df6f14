/** Seed: made, moved, landed, and what lies in the ground in spring. */
import { formula, sumOf } from './notation.ts';

export const SEED_FORMULAS = {
  uncovered: formula('uncovered', {
    gives: 'share of the season’s emergence that lived through the residuals',
    text: 'Σ ΔF·(1 − k)',
    unit: 'fraction',
    symbols: { E: { means: 'sum over the days of the season', unit: 'fraction' } },
    source: 'methods-season §6 (reference cases emergence-cover)',
    compute: ({ E }) => E!,
  }),
  seedsProduced: formula('seedsProduced', {
    gives: 'seed that the surviving plants made',
    text: 'Σ over cells of a · s·ω·D / (1 + s·ω·D/S_max)',
    unit: 'seeds',
    symbols: { N_t: { means: 'seed of one species', unit: 'seeds' } },
    source: 'wiles2004',
    compute: (inputs) => sumOf(inputs, 'N_'),
  }),
  seedShare: formula('seedShare', {
    gives: 'share of the farm’s seed of this season that came from the fewest fields that together hold most of it',
    text: 'Σ T / (Σ T + Σ O)',
    unit: 'fraction',
    symbols: {
      T_t: { means: 'seed produced on one of those fields', unit: 'seeds' },
      O_t: { means: 'seed produced on another field that was looked at', unit: 'seeds' },
    },
    source: 'wiles2004',
    compute(inputs) {
      const most = sumOf(inputs, 'T_');
      const all = most + sumOf(inputs, 'O_');
      return all === 0 ? 0 : most / all;
    },
  }),
  ledgerLine: formula('ledgerLine', {
    gives:
      'a line of the seed ledger: produced + carried in = shed before + left standing + header loss + landed by machine + landed outside + grain tank + destroyed + left in machine',
    text: 'Σ over species of N',
    unit: 'seeds',
    symbols: { N_t: { means: 'the line for one species', unit: 'seeds' } },
    source: 'methods-season §4.3, closed to 1e-12 in every run (reference cases seed-movement)',
    compute: (inputs) => sumOf(inputs, 'N_'),
  }),
  carried: formula('carried', {
    gives: 'seed aboard the machine at the field’s gate',
    text: 'N',
    unit: 'seeds',
    symbols: { N: { means: 'held in the machine once the separator has run empty', unit: 'seeds' } },
    source: 'methods-season §4.2 (reference cases seed-movement)',
    compute: ({ N }) => N!,
  }),
  seedsLanded: formula('seedsLanded', {
    gives: 'seed that came to the ground of the field at harvest',
    text: 'N_header + N_machine',
    unit: 'seeds',
    symbols: {
      N_header: { means: 'fell at the cutter bar', unit: 'seeds' },
      N_machine: { means: 'laid down by the machine within the field', unit: 'seeds' },
    },
    source: 'methods-season §4 (reference cases seed-movement)',
    compute: ({ N_header, N_machine }) => N_header! + N_machine!,
  }),
  seedbank: formula('seedbank', {
    gives: 'viable seed in the top 5 cm in spring, mean over the field, all species',
    text: "B' = (B − gB)·s + u·(returned share)·P, P = s₁X/(1 + aX), year by year in classes of like ground; Σ over species",
    unit: 'per m2',
    symbols: { B_t: { means: 'mean bank of one species', unit: 'per m2' } },
    source: 'methods-season §5 (reference cases seedbank)',
    compute: (inputs) => sumOf(inputs, 'B_'),
  }),
} as const;
