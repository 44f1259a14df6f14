/** The same within one zone. */
import { formula, M2_PER_HA, sumOf } from './notation.ts';

export const ZONE_FORMULAS = {
  zoneArea: formula('zoneArea', {
    gives: 'area of the zone',
    text: 'shoelace area in the frame of the field',
    unit: 'm2',
    symbols: { A: { means: 'area', unit: 'm2' } },
    source: 'methods-spatial §11 (reference cases contour-zone, polygon-ops)',
    compute: ({ A }) => A!,
  }),
  zoneGround: formula('zoneGround', {
    gives: 'area of the zone on the WGS 84 ellipsoid',
    text: 'A',
    unit: 'm2',
    symbols: { A: { means: 'geodesic area of the outline, holes out', unit: 'm2' } },
    source: 'Karney 2013, Algorithms for geodesics (reference cases geodesic-area)',
    compute: ({ A }) => A!,
  }),
  zonePlants: formula('zonePlants', {
    gives: 'plants of a species in the zone',
    text: 'Σ over the zone’s cells of D·a',
    unit: 'plants',
    symbols: {
      N: { means: 'density times area, summed; a cell counts whole where its center is inside', unit: 'plants' },
    },
    source: 'methods-spatial §4: the surface, or what stands behind a rating or a drawn patch',
    compute: ({ N }) => N!,
  }),
  zoneSeeds: formula('zoneSeeds', {
    gives: 'seed that came to the ground of the zone this season: shed before harvest, at the cutter bar, by machine',
    text: 'Σ over the zone’s cells; Σ over species of N',
    unit: 'seeds',
    symbols: { N_t: { means: 'seed of one species', unit: 'seeds' } },
    source: 'methods-season §4 (reference cases seed-movement)',
    compute: (inputs) => sumOf(inputs, 'N_'),
  }),
  zoneBank: formula('zoneBank', {
    gives: 'viable seed in the top 5 cm of the zone in the coming spring',
    text: 'Σ over the zone’s cells of B·a; Σ over species of N',
    unit: 'seeds',
    symbols: { N_t: { means: 'seed of one species', unit: 'seeds' } },
    source: 'methods-season §5 (reference cases seedbank)',
    compute: (inputs) => sumOf(inputs, 'N_'),
  }),
  zoneBankPerM2: formula('zoneBankPerM2', {
    gives: 'viable seed in the top 5 cm in the coming spring, mean over the zone',
    text: 'N / A',
    unit: 'per m2',
    symbols: {
      N: { means: 'viable seed of the zone', unit: 'seeds' },
      A: { means: 'area of the zone’s cells', unit: 'm2' },
    },
    source: 'arithmetic',
    compute: ({ N, A }) => N! / A!,
  }),
  zoneLossKg: formula('zoneLossKg', {
    gives: 'yield lost in the zone this season',
    text: 'L · Y · A / 10 000',
    unit: 'kg',
    symbols: {
      L: { means: 'mean over the zone’s cells of I′D/(1 + I′D/A∞), I′ = I·exp(−C·T)', unit: 'fraction' },
      Y: { means: 'weed-free yield', unit: 'kg/ha' },
      A: { means: 'area of the zone’s cells, scaled to the field’s', unit: 'm2' },
    },
    source: 'cousens1987',
    compute: ({ L, Y, A }) => (L! * Y! * A!) / M2_PER_HA,
  }),
  zoneCost: formula('zoneCost', {
    gives: 'cost of the program in the zone, mean of the years ahead',
    text: 'k · A / 10 000',
    unit: 'money',
    symbols: {
      k: { means: 'mean yearly cost of the passes that go there', unit: 'money/ha' },
      A: { means: 'area', unit: 'm2' },
    },
    source: 'costs as typed in the programs',
    compute: ({ k, A }) => (k! * A!) / M2_PER_HA,
  }),
  zonePerHectare: formula('zonePerHectare', {
    gives: 'the same for each hectare of the zone',
    text: 'x / (A / 10 000)',
    unit: 'money/ha',
    symbols: { x: { means: 'the zone’s number', unit: 'money' }, A: { means: 'area', unit: 'm2' } },
    source: 'arithmetic',
    compute: ({ x, A }) => x! / (A! / M2_PER_HA),
  }),
} as const;
