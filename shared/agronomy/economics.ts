/**
 * What weeds cost over the planning horizon, and what a program gains. Money of today; season 0 counts in full. Seed left
 * at the end has no value in the sum: show the bank beside it.
 */

/** One season of one zone or field under one way of control. */
export interface SeasonOfStake {
  /** Of the weed-free yield, lost to the weeds that are left; 0–1. */
  readonly lossFraction: number;
  readonly pricePerKg: number;
  /** Weed-free. */
  readonly yieldKgHa: number;
  /** Control beyond the program's own: hand removal, respraying. */
  readonly extraControlPerHa: number;
}

export interface Stake {
  /** Present value of all terms, money; ≥ 0. */
  readonly stake: number;
  /** Money a season, not discounted. */
  readonly flows: readonly number[];
  /** The stake by its reasons, money of today; they add up to it. */
  readonly terms: { readonly yieldLoss: number; readonly extraControl: number };
}

/**
 * Present value of one flow a season: Σ f_t / (1 + r)^t.
 * @param discountFraction r; real, yearly; ≥ 0
 * @source methods-season §7; reference case present-value
 */
export function presentValue(flows: readonly number[], discountFraction: number): number {
  if (!(discountFraction >= 0)) throw new RangeError(`presentValue: expected a rate from 0, got ${discountFraction}`);
  let value = 0;
  let discount = 1;
  for (const flow of flows) {
    value += flow / discount;
    discount *= 1 + discountFraction;
  }
  return value;
}

/**
 * Stake = Σ area·(price·yield·L(D_t) + extra control)/(1+r)^t. A season with an unknown number (NaN) makes it unknown.
 * @throws where an area, a price or a share is out of its domain
 * @source methods-season §7; reference case stake-and-gain-by-zone
 */
export function stakeOf(areaHa: number, seasons: readonly SeasonOfStake[], discountFraction: number): Stake {
  if (areaHa < 0) throw new RangeError(`stakeOf: an area of ${areaHa} ha`);
  const yieldLosses: number[] = [];
  const extraControls: number[] = [];
  for (const { lossFraction, pricePerKg, yieldKgHa, extraControlPerHa } of seasons) {
    if (lossFraction < 0 || lossFraction > 1) throw new RangeError(`stakeOf: ${lossFraction} of the yield is lost`);
    if (pricePerKg < 0 || yieldKgHa < 0 || extraControlPerHa < 0) throw new RangeError('stakeOf: a negative price');
    yieldLosses.push(areaHa * pricePerKg * yieldKgHa * lossFraction);
    extraControls.push(areaHa * extraControlPerHa);
  }
  const terms = {
    yieldLoss: presentValue(yieldLosses, discountFraction),
    extraControl: presentValue(extraControls, discountFraction),
  };
  return {
    stake: terms.yieldLoss + terms.extraControl,
    flows: yieldLosses.map((loss, t) => loss + extraControls[t]!),
    terms,
  };
}

export interface ProgramGain {
  readonly gain: number;
  /** Present value of the program's cost beyond now; negative where it is cheaper. */
  readonly cost: number;
  /** What the gain is made of; they add up to it. */
  readonly terms: {
    readonly yieldSaved: number;
    readonly extraControlSaved: number;
    readonly programCost: number;
    readonly seedToOthersSaved: number;
  };
}

/**
 * Gain = stake(as now) − stake(program) − PV(program's cost beyond now) − change in what its seed costs others. The gain
 * of no change is 0.
 * @param costsBeyondNow money a season for the whole area, beyond what is spent now
 * @param seedToOthers cost that seed landed elsewhere lays on others, money of today, as now and under the program: it is
 * charged to its source, and must not be counted at the receiver again
 * @source methods-season §7
 */
export function programGain(
  asNow: Stake,
  program: Stake,
  costsBeyondNow: readonly number[],
  discountFraction: number,
  seedToOthers: { readonly asNow: number; readonly program: number } = { asNow: 0, program: 0 },
): ProgramGain {
  const cost = presentValue(costsBeyondNow, discountFraction);
  const terms = {
    yieldSaved: asNow.terms.yieldLoss - program.terms.yieldLoss,
    extraControlSaved: asNow.terms.extraControl - program.terms.extraControl,
    programCost: cost === 0 ? 0 : -cost,
    seedToOthersSaved: seedToOthers.asNow - seedToOthers.program,
  };
  return {
    gain: terms.yieldSaved + terms.extraControlSaved + terms.programCost + terms.seedToOthersSaved,
    cost,
    terms,
  };
}

/** The terms of a sum that count, largest first by size: the order in which reasons are told. */
export function termsBySize<Term extends string>(
  terms: Readonly<Record<Term, number>>,
): readonly { readonly term: Term; readonly value: number }[] {
  return (Object.entries(terms) as [Term, number][])
    .filter(([, value]) => value !== 0)
    .map(([term, value]) => ({ term, value }))
    .sort((a, b) => Math.abs(b.value) - Math.abs(a.value));
}
