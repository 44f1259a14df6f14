/** What a harvest log gives, and what a clean-out on the way is worth. */
import { formula } from './notation.ts';

export const HARVEST_FORMULAS = {
  newlyCutArea: formula('newlyCutArea', {
    gives: 'ground newly cut inside the field',
    text: 'Σ over records of swath × share of it that nobody had cut before',
    unit: 'm2',
    symbols: { A: { means: 'sum over the path', unit: 'm2' } },
    source: 'methods-season §2.3 (reference cases harvest-path)',
    compute: ({ A }) => A!,
  }),
  grainMass: formula('grainMass', {
    gives: 'grain at standard moisture',
    text: 'Σ flow · Δt · (1 − m) / (1 − m_s)',
    unit: 'kg',
    symbols: { M: { means: 'sum over the log', unit: 'kg' } },
    source: 'methods-season §1.3 (reference cases harvest-path)',
    compute: ({ M }) => M!,
  }),
  meanYield: formula('meanYield', {
    gives: 'mean yield at standard moisture: sum of mass over sum of newly cut ground, never the mean of the records',
    text: 'Σ mass / Σ newly cut area',
    unit: 'kg/ha',
    symbols: { y: { means: 'ratio of the sums, over the ground that was weighed', unit: 'kg/ha' } },
    source: 'methods-season §1.3 (reference cases harvest-path)',
    compute: ({ y }) => y!,
  }),
  flowDelay: formula('flowDelay', {
    gives: 'time from cutting to the grain sensor',
    text: 'argmax over δ of the correlation of neighboring opposite passes',
    unit: 's',
    symbols: { δ: { means: 'delay', unit: 's' } },
    source: 'methods-season §1.2 (reference cases harvest-path)',
    compute: ({ δ }) => δ!,
  }),
  stopSeeds: formula('stopSeeds', {
    gives: 'seed that a clean-out keeps from falling in this field and those after it on the list',
    text: 'N_without − N_with; in each field (1 − a) L falls and a L + b rides on, a clean-out takes the share c of L',
    unit: 'seeds',
    symbols: {
      N_without: { means: 'falls in them without it, all weeds', unit: 'seeds' },
      N_with: { means: 'falls in them after it', unit: 'seeds' },
    },
    source: 'methods-season §9 (reference cases harvest-order)',
    compute: ({ N_without, N_with }) => Math.max(0, N_without! - N_with!),
  }),
  stopMoney: formula('stopMoney', {
    gives: 'yield that a clean-out saves this field and those after it on the list, over the planning horizon',
    text: 'M_without − M_with; M = Σ over fields and weeds of the yield that the seed that rides in costs over the horizon, on the bank that lies there',
    unit: 'money',
    symbols: {
      M_without: { means: 'cost of the seed that stays in them without it', unit: 'money' },
      M_with: { means: 'cost of what stays after it', unit: 'money' },
    },
    source:
      'methods-season §9; v is the mean cost of a seed when as much rides in as the worst other field leaves aboard',
    compute: ({ M_without, M_with }) => Math.max(0, M_without! - M_with!),
  }),
  breakEven: formula('breakEven', {
    gives: 'time that a clean-out may take and still pay',
    text: '60 · M / k',
    unit: 'min',
    symbols: {
      M: { means: 'yield that it saves', unit: 'money' },
      k: { means: 'cost of an hour of harvest, as typed', unit: 'money' },
    },
    source: 'methods-season §9',
    compute: ({ M, k }) => (60 * M!) / k!,
  }),
} as const;
