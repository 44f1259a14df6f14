/**
 * Products as a person types them from a label, and programs to choose from. Labels, rates, prices and ratings are invented and
 * said to be: this is what the sample's people typed, never what the tool proposes.
 */

type Rating = 'excellent' | 'good' | 'fair' | 'poor' | 'none';
type Control = { early: Rating; 'with the crop': Rating; late: Rating };

function product(
  letter: string,
  ingredient: string,
  group: string,
  gPerUnit: number,
  label: {
    full: number;
    low: number;
    high: number;
    seasonMax: number;
    bufferM: number;
    maxWeedHeightMm?: number;
    preHarvestDays: number;
  },
  costPerUnit: number,
) {
  return {
    id: `product-${letter.toLowerCase()}`,
    name: `Product ${letter} (invented)`,
    parts: [{ ingredient, group, gPerUnit }],
    form: 'liquid' as const,
    unit: 'L/ha',
    label: { reentryHours: 24, carrierLHaMin: 140, ...label },
    costPerUnit,
  };
}

const before = { preHarvestDays: 90 };

export const PRODUCTS = [
  product(
    'A',
    'S-metolachlor',
    '15',
    915,
    { full: 1.6, low: 1.1, high: 1.9, seasonMax: 3.2, bufferM: 10, ...before },
    17,
  ),
  product('B', 'metribuzin', '5', 480, { full: 1, low: 0.6, high: 1.2, seasonMax: 1.2, bufferM: 10, ...before }, 22),
  product(
    'C',
    'fomesafen',
    '14',
    240,
    { full: 1.5, low: 1, high: 1.6, seasonMax: 1.6, bufferM: 15, maxWeedHeightMm: 100, preHarvestDays: 45 },
    19,
  ),
  product(
    'D',
    'pyroxasulfone',
    '15',
    500,
    { full: 0.24, low: 0.16, high: 0.3, seasonMax: 0.42, bufferM: 10, ...before },
    150,
  ),
  product(
    'E',
    'mesotrione',
    '27',
    480,
    { full: 0.3, low: 0.2, high: 0.35, seasonMax: 0.5, bufferM: 10, maxWeedHeightMm: 100, preHarvestDays: 60 },
    70,
  ),
  product('F', 'atrazine', '5', 480, { full: 2.3, low: 1.2, high: 2.6, seasonMax: 2.8, bufferM: 20, ...before }, 6),
  product(
    'G',
    'glyphosate',
    '9',
    540,
    { full: 1.8, low: 1.2, high: 2.3, seasonMax: 5, bufferM: 5, maxWeedHeightMm: 150, preHarvestDays: 14 },
    7,
  ),
  product(
    'H',
    'glufosinate',
    '10',
    280,
    { full: 2.3, low: 2, high: 3, seasonMax: 5, bufferM: 10, maxWeedHeightMm: 76, preHarvestDays: 60 },
    13,
  ),
  product('I', 'acetochlor', '15', 840, { full: 2.4, low: 1.6, high: 2.8, seasonMax: 3.4, bufferM: 15, ...before }, 11),
];

const parts = (text: string) =>
  text.split(', ').map((one) => {
    const [ingredient, share] = one.split(' @ ');
    return { ingredient: ingredient!, rateFraction: Number(share) };
  });

const control = (early: Rating, withTheCrop: Rating, late: Rating): Control => ({
  early,
  'with the crop': withTheCrop,
  late,
});

/** A grass that nothing here has failed on: its ratings are its own. */
const foxtail = (means: string, sprayed: string): Control =>
  means === 'hand removal'
    ? control('excellent', 'excellent', 'excellent')
    : means === 'residual'
      ? control('excellent', 'good', 'good')
      : /glyphosate|glufosinate/.test(sprayed)
        ? control('none', 'excellent', 'excellent')
        : control('none', 'none', 'none');

type Means = 'residual' | 'post' | 'hand removal' | 'impact mill';
type Timing = 'pre-emergence' | 'early post-emergence' | 'post-emergence' | 'late post-emergence' | 'harvest';

const pass = (
  id: string,
  timing: Timing,
  means: Means,
  sprayed: string,
  daysFromPlanting: number,
  kills: Control,
  costPerHa: number,
  crops: string[],
  where: 'field' | 'zones' = 'field',
) => ({
  id,
  timing,
  means,
  parts: sprayed === '' ? [] : parts(sprayed),
  daysFromPlanting,
  control: kills,
  controlOf: { 'giant-foxtail': foxtail(means, sprayed) },
  costPerHa,
  where,
  crops,
});

