/** Every formula behind a shown number of the study. */
import { presentValue } from '../agronomy/economics.ts';
import { yieldLossFraction } from '../agronomy/yield-loss.ts';
import type { Formula } from './formula.ts';

const HECTARE_M2 = 10_000;

const formula = <Id extends string>(id: Id, one: Omit<Formula, 'id'>): Formula & { id: Id } => ({ id, ...one });

const sumOf = (inputs: Readonly<Record<string, number>>, start: string): number =>
  Object.entries(inputs).reduce((sum, [symbol, value]) => (symbol.startsWith(start) ? sum + value : sum), 0);

export const FORMULAS = {
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
    compute: ({ L, Y, A }) => (L! * Y! * A!) / HECTARE_M2,
  }),
  yieldLossMoney: formula('yieldLossMoney', {
    gives: 'yield lost this season, in money',
    text: 'm · price',
    unit: 'money',
    symbols: { m: { means: 'yield lost', unit: 'kg' }, price: { means: 'price of the crop', unit: 'money/kg' } },
    source: 'arithmetic',
    compute: ({ m, price }) => m! * price!,
  }),
  seedsProduced: formula('seedsProduced', {
    gives: 'seed that the surviving plants made',
    text: 'Σ over cells of a · s·ω·D / (1 + s·ω·D/S_max)',
    unit: 'seeds',
    symbols: { N_t: { means: 'seed of one species', unit: 'seeds' } },
    source: 'wiles2004',
    compute: (inputs) => sumOf(inputs, 'N_'),
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
  carried: formula('carried', {
    gives: 'seed aboard the machine at the field’s gate',
    text: 'N',
    unit: 'seeds',
    symbols: { N: { means: 'held in the machine once the separator has run empty', unit: 'seeds' } },
    source: 'methods-season §4.2 (reference cases seed-movement)',
    compute: ({ N }) => N!,
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
    compute: ({ x, A }) => x! / (A! / HECTARE_M2),
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
  yieldLossFraction: formula('yieldLossFraction', {
    gives: 'share of the weed-free yield lost this season, all weeds together',
    text: 'mean over the field of Σ I′D / (1 + Σ I′D / A∞), I′ = I·exp(−C·T)',
    unit: 'fraction',
    symbols: { L: { means: 'area-weighted mean over the pieces of the field', unit: 'fraction' } },
    source: 'cousens1987',
    compute: ({ L }) => L!,
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
  seedbank: formula('seedbank', {
    gives: 'viable seed in the top 5 cm in spring, mean over the field, all species',
    text: "B' = (B − gB)·s + u·(returned share)·P, P = s₁X/(1 + aX), year by year in classes of like ground; Σ over species",
    unit: 'per m2',
    symbols: { B_t: { means: 'mean bank of one species', unit: 'per m2' } },
    source: 'methods-season §5 (reference cases seedbank)',
    compute: (inputs) => sumOf(inputs, 'B_'),
  }),
  zoneArea: formula('zoneArea', {
    gives: 'area of the zone',
    text: 'shoelace area in the frame of the field',
    unit: 'm2',
    symbols: { A: { means: 'area', unit: 'm2' } },
    source: 'methods-spatial §11 (reference cases contour-zone, polygon-ops)',
    compute: ({ A }) => A!,
  }),
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
  uncovered: formula('uncovered', {
    gives: 'share of the season’s emergence that lived through the residuals',
    text: 'Σ ΔF·(1 − k)',
    unit: 'fraction',
    symbols: { E: { means: 'sum over the days of the season', unit: 'fraction' } },
    source: 'methods-season §6 (reference cases emergence-cover)',
    compute: ({ E }) => E!,
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
    compute: ({ L, Y, A }) => (L! * Y! * A!) / HECTARE_M2,
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
    compute: ({ k, A }) => (k! * A!) / HECTARE_M2,
  }),
  zonePerHectare: formula('zonePerHectare', {
    gives: 'the same for each hectare of the zone',
    text: 'x / (A / 10 000)',
    unit: 'money/ha',
    symbols: { x: { means: 'the zone’s number', unit: 'money' }, A: { means: 'area', unit: 'm2' } },
    source: 'arithmetic',
    compute: ({ x, A }) => x! / (A! / HECTARE_M2),
  }),
} as const;

export const formulaById: ReadonlyMap<string, Formula> = new Map(Object.values(FORMULAS).map((one) => [one.id, one]));
