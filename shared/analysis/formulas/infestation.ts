/** What stands in a field: its area, the density of a weed, infested and unknown ground, and how alike places are. */
import { formula } from './notation.ts';

export const INFESTATION_FORMULAS = {
  fieldArea: formula('fieldArea', {
    gives: 'area of the field on the WGS 84 ellipsoid',
    text: 'A = A_boundary − A_excluded',
    unit: 'm2',
    symbols: {
      A_boundary: { means: 'geodesic area of the boundary, holes out', unit: 'm2' },
      A_excluded: { means: 'geodesic area of exclusions and their buffers within it', unit: 'm2' },
    },
    source: 'Karney 2013, Algorithms for geodesics (reference cases geodesic-area)',
    compute: ({ A_boundary, A_excluded }) => A_boundary! - A_excluded!,
  }),
  meanDensity: formula('meanDensity', {
    gives: 'mean density of a species over the field',
    text: 'D = Σc / Σe',
    unit: 'per m2',
    symbols: {
      D: { means: 'mean density, as the evidence gives it', unit: 'per m2' },
    },
    source:
      'ratio of sums with its interval (reference cases statistics); on a rating the assumed numbers of the ladder',
    compute: ({ D }) => D!,
  }),
  infestedArea: formula('infestedArea', {
    gives: 'area above the threshold density',
    text: 'A_inf = max over species, cell by cell, of Σ a·P(density ≥ threshold)',
    unit: 'm2',
    symbols: { A_inf: { means: 'sum over known cells of area times probability', unit: 'm2' } },
    source: 'methods-spatial §4 and §8: Σ of probabilities, or the share of quadrats where there is no map of them',
    compute: ({ A_inf }) => A_inf!,
  }),
  infestedByCounts: formula('infestedByCounts', {
    gives: 'area above the threshold density',
    text: 'A_inf = Σ a·P(exp(η) ≥ threshold); counts ~ negative binomial(e·exp(η), k), η Gaussian of variance s, alike up to R',
    unit: 'm2',
    symbols: {
      A_inf: { means: 'sum over known cells of area times probability; low and high from joint draws', unit: 'm2' },
      A_80: { means: 'the same at the ends of the range that holds it four times in five', unit: 'm2' },
      A_kriged: { means: 'beside it: the same ground by kriging log(1 + plants/m²)', unit: 'm2' },
      R: { means: 'practical range: how far two places are alike', unit: 'm' },
      s: { means: 'variance of log density over the field', unit: '1' },
      k: { means: 'clumping of the counts within a quadrat: the smaller, the more they jump', unit: '1' },
    },
    source:
      'methods-spatial §7 and §8: latent count model with Pólya-gamma draws (Polson, Scott & Windle 2013), two chains; range widened for what patch shape may do',
    compute: ({ A_inf }) => A_inf!,
  }),
  unknownGround: formula('unknownGround', {
    gives: 'ground that nothing on record speaks for: unknown, not clean',
    text: 'A − A_known',
    unit: 'm2',
    symbols: {
      A: { means: 'area of the field', unit: 'm2' },
      A_known: {
        means:
          'known ground: cells of a map, or the whole field where counts speak for it as one (a clean round, counts without structure)',
        unit: 'm2',
      },
    },
    source: 'methods-spatial §9: ground too far from any count is unknown',
    compute: ({ A, A_known }) => A! - A_known!,
  }),
  practicalRange: formula('practicalRange', {
    gives: 'how far likeness reaches: where two quadrats differ nearly as much as two far apart',
    text: 'R = f · a',
    unit: 'm',
    symbols: {
      f: {
        means:
          '3 exponential, 1 spherical, 4.74 Matérn 3/2, √3 Gaussian: at R 95 % of the sill is reached (all, spherical)',
        unit: '',
      },
      a: {
        means:
          'range parameter of the curve that fits the variogram of log(1 + plants/m²) with the least Σ pairs/distance² · (γ̂ − γ)²',
        unit: 'm',
      },
    },
    source: 'methods-spatial §5 (reference cases variogram-kriging, by gstat)',
    compute: ({ f, a }) => f! * a!,
  }),
  groundMean: formula('groundMean', {
    gives: 'mean density of a species, each place weighed by the ground it stands for',
    text: 'D = Σ λ · (c/e), Σ λ = 1, λ by block kriging over the field',
    unit: 'per m2',
    symbols: { D: { means: 'weighted mean of the places, beside Σc/Σe', unit: 'per m2' } },
    source:
      'methods-spatial §5 (reference cases variogram-kriging, by gstat); as a cross-check: common practice, no source',
    compute: ({ D }) => D!,
  }),
  leftOutSameSide: formula('leftOutSameSide', {
    gives: 'stops that the other stops put on the right side of the threshold',
    text: 'N_above + N_below',
    unit: 'stops',
    symbols: {
      N_above: { means: 'counted and guessed at or above the threshold', unit: 'stops' },
      N_below: { means: 'counted and guessed below the threshold', unit: 'stops' },
    },
    source: 'Dubrule 1983 (memory; reference cases variogram-kriging, by gstat): leave-one-out kriging',
    compute: ({ N_above, N_below }) => N_above! + N_below!,
  }),
  leftOutFactor: formula('leftOutFactor', {
    gives: 'how many times too many or too few the guess from the other stops is, at a stop with plants',
    text: 'exp(S / m)',
    unit: 'times',
    symbols: {
      S: {
        means:
          'Σ |ln(counted density / guess)| over the stops with plants, a guess of less than half a plant in the quadrat read as that',
        unit: '',
      },
      m: { means: 'stops with plants', unit: 'stops' },
    },
    source: 'Dubrule 1983 (memory; reference cases variogram-kriging, by gstat): leave-one-out kriging',
    compute: ({ S, m }) => Math.exp(S! / m!),
  }),
  leftOutExplained: formula('leftOutExplained', {
    gives: 'share of the differences between stops that their neighbors explain',
    text: '1 − E_neighbors / E_mean',
    unit: 'fraction',
    symbols: {
      E_neighbors: { means: 'Σ of squared errors of log(1 + plants/m²), guessed from the other stops', unit: '' },
      E_mean: { means: 'the same, guessed by the mean of all other stops', unit: '' },
    },
    source: 'Dubrule 1983 (memory; reference cases variogram-kriging, by gstat): leave-one-out kriging',
    compute: ({ E_neighbors, E_mean }) => 1 - E_neighbors! / E_mean!,
  }),
} as const;
