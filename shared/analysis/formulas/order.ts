/** The order of harvest: what rides from field to field, where it falls, and what an order costs. */
import { formula, sumOf } from './notation.ts';

export const ORDER_FORMULAS = {
  seedsAboard: formula('seedsAboard', {
    gives: 'seed aboard the combine as it stands now, all weeds',
    text: 'L = Σ L_t over weeds; through each field cut, L ← a (1 − c) L + b',
    unit: 'seeds',
    symbols: { L_t: { means: 'of one weed', unit: 'seeds' } },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: (inputs) => sumOf(inputs, 'L_'),
  }),
  ownAboard: formula('ownAboard', {
    gives: 'seed that the field’s own weeds leave lodged in the combine, all weeds',
    text: 'b = Σ b_t over weeds',
    unit: 'seeds',
    symbols: { b_t: { means: 'of one weed, once the separator has run empty at the gate', unit: 'seeds' } },
    source: 'methods-season §4 (reference cases seed-movement)',
    compute: (inputs) => sumOf(inputs, 'b_'),
  }),
  ridesIn: formula('ridesIn', {
    gives: 'seed aboard the combine when it comes to the field, all weeds',
    text: 'L = a · (L_before − R_before) + b',
    unit: 'seeds',
    symbols: {
      L_before: { means: 'aboard when it came to the field before', unit: 'seeds' },
      R_before: { means: 'taken out by the clean-out before that field', unit: 'seeds' },
      a: { means: 'share of what came in that the field before leaves aboard', unit: 'fraction' },
      b: { means: 'left aboard by the own weeds of the field before', unit: 'seeds' },
    },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: ({ L_before, R_before, a, b }) => a! * (L_before! - R_before!) + b!,
  }),
  takenOut: formula('takenOut', {
    gives: 'seed that the clean-out before the field takes out, all weeds',
    text: 'R = c · L',
    unit: 'seeds',
    symbols: {
      c: { means: 'share that the clean-out takes out; none without one', unit: 'fraction' },
      L: { means: 'aboard when the combine comes to the field', unit: 'seeds' },
    },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: ({ c, L }) => c! * L!,
  }),
  fallsOnField: formula('fallsOnField', {
    gives: 'seed from elsewhere that falls on the field, all weeds',
    text: 'N = f · (L − R)',
    unit: 'seeds',
    symbols: {
      f: { means: 'share of what comes in aboard that the machine lays on the field', unit: 'fraction' },
      L: { means: 'aboard when the combine comes to the field', unit: 'seeds' },
      R: { means: 'taken out before the field', unit: 'seeds' },
    },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: ({ f, L, R }) => f! * (L! - R!),
  }),
  fallsElsewhere: formula('fallsElsewhere', {
    gives: 'seed that falls on other fields of the list than it grew on',
    text: 'N = Σ N_t over fields',
    unit: 'seeds',
    symbols: { N_t: { means: 'on one field', unit: 'seeds' } },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: (inputs) => sumOf(inputs, 'N_'),
  }),
  seedCosts: formula('seedCosts', {
    gives: 'yield that seed from other fields costs the fields of the list over the planning horizon',
    text: 'M = Σ M_t over fields',
    unit: 'money',
    symbols: {
      M_t: { means: 'on one field: what rides in, on the bank that lies there, under current practice', unit: 'money' },
    },
    source: 'methods-season §9 and §7 (step seed-worth)',
    compute: (inputs) => sumOf(inputs, 'M_'),
  }),
  orderCost: formula('orderCost', {
    gives: 'what the order costs by central biology, each seed at its mean: what orders are compared by',
    text: 'C = S + K + D',
    unit: 'money',
    symbols: {
      S: { means: 'seed that falls on other fields than it grew on', unit: 'money' },
      K: { means: 'clean-outs', unit: 'money' },
      D: { means: 'ways between fields', unit: 'money' },
    },
    source: 'methods-season §9; a seed costs the mean of as many as ride in when the cleanest field goes first',
    compute: ({ S, K, D }) => S! + K! + D!,
  }),
  orderBound: formula('orderBound', {
    gives: 'what no order of the same kind can cost less than',
    text: 'C ≥ B; gap = (C − B) / C',
    unit: 'money',
    symbols: { B: { means: 'the bound', unit: 'money' } },
    source:
      'methods-season §9, tightened by prices of leaving a field and of the seed that rides on; held to every order of small farms',
    compute: ({ B }) => B!,
  }),
} as const;
