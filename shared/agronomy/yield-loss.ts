/**
 * Yield lost to weeds: the rectangular hyperbola of density, with the weed's time of emergence and several species.
 *
 * The published symbols are in per cent: I, loss per (plant/m²) as density → 0; A, loss as density → ∞. Per cent becomes
 * a share here and nowhere else.
 * @source cousens1985 (yieldLoss), cousens1987 (yieldLossTime); manySpecies is common practice, no source.
 */
const PERCENT = 0.01;

/**
 * I′, the loss per plant of weeds that emerge `delayDays` after the crop: I·exp(−C·T).
 * @param delayDays T; days; negative where the weed emerged before the crop
 * @param C per day
 * @returns per cent per (plant/m²)
 * @source cousens1987
 */
export function lossPerPlantPercent(I: number, C: number, delayDays: number): number {
  return I * Math.exp(-C * delayDays);
}

/**
 * Share of the weed-free yield that is lost, from the load Σ I′·D of all species present.
 * @param loadPercent Σ I′·D; per cent; ≥ 0
 * @param A asymptote; per cent; > 0; with several species the largest of those present
 * @returns fraction; 0 – A/100
 */
export function yieldLossFraction(loadPercent: number, A: number): number {
  return loadPercent === Infinity ? A * PERCENT : (loadPercent / (1 + loadPercent / A)) * PERCENT;
}

/** Density at which half of A is lost: A/I, plants/m². @source cousens1985 */
export function halfEffectDensityPerM2(I: number, A: number): number {
  return A / I;
}

/** Plants of one species (or cohort) that compete with the crop. */
export interface Competitor {
  readonly densityPerM2: number;
  readonly I: number;
  readonly A: number;
  readonly C: number;
  readonly delayDays: number;
}

/** Share of yield lost to several species or cohorts together: loads add, the largest asymptote present caps. */
export function yieldLossOfMany(competitors: readonly Competitor[]): number {
  let load = 0;
  let cap = 0;
  for (const { densityPerM2, I, A, C, delayDays } of competitors) {
    if (densityPerM2 === 0) continue;
    load += lossPerPlantPercent(I, C, delayDays) * densityPerM2;
    if (A > cap) cap = A;
  }
  return load === 0 ? 0 : yieldLossFraction(load, cap);
}

/**
 * The same over the cells of a grid. A cell where any density is NaN (unknown) stays NaN.
 * @param densitiesPerM2 one array a species, all of one length
 * @param lossPerPlant I′ a species, per cent per (plant/m²)
 * @param asymptotes A a species, per cent
 * @param out fractions, written
 * @cost O(cells × species)
 */
export function yieldLossFractions(
  densitiesPerM2: readonly Float64Array[],
  lossPerPlant: readonly number[],
  asymptotes: readonly number[],
  out: Float64Array,
): Float64Array {
  const species = densitiesPerM2.length;
  if (lossPerPlant.length !== species || asymptotes.length !== species)
    throw new Error(`yieldLossFractions: ${species} densities, ${lossPerPlant.length} I, ${asymptotes.length} A`);
  for (const one of densitiesPerM2)
    if (one.length !== out.length) throw new Error('yieldLossFractions: arrays differ in length');
  for (let cell = 0; cell < out.length; cell++) {
    let load = 0;
    let cap = 0;
    for (let s = 0; s < species; s++) {
      const density = densitiesPerM2[s]![cell]!;
      if (density === 0) continue;
      load += lossPerPlant[s]! * density;
      const A = asymptotes[s]!;
      if (A > cap) cap = A;
    }
    out[cell] = load === 0 ? 0 : (load / (1 + load / cap)) * PERCENT;
  }
  return out;
}
