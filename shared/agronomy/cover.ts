/**
 * Residual cover: how much of what emerges a soil herbicide still controls, day by day.
 *
 * k(t) = K/(1 + (C₅₀/C)^h), C(t) = C₀·2^(−t/H). Cover ends when k falls to the threshold k*: days = H·log₂(C₀/C*), so each
 * halving of the rate costs H days whatever the threshold, slope or sensitivity. **H is not the soil half-life**: with the
 * published half-lives half a rate would hold nothing. H = q·D, with D the days of cover at the full rate and q the share
 * of them lost per halving (0.5, 0.33–1, *assumed*: no field study of full against reduced rate was found). So a reduced
 * rate gives "shorter cover; how much is not known", a band and never one number.
 * @source methods of the season, reference cases emergence-cover/cover
 */

/** Control by a dose: K/(1 + (C₅₀/C)^h). @returns 0 – maxControl */
export function residualControl(dose: number, halfControlDose: number, slope: number, maxControl = 1): number {
  return dose <= 0 ? 0 : maxControl / (1 + (halfControlDose / dose) ** slope);
}

/** Dose left after some days, as a share of the full rate. */
export function doseLeft(rateFraction: number, days: number, halvingDays: number): number {
  return rateFraction * 2 ** (-days / halvingDays);
}

/** C*: the dose at which control falls to the threshold. @throws where the threshold is not below the greatest control */
export function doseAtThreshold(halfControlDose: number, slope: number, threshold: number, maxControl = 1): number {
  if (!(threshold > 0 && threshold < maxControl))
    throw new Error(`doseAtThreshold: expected 0 < threshold < ${maxControl}, got ${threshold}`);
  return halfControlDose * (threshold / (maxControl - threshold)) ** (1 / slope);
}

/** Days until control falls to the threshold: H·log₂(C₀/C*), never below 0. */
export function coverDays(
  dose: number,
  halvingDays: number,
  halfControlDose: number,
  slope: number,
  threshold: number,
  maxControl = 1,
): number {
  if (dose <= 0) return 0;
  return Math.max(0, halvingDays * Math.log2(dose / doseAtThreshold(halfControlDose, slope, threshold, maxControl)));
}

/**
 * C₅₀ that makes a full rate hold exactly `fullCoverDays`: C₀/C* = 2^(D/H) with C₀ = 1.
 */
export function halfControlDoseForCover(
  fullCoverDays: number,
  halvingDays: number,
  slope: number,
  threshold: number,
  maxControl = 1,
): number {
  return 2 ** (-fullCoverDays / halvingDays) / doseAtThreshold(1, slope, threshold, maxControl);
}

/**
 * Days of cover at a share of the full label rate: D − q·D·log₂(1/f), never below 0.
 * @param rateFraction f; 0–1 of the full rate on the label
 * @param lossPerHalving q; share of the days lost per halving
 */
export function coverDaysAtRate(fullCoverDays: number, rateFraction: number, lossPerHalving: number): number {
  if (!(rateFraction >= 0 && rateFraction <= 1))
    throw new Error(`coverDaysAtRate: expected a rate fraction 0–1, got ${rateFraction}`);
  if (rateFraction === 0) return 0;
  return Math.max(0, fullCoverDays * (1 + lossPerHalving * Math.log2(rateFraction)));
}

/**
 * First day on which the rain since spraying, over the last `withinDays`, reaches the need.
 * A missing (NaN) day counts as dry; the caller tells how many there were.
 * @param rainMm one element a day
 * @param sprayedIndex day of spraying; its own rain counts
 * @returns index, or null where the record holds no such day
 */
export function activeFromIndex(
  rainMm: ArrayLike<number>,
  sprayedIndex: number,
  needMm: number,
  withinDays: number,
): number | null {
  const rain = (day: number): number => {
    const mm = rainMm[day]!;
    return Number.isNaN(mm) ? 0 : mm;
  };
  for (let day = sprayedIndex; day < rainMm.length; day++) {
    // Summed anew each day: a running sum would leave rounding where rain drops out of the window.
    let sum = 0;
    for (let back = Math.max(sprayedIndex, day - withinDays + 1); back <= day; back++) sum += rain(back);
    if (sum >= needMm) return day;
  }
  return null;
}

/** One residual in the soil. */
export interface ResidualApplication {
  /** Day of spraying, as an index into the season. */
  readonly sprayedIndex: number;
  /** First day on which it works; null: never activated. */
  readonly activeFrom: number | null;
  /** Share of the full label rate. */
  readonly rateFraction: number;
  readonly halvingDays: number;
  readonly halfControlDose: number;
  readonly slope: number;
  readonly maxControl: number;
  /** Share of the population on which it works; 1 where no resistance is known. */
  readonly susceptibleFraction?: number;
}

/**
 * Control at the start of each day by all residuals together, acting independently: 1 − Π(1 − k). Loss in the soil runs
 * from spraying, control only from activation.
 * @param out one element a day, written
 * @cost O(days × applications)
 */
export function controlByDay(applications: readonly ResidualApplication[], out: Float64Array): Float64Array {
  out.fill(1);
  for (const one of applications) {
    if (one.activeFrom === null) continue;
    const from = Math.max(one.sprayedIndex, one.activeFrom, 0);
    const share = one.susceptibleFraction ?? 1;
    for (let day = from; day < out.length; day++) {
      const dose = doseLeft(one.rateFraction, day - one.sprayedIndex, one.halvingDays);
      out[day] = out[day]! * (1 - share * residualControl(dose, one.halfControlDose, one.slope, one.maxControl));
    }
  }
  for (let day = 0; day < out.length; day++) out[day] = 1 - out[day]!;
  return out;
}

/** Days on which control is below the threshold, and the spells that they make (first and last index of each). */
export function coverGaps(
  control: Float64Array,
  threshold: number,
): { gapDays: number; spells: readonly (readonly [from: number, to: number])[] } {
  const spells: (readonly [number, number])[] = [];
  let gapDays = 0;
  let start = -1;
  for (let day = 0; day <= control.length; day++) {
    const gap = day < control.length && control[day]! < threshold;
    if (gap) {
      gapDays++;
      if (start < 0) start = day;
    } else if (start >= 0) {
      spells.push([start, day - 1]);
      start = -1;
    }
  }
  return { gapDays, spells };
}

function sameSeason(name: string, cumulative: Float64Array, control: Float64Array): void {
  if (cumulative.length !== control.length + 1)
    throw new Error(`${name}: expected one more emergence than days, got ${cumulative.length} and ${control.length}`);
}

/**
 * Share of the season's emergence that falls on gap days: Σ ΔF.
 * @param cumulative F before the start of each day, and at the end of the last: one longer than `control`
 */
export function emergenceInGapsFraction(cumulative: Float64Array, control: Float64Array, threshold: number): number {
  sameSeason('emergenceInGapsFraction', cumulative, control);
  let sum = 0;
  for (let day = 0; day < control.length; day++)
    if (control[day]! < threshold) sum += cumulative[day + 1]! - cumulative[day]!;
  return sum;
}

/** Share of the season's emergence that lives through the residuals: Σ ΔF·(1 − k). This one feeds the seedbank. */
export function emergenceEscapingFraction(cumulative: Float64Array, control: Float64Array): number {
  sameSeason('emergenceEscapingFraction', cumulative, control);
  let sum = 0;
  for (let day = 0; day < control.length; day++) sum += (cumulative[day + 1]! - cumulative[day]!) * (1 - control[day]!);
  return sum;
}
