/** Where a weed would stand above another threshold, on one field. Nothing of the document changes. */
import type { ChainResult } from '../../../shared/statistics/latent/chain.ts';
import type { RangeSaying } from '../../../shared/agronomy/infested-range.ts';
import type { ResultOf } from '../../../shared/analysis/step.ts';
import type { LatentChain } from '../../../shared/analysis/steps/latent-chain.ts';
import { type ThresholdTrial, thresholdTrial } from '../../../shared/analysis/threshold-trial.ts';
import type { Range } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';
import { gridInside, type MapGrid } from './map-grid.ts';

export interface ThresholdTrialAsk {
  readonly field: string;
  readonly season: number;
  readonly species: string;
  readonly thresholdPerM2: number;
}

export interface TriedThreshold {
  /** Chance of each cell; null where the counts draw no map at this threshold. */
  readonly map: MapGrid | null;
  readonly infestedAreaM2: Range;
  readonly rangeIs: RangeSaying | null;
  readonly notes: readonly string[];
}

/** While a hand moves, the same chains are asked at one threshold after the other. */
const known = new WeakMap<ChainResult, ThresholdTrial>();

/** null where the field cannot be worked on. */
export async function thresholdTrialQuestion(
  open: OpenFarm,
  { thresholdPerM2, ...scope }: ThresholdTrialAsk,
): Promise<TriedThreshold | null> {
  const trial = await open.inTurns((result) => trialOf(result, scope));
  if (!trial) return null;
  const { probabilityAbove, infestedAreaM2, latent, notes } = trial.at(thresholdPerM2);
  return {
    map: probabilityAbove && gridInside(trial.ground, probabilityAbove),
    infestedAreaM2,
    rangeIs: latent?.saying ?? null,
    notes,
  };
}

function trialOf(result: ResultOf, scope: Omit<ThresholdTrialAsk, 'thresholdPerM2'>): ThresholdTrial | null {
  const chain = result<LatentChain>('latent-chain', { ...scope, chain: 0 });
  const before = chain && known.get(chain);
  if (before) return before;
  const trial = thresholdTrial(result, scope);
  if (chain && trial) known.set(chain, trial);
  return trial;
}
