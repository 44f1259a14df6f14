/** Where every seed of one species went in one visit, in seeds; the two sides of the ledger law are equal. */
export interface Ledger {
  readonly producedSeeds: number;
  readonly carriedInSeeds: number;
  readonly shedBeforeSeeds: number;
  readonly leftStandingSeeds: number;
  readonly headerLossSeeds: number;
  /** Through the machine and onto the field; header loss is its own line. */
  readonly landedByMachineSeeds: number;
  readonly landedOutsideSeeds: number;
  readonly grainTankSeeds: number;
  readonly destroyedSeeds: number;
  /** Held when the visit ends: removed at clean-out + carried into the next visit. */
  readonly leftInMachineSeeds: number;
}

export const LEDGER_SOURCES = ['producedSeeds', 'carriedInSeeds'] as const satisfies readonly (keyof Ledger)[];
export const LEDGER_FATES = [
  'shedBeforeSeeds',
  'leftStandingSeeds',
  'headerLossSeeds',
  'landedByMachineSeeds',
  'landedOutsideSeeds',
  'grainTankSeeds',
  'destroyedSeeds',
  'leftInMachineSeeds',
] as const satisfies readonly (keyof Ledger)[];

/** Largest relative residue that a run may have: measured 1e-14, so 1e-12 only lets rounding through. */
export const LEDGER_TOLERANCE = 1e-12;

/** A ledger of a visit in which no seed took part. */
export const EMPTY_LEDGER: Ledger = {
  producedSeeds: 0,
  carriedInSeeds: 0,
  shedBeforeSeeds: 0,
  leftStandingSeeds: 0,
  headerLossSeeds: 0,
  landedByMachineSeeds: 0,
  landedOutsideSeeds: 0,
  grainTankSeeds: 0,
  destroyedSeeds: 0,
  leftInMachineSeeds: 0,
};

/**
 * Relative residue of the ledger law: (produced + carried in − all fates) / (produced + carried in).
 * With nothing on the left side the residue is absolute. NaN where a line is not a number.
 * @source methods-season §4.3
 */
export function closeLedger(ledger: Ledger): number {
  const entering = sumSeeds(LEDGER_SOURCES.map((key) => ledger[key]));
  const residue = sumSeeds([...LEDGER_SOURCES.map((key) => ledger[key]), ...LEDGER_FATES.map((key) => -ledger[key])]);
  return residue / (entering > 0 ? entering : 1);
}

/**
 * Passes a ledger that closes on.
 * @throws where seed was lost, gained, or a line is negative: a fault of ours, never of a file.
 */
export function assertClosed(ledger: Ledger): Ledger {
  for (const key of [...LEDGER_SOURCES, ...LEDGER_FATES]) {
    if (!(ledger[key] >= 0)) throw new Error(`assertClosed: ${key} is ${ledger[key]}`);
  }
  const residue = closeLedger(ledger);
  if (!(Math.abs(residue) <= LEDGER_TOLERANCE)) {
    throw new Error(`assertClosed: the seed ledger is off by ${residue} of the seed entering`);
  }
  return ledger;
}

/**
 * Line-by-line sum of ledgers of the same species: fields of a farm, or own and carried-in seed of one visit.
 * Over visits in a chain, what is left in one machine is carried in by the next: those lines then count it twice on
 * both sides, and the law still holds.
 */
export function addLedgers(...ledgers: readonly Ledger[]): Ledger {
  const line = (key: keyof Ledger) => sumSeeds(ledgers.map((one) => one[key]));
  return {
    producedSeeds: line('producedSeeds'),
    carriedInSeeds: line('carriedInSeeds'),
    shedBeforeSeeds: line('shedBeforeSeeds'),
    leftStandingSeeds: line('leftStandingSeeds'),
    headerLossSeeds: line('headerLossSeeds'),
    landedByMachineSeeds: line('landedByMachineSeeds'),
    landedOutsideSeeds: line('landedOutsideSeeds'),
    grainTankSeeds: line('grainTankSeeds'),
    destroyedSeeds: line('destroyedSeeds'),
    leftInMachineSeeds: line('leftInMachineSeeds'),
  };
}

/** The ledger of so many times the seed: the movement is linear. */
export function scaledLedger(ledger: Ledger, factor: number): Ledger {
  const scaled = Object.entries(ledger).map(([line, seeds]) => [line, (seeds as number) * factor]);
  return Object.fromEntries(scaled) as unknown as Ledger;
}

/**
 * One ledger of several fields: what one carried into another of them is inside, and stands on neither side. What is left in the machine
 * then went to fields outside the sum, was taken out at a clean-out, or is still aboard.
 * @param arrivedSeeds of what was carried in, what came from outside: aboard when machines came to the farm
 * @throws where more was carried into the fields than left them
 */
export function ledgerOverFields(ledgers: readonly Ledger[], arrivedSeeds = 0): Ledger {
  const sum = addLedgers(...ledgers);
  const leftSeeds = sum.leftInMachineSeeds - (sum.carriedInSeeds - arrivedSeeds);
  const entering = sum.producedSeeds + sum.carriedInSeeds;
  if (leftSeeds < -LEDGER_TOLERANCE * entering) {
    throw new Error(`ledgerOverFields: ${-leftSeeds} more seeds came in than left the fields`);
  }
  return assertClosed({ ...sum, carriedInSeeds: arrivedSeeds, leftInMachineSeeds: Math.max(0, leftSeeds) });
}

/** Compensated sum (Kahan's, in Neumaier's form, which also holds where a term outgrows the sum). */
export function sumSeeds(terms: ArrayLike<number>): number {
  let sum = 0;
  let lost = 0;
  for (let k = 0; k < terms.length; k++) {
    const term = terms[k]!;
    const next = sum + term;
    lost += Math.abs(sum) >= Math.abs(term) ? sum - next + term : term - next + sum;
    sum = next;
  }
  return sum + lost;
}

/** One compensated sum (Kahan's) a channel. */
export class CompensatedSums {
  private readonly sums: Float64Array;
  private readonly lost: Float64Array;
  constructor(channels: number) {
    this.sums = new Float64Array(channels);
    this.lost = new Float64Array(channels);
  }

  /** Adds to one channel. */
  add(channel: number, seeds: number): void {
    const term = seeds - this.lost[channel]!;
    const next = this.sums[channel]! + term;
    this.lost[channel] = next - this.sums[channel]! - term;
    this.sums[channel] = next;
  }

  totals(): Float64Array {
    return this.sums;
  }
}