const [SOY, CORN] = [['soybean'], ['corn']];

const fullRate = [
  pass(
    'pre-soybean',
    'pre-emergence',
    'residual',
    'S-metolachlor @ 1, metribuzin @ 1',
    0,
    control('excellent', 'good', 'fair'),
    82,
    SOY,
  ),
  pass(
    'pre-corn',
    'pre-emergence',
    'residual',
    'acetochlor @ 1, atrazine @ 0.8, mesotrione @ 0.6',
    0,
    control('excellent', 'good', 'fair'),
    84,
    CORN,
  ),
];

const post = [
  pass(
    'post-soybean',
    'post-emergence',
    'post',
    'glufosinate @ 1, fomesafen @ 1',
    30,
    control('none', 'good', 'fair'),
    52,
    SOY,
  ),
  pass(
    'post-corn',
    'post-emergence',
    'post',
    'mesotrione @ 1, glufosinate @ 1, atrazine @ 0.4',
    30,
    control('none', 'good', 'fair'),
    50,
    CORN,
  ),
];

const overlap = [
  pass(
    'overlap-soybean',
    'early post-emergence',
    'residual',
    'pyroxasulfone @ 0.67',
    21,
    control('none', 'good', 'good'),
    33,
    SOY,
  ),
  pass(
    'overlap-corn',
    'early post-emergence',
    'residual',
    'S-metolachlor @ 0.67',
    21,
    control('none', 'good', 'good'),
    30,
    CORN,
  ),
];

export const PROGRAMS = [
  {
    id: 'as-now',
    name: 'As now',
    passes: [
      pass(
        'now-pre-soybean',
        'pre-emergence',
        'residual',
        'S-metolachlor @ 0.5, metribuzin @ 0.5',
        0,
        control('good', 'fair', 'poor'),
        52,
        SOY,
      ),
      pass(
        'now-post-soybean',
        'post-emergence',
        'post',
        'glyphosate @ 1, fomesafen @ 0.75',
        35,
        control('none', 'fair', 'poor'),
        43,
        SOY,
      ),
      pass(
        'now-pre-corn',
        'pre-emergence',
        'residual',
        'acetochlor @ 0.6, atrazine @ 0.5',
        0,
        control('good', 'fair', 'poor'),
        50,
        CORN,
      ),
      pass(
        'now-post-corn',
        'post-emergence',
        'post',
        'mesotrione @ 0.75, glyphosate @ 1',
        35,
        control('none', 'good', 'fair'),
        45,
        CORN,
      ),
    ],
  },
  {
    id: 'residual-then-post',
    name: 'Residual, then post while the weed is small',
    passes: [
      pass(
        'pre-soybean',
        'pre-emergence',
        'residual',
        'S-metolachlor @ 0.75, metribuzin @ 0.75',
        0,
        control('good', 'good', 'poor'),
        68,
        SOY,
      ),
      pass(
        'pre-corn',
        'pre-emergence',
        'residual',
        'acetochlor @ 0.8, atrazine @ 0.6',
        0,
        control('good', 'good', 'poor'),
        66,
        CORN,
      ),
      ...post,
    ],
  },
  { id: 'full-rate-residual-then-post', name: 'Full-rate residual, then post', passes: [...fullRate, ...post] },
  { id: 'overlapping-residuals', name: 'Overlapping residuals, then post', passes: [...fullRate, ...overlap, ...post] },
  {
    id: 'zero-seed-patches',
    name: 'Zero seed: overlapping residuals, patches pulled, impact mill',
    passes: [
      ...fullRate,
      ...overlap,
      ...post,
      pass(
        'pull-patches',
        'late post-emergence',
        'hand removal',
        '',
        75,
        control('excellent', 'excellent', 'excellent'),
        60,
        [],
        'zones',
      ),
      pass('mill', 'harvest', 'impact mill', '', 140, control('none', 'none', 'none'), 22, []),
    ],
  },
];

/** Sites of action by group on the two pigweeds here: invented, as a resistance test might have told. */
export const POPULATION = {
  AMATU: { '2': 'fails', '5': 'doubtful', '9': 'fails', '14': 'doubtful', '27': 'works', '15': 'works', '10': 'works' },
  AMAPA: { '2': 'fails', '9': 'fails', '14': 'doubtful', '27': 'doubtful', '15': 'works', '10': 'works', '5': 'works' },
  SETFA: { '9': 'works', '15': 'works', '27': 'works', '10': 'works' },
} as const;
