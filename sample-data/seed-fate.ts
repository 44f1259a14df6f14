/**
 * Where the seed of one species goes inside the machine, in steps of a quarter second: four streams, each a delay of whole steps
 * and one well-mixed store, emptied exactly within a step.
 */
import { exp } from './elementary.ts';

export const STEP_S = 0.25;

/** The machine as it truly is. Shares of the seed that enters; seconds; metres. */
export const COMBINE = {
  headerLossFraction: 0.25,
  grainFraction: 0.055,
  lodgedFraction: 0.032,
  chaffOfThrownFraction: 0.84,
  chaffDelayS: 5.5,
  strawDelayS: 4.25,
  grainDelayS: 9.5,
  chaffStoreS: 4.4,
  strawStoreS: 3.2,
  grainStoreS: 4,
  lodgedStoreS: 320,
  cutterToExitM: 7.8,
  chaffWidthM: 6.4,
  strawWidthM: 8.2,
} as const;

/** A power of two above the longest delay, so that a mask finds the place. */
const RING = 64;
const stepsOf = (delayS: number) => Math.floor(delayS / STEP_S + 0.5);

/** Share of a full store that leaves in a step, and of what comes in evenly during it. */
export function storeShares(storeS: number): { leaves: number; early: number } {
  const leaves = 1 - exp(-STEP_S / storeS);
  return { leaves, early: 1 - (storeS / STEP_S) * leaves };
}

const THROWN = 1 - COMBINE.grainFraction - COMBINE.lodgedFraction;
const CHAFF_SHARE = THROWN * COMBINE.chaffOfThrownFraction;
const STRAW_SHARE = THROWN * (1 - COMBINE.chaffOfThrownFraction);
const CHAFF_STEPS = stepsOf(COMBINE.chaffDelayS);
const STRAW_STEPS = stepsOf(COMBINE.strawDelayS);
const GRAIN_STEPS = stepsOf(COMBINE.grainDelayS);
const CHAFF = storeShares(COMBINE.chaffStoreS);
const STRAW = storeShares(COMBINE.strawStoreS);
const GRAIN = storeShares(COMBINE.grainStoreS);
const LODGED = storeShares(COMBINE.lodgedStoreS);

export class SeedFate {
  headerLoss = 0;
  grainTank = 0;
  landedInField = 0;
  landedOutside = 0;
  /** Seed that left by the chaff and the straw exit and has not been laid down yet. */
  chaffOut = 0;
  strawOut = 0;
  private chaff = 0;
  private straw = 0;
  private grain = 0;
  private lodged: number;
  private readonly entered = new Float64Array(RING);
  private step = 0;

  constructor(aboard: number) {
    this.lodged = aboard;
  }

  /** One step in which `cutSeeds` were cut. */
  pass(cutSeeds: number): void {
    const { entered, step } = this;
    const lost = COMBINE.headerLossFraction * cutSeeds;
    this.headerLoss += lost;
    entered[step & (RING - 1)] = cutSeeds - lost;
    const byChaff = entered[(step - CHAFF_STEPS) & (RING - 1)]!;
    const byStraw = entered[(step - STRAW_STEPS) & (RING - 1)]!;
    const byGrain = entered[(step - GRAIN_STEPS) & (RING - 1)]!;

    const toChaff = CHAFF_SHARE * byChaff;
    const fromChaff = this.chaff * CHAFF.leaves + toChaff * CHAFF.early;
    this.chaff += toChaff - fromChaff;
    const toLodged = COMBINE.lodgedFraction * byChaff;
    const fromLodged = this.lodged * LODGED.leaves + toLodged * LODGED.early;
    this.lodged += toLodged - fromLodged;
    const toStraw = STRAW_SHARE * byStraw;
    const fromStraw = this.straw * STRAW.leaves + toStraw * STRAW.early;
    this.straw += toStraw - fromStraw;
    const toGrain = COMBINE.grainFraction * byGrain;
    const fromGrain = this.grain * GRAIN.leaves + toGrain * GRAIN.early;
    this.grain += toGrain - fromGrain;

    this.grainTank += fromGrain;
    this.chaffOut += fromChaff + fromLodged;
    this.strawOut += fromStraw;
    this.step = step + 1;
  }

  /** Seed still aboard: stores and delay lines. After the wait at the gate nearly all of it is lodged. */
  aboard(): number {
    let sum = this.chaff + this.straw + this.grain + this.lodged;
    const line = (share: number, steps: number) => {
      for (let back = 1; back <= steps; back++) sum += share * this.entered[(this.step - back) & (RING - 1)]!;
    };
    line(CHAFF_SHARE + COMBINE.lodgedFraction, CHAFF_STEPS);
    line(STRAW_SHARE, STRAW_STEPS);
    line(COMBINE.grainFraction, GRAIN_STEPS);
    return sum;
  }
}
