/** Yield that weeds take: by the literature, and by a field’s own counts and yield map. */
import { yieldLossFraction } from '../../agronomy/yield-loss.ts';
import { formula, M2_PER_HA } from './notation.ts';

export const YIELD_LOSS_FORMULAS = {
  ownLossSlope: formula('ownLossSlope', {
    gives: 'what one plant per m² of the weed takes where weeds are few, by this field’s own counts and yield map',
    text: 'I of the Y₀, I and A with the least Σ (y − Y₀·(1 − I·D/(1 + I·D/A)))²',
    unit: '% per (plant/m2)',
    symbols: { I: { means: 'fitted slope', unit: '% per (plant/m2)' } },
    source:
      'Cousens 1985, Ann. Appl. Biol. 107; methods-spatial §14 (reference cases curve-fitting: NIST, R nls, scipy profiles)',
    compute: ({ I }) => I!,
  }),
  ownLossCeiling: formula('ownLossCeiling', {
    gives:
      'the largest share of the yield that weeds take however many there are, by this field’s own counts and yield map',
    text: 'A of the Y₀, I and A with the least Σ (y − Y₀·(1 − I·D/(1 + I·D/A)))²',
    unit: 'fraction',
    symbols: {
      A: { means: 'fitted asymptote, or the literature’s where the records do not show it', unit: 'fraction' },
    },
    source:
      'Cousens 1985, Ann. Appl. Biol. 107; methods-spatial §14 (reference cases curve-fitting: NIST, R nls, scipy profiles)',
    compute: ({ A }) => A!,
  }),
  ownWeedFreeYield: formula('ownWeedFreeYield', {
    gives: 'yield where no weed stands, by this field’s own counts and yield map',
    text: 'Y₀ of the Y₀, I and A with the least Σ (y − Y₀·(1 − I·D/(1 + I·D/A)))²',
    unit: 'kg/ha',
    symbols: { Y: { means: 'fitted yield at density 0', unit: 'kg/ha' } },
    source:
      'Cousens 1985, Ann. Appl. Biol. 107; methods-spatial §14 (reference cases curve-fitting: NIST, R nls, scipy profiles)',
    compute: ({ Y }) => Y!,
  }),
  ownLoss: formula('ownLoss', {
    gives: 'share of the yield lost at the usual density of weedy places, by this field’s own counts and yield map',
    text: 'I·D / (1 + I·D/(100·A)) / 100',
    unit: 'fraction',
    symbols: {
      I: { means: 'slope', unit: '% per (plant/m2)' },
      A: { means: 'asymptote', unit: 'fraction' },
      D: { means: 'median density of the places where weeds stood', unit: 'per m2' },
    },
    source: 'cousens1985',
    compute: ({ I, A, D }) => yieldLossFraction(I! * D!, 100 * A!),
  }),
  yieldLossFraction: formula('yieldLossFraction', {
    gives: 'share of the weed-free yield lost this season, all weeds together',
    text: 'mean over the field of Σ I′D / (1 + Σ I′D / A∞), I′ = I·exp(−C·T)',
    unit: 'fraction',
    symbols: { L: { means: 'area-weighted mean over the pieces of the field', unit: 'fraction' } },
    source: 'cousens1987',
    compute: ({ L }) => L!,
  }),
  yieldLossKg: formula('yieldLossKg', {
    gives: 'yield lost this season',
    text: 'L · Y · A / 10 000',
    unit: 'kg',
    symbols: {
      L: { means: 'mean over the field of I′D/(1 + I′D/A∞), I′ = I·exp(−C·T)', unit: 'fraction' },
      Y: { means: 'weed-free yield', unit: 'kg/ha' },
      A: { means: 'area', unit: 'm2' },
    },
    source: 'cousens1987',
    compute: ({ L, Y, A }) => (L! * Y! * A!) / M2_PER_HA,
  }),
  yieldLossMoney: formula('yieldLossMoney', {
    gives: 'yield lost this season, in money',
    text: 'm · price',
    unit: 'money',
    symbols: { m: { means: 'yield lost', unit: 'kg' }, price: { means: 'price of the crop', unit: 'money/kg' } },
    source: 'arithmetic',
    compute: ({ m, price }) => m! * price!,
  }),
} as const;
