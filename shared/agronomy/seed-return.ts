/**
 * Seed made by the weeds that live to maturity, and how much of it still hangs on the plant when the combine comes.
 * Seeds per plant are per *average* plant of both sexes: the female half is in the number and is not taken twice.
 */

/**
 * Seed produced, saturating with density: S = s·D/(1 + s·D/Smax).
 * @param plantsPerM2 D; plants alive at maturity, late ones weighed by their relative fecundity; ≥ 0
 * @param perPlant s; seeds per average plant at low density
 * @param maxPerAreaM2 Smax; seeds/m² at full crowding; > 0
 * @returns seeds/m²; 0 – Smax
 * @source wiles2004 (seedPerArea)
 */
export function seedsPerM2(plantsPerM2: number, perPlant: number, maxPerAreaM2: number): number {
  const free = perPlant * plantsPerM2;
  return free === Infinity ? maxPerAreaM2 : free / (1 + free / maxPerAreaM2);
}

/**
 * ω, seed of a late plant relative to one that emerged with the crop: exp(−Cs·T). Plants that came before the crop count
 * as with it: Cs was fitted to later plants only.
 * @param delayDays T; days after the crop (the first cohort)
 * @returns 0–1
 * @source hartzler2004 (seedLate; fitted form derived)
 */
export function lateSeedFactor(delayDays: number, Cs: number): number {
  return Math.exp(-Cs * Math.max(0, delayDays));
}

/**
 * σ, share of seedlings that live to maturity without any control: 1/(1 + exp(k(T − T50))); earlier than the crop as with it.
 * @param delayDays days after the first cohort
 * @source hartzler2004 (survivalLate; fitted form derived)
 */
export function survivalToMaturity(delayDays: number, k: number, T50: number): number {
  return 1 / (1 + Math.exp(k * (Math.max(0, delayDays) - T50)));
}

/**
 * Share of the seed produced that is still on the plant: R0·exp(−k·t); before maturity R0.
 * @param daysAfterMaturity t; days from crop maturity to harvest
 * @source schwartzlazaro2017 (retention; form derived)
 */
export function retentionFraction(daysAfterMaturity: number, R0: number, k: number): number {
  return R0 * Math.exp(-k * Math.max(0, daysAfterMaturity));
}

/**
 * Retention by day numbers; where the maturity or the harvest day is not known, `undatedFraction`
 * (parameter seedRetention.undatedFraction, 0.5–1.0 by case), and says which it was.
 */
export function retentionOnHarvest(
  matureDay: number | null,
  harvestDay: number | null,
  { R0, k, undatedFraction }: { R0: number; k: number; undatedFraction: number },
): { fraction: number; basis: 'harvest date' | 'no date' } {
  return matureDay === null || harvestDay === null
    ? { fraction: undatedFraction, basis: 'no date' }
    : { fraction: retentionFraction(harvestDay - matureDay, R0, k), basis: 'harvest date' };
}

/** Seed of one field and species, seeds/m² per cell: produced = shed before harvest + standing at harvest. */
export interface SeedReturn {
  readonly producedPerM2: Float64Array;
  readonly shedBeforePerM2: Float64Array;
  readonly standingPerM2: Float64Array;
}

/**
 * Seed produced, shed before harvest and standing at harvest over the cells of a grid; NaN (unknown) stays NaN.
 * @param plantsPerM2 effective plants at maturity, one a cell
 * @param retention share of the seed still on the plant at harvest; 0–1
 * @param out three arrays of the same length, written; made where missing
 * @cost O(cells)
 */
export function seedReturn(
  plantsPerM2: Float64Array,
  { perPlant, maxPerAreaM2, retention }: { perPlant: number; maxPerAreaM2: number; retention: number },
  out?: SeedReturn,
): SeedReturn {
  if (!(retention >= 0 && retention <= 1)) throw new Error(`seedReturn: expected retention 0–1, got ${retention}`);
  const cells = plantsPerM2.length;
  const given = out ?? {
    producedPerM2: new Float64Array(cells),
    shedBeforePerM2: new Float64Array(cells),
    standingPerM2: new Float64Array(cells),
  };
  const { producedPerM2, shedBeforePerM2, standingPerM2 } = given;
  for (let cell = 0; cell < cells; cell++) {
    const free = perPlant * plantsPerM2[cell]!;
    const produced = free / (1 + free / maxPerAreaM2);
    const standing = produced * retention;
    producedPerM2[cell] = produced;
    standingPerM2[cell] = standing;
    // By difference, so that shed + standing is what was produced.
    shedBeforePerM2[cell] = produced - standing;
  }
  return given;
}

/**
 * Seeds of a female plant from its shoot mass: ln(n + 1) = a + b·ln(m + 0.005).
 * @param shootG above-ground dry mass, g
 * @source nguyen2022 (seedPerPlantMass)
 */
export function seedsFromShootMass(shootG: number, a: number, b: number): number {
  return Math.exp(a + b * Math.log(shootG + 0.005)) - 1;
}
