/**
 * The seedbank from spring to spring, two layers: census before emergence, seeds/m². The shallow layer is the viable
 * seed of the top 5 cm, where nearly all emergence comes from.
 */

/** Columns add to 1: where the seed of the shallow (first column) and deep layer goes; no-till is the identity. */
export type Tillage = readonly [readonly [number, number], readonly [number, number]];
export const NO_TILL: Tillage = [
  [1, 0],
  [0, 1],
];

export interface SeedbankBiology {
  /** g: of the shallow bank, yearly. */
  readonly emergenceFraction: number;
  /** s₁, s₂: of the seed that did not germinate, yearly. */
  readonly survivalShallow: number;
  readonly survivalDeep: number;
  /** φ_f: seeds that germinate and die in the soil per seedling that emerges; 0 or more. */
  readonly fatalGerminationFraction: number;
  readonly tillage: Tillage;
  /** u: of landed seed, what is viable, escapes predators and gets into the soil, first winter included. */
  readonly enteringFraction: number;
}

/** Seedlings that emerge together and meet the same control. */
export interface CohortYear {
  /** Of the year's emergence; cohorts add to 1. */
  readonly share: number;
  readonly residualControl: number;
  readonly postControl: number;
  /** σ: of uncontrolled seedlings, to maturity. */
  readonly survival: number;
  /** ω: seed of one plant against one of the first cohort. */
  readonly relativeFecundity: number;
}

export interface SeedbankYear {
  readonly cohorts: readonly CohortYear[];
  /** φF: seeds per average plant, both sexes, where it stands alone. The female half is in it already. */
  readonly seedsPerPlant: number;
  /** a = φF / Smax, m² per effective plant. */
  readonly crowding: number;
  /** Of the seed produced, what comes back to the ground of the same place: shed before harvest and landed at harvest. */
  readonly returnedFraction: number;
  /** Landed seed from elsewhere, seeds/m². */
  readonly broughtInPerM2: number;
  /** Where this year's differs from the biology's. */
  readonly tillage?: Tillage;
}

export interface SeedbankYearEnd {
  readonly emergedPerM2: number;
  /** Alive at maturity. */
  readonly plantsPerM2: number;
  /** X: late plants count by their relative fecundity. */
  readonly effectivePlantsPerM2: number;
  readonly producedPerM2: number;
  /** Returned and brought in. */
  readonly landedPerM2: number;
  /** Next spring, [shallow, deep]. */
  readonly bank: readonly [number, number];
}

/**
 * One year: E = g B₁ · plants Σ E·share (1−k_res)(1−k_post) σ · P = φF X/(1 + a X) · landed = P·returned + brought in ·
 * B′ = T [(B₁ − E(1+φ_f)) s₁ + u·landed, B₂ s₂]ᵀ.
 * @param bank [shallow, deep] seeds/m² this spring; NaN (unknown) stays NaN
 * @throws where a share is none, cohorts or tillage columns do not add to 1, or more would germinate than there is
 * @source methods-season §5 (1–7); reference cases `seedbank`
 */
export function bankYear(
  bank: readonly [shallow: number, deep: number],
  biology: SeedbankBiology,
  year: SeedbankYear,
): SeedbankYearEnd {
  assertBiology(biology);
  assertYear(year);
  const { alive, effective } = plantsPerSeedling(year.cohorts);
  const emergedPerM2 = biology.emergenceFraction * bank[0];
  const effectivePlantsPerM2 = emergedPerM2 * effective;
  const producedPerM2 = (year.seedsPerPlant * effectivePlantsPerM2) / (1 + year.crowding * effectivePlantsPerM2);
  const landedPerM2 = producedPerM2 * year.returnedFraction + year.broughtInPerM2;
  const left = bank[0] - emergedPerM2 * (1 + biology.fatalGerminationFraction);
  const shallow = left * biology.survivalShallow + landedPerM2 * biology.enteringFraction;
  const deep = bank[1] * biology.survivalDeep;
  const [up, down] = year.tillage ?? biology.tillage;
  return {
    emergedPerM2,
    plantsPerM2: emergedPerM2 * alive,
    effectivePlantsPerM2,
    producedPerM2,
    landedPerM2,
    bank: [up[0] * shallow + up[1] * deep, down[0] * shallow + down[1] * deep],
  };
}

/** Share of the seed produced that comes back: shed before harvest + the returned share of what was retained. */
export function returnedSeedFraction(retentionFraction: number, returnedOfRetainedFraction: number): number {
  return 1 - retentionFraction + retentionFraction * returnedOfRetainedFraction;
}

/** Share of seedlings alive at maturity, and the same weighed by fecundity. */
export function plantsPerSeedling(cohorts: readonly CohortYear[]): { alive: number; effective: number } {
  let alive = 0;
  let effective = 0;
  for (const { share, residualControl, postControl, survival, relativeFecundity } of cohorts) {
    const here = share * (1 - residualControl) * (1 - postControl) * survival;
    alive += here;
    effective += here * relativeFecundity;
  }
  return { alive, effective };
}

/** @throws where the biology is impossible */
export function assertBiology(biology: SeedbankBiology): void {
  const { emergenceFraction, survivalShallow, survivalDeep, fatalGerminationFraction, enteringFraction } = biology;
  for (const [name, value] of Object.entries({ emergenceFraction, survivalShallow, survivalDeep, enteringFraction })) {
    if (!isShare(value)) throw new RangeError(`seedbank: ${name} is ${value}`);
  }
  if (!(fatalGerminationFraction >= 0 && emergenceFraction * (1 + fatalGerminationFraction) <= 1)) {
    throw new RangeError(`seedbank: more seed germinates than there is (φ_f ${fatalGerminationFraction})`);
  }
  assertTillage(biology.tillage);
}

/** @throws where the year is impossible */
export function assertYear(year: SeedbankYear): void {
  let shares = 0;
  for (const cohort of year.cohorts) {
    for (const [name, value] of Object.entries(cohort)) {
      if (!isShare(value)) throw new RangeError(`seedbank: a cohort's ${name} is ${value}`);
    }
    shares += cohort.share;
  }
  if (!(Math.abs(shares - 1) <= 1e-9)) throw new RangeError(`seedbank: cohort shares add to ${shares}, not to 1`);
  if (!isShare(year.returnedFraction))
    throw new RangeError(`seedbank: ${year.returnedFraction} of the seed comes back`);
  for (const name of ['seedsPerPlant', 'crowding', 'broughtInPerM2'] as const) {
    if (!(year[name] >= 0 && year[name] < Infinity)) throw new RangeError(`seedbank: ${name} is ${year[name]}`);
  }
  if (year.tillage) assertTillage(year.tillage);
}

function assertTillage([up, down]: Tillage): void {
  for (const layer of [0, 1] as const) {
    const sum = up[layer] + down[layer];
    if (!(Math.abs(sum - 1) <= 1e-9 && isShare(up[layer]) && isShare(down[layer]))) {
      throw new RangeError(`seedbank: tillage moves ${sum} of a layer's seed`);
    }
  }
}

function isShare(value: number): boolean {
  return value >= 0 && value <= 1;
}
