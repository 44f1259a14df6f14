/** Both chains one after the other, for a host with one thread. Two workers run one `latentChain` each and do the same. */
import type { ChainResult, LatentInput, LatentProgress } from './chain.ts';
import { latentChain, rangeGeometries } from './chain.ts';
import type { JoinedChains } from './posterior.ts';
import { aboveThreshold, chainsSettled, joinChains } from './posterior.ts';

export interface BothChainsOptions {
  readonly seed: number;
  readonly burnIn?: number;
  readonly sweeps?: number;
}

/** Whether two chains have to run on: they disagree on the area, and have not run on before. */
export function mustRunOn(
  [first, second]: readonly [ChainResult, ChainResult],
  { cells }: LatentInput,
  thresholdPerM2: number,
  areaM2: Float64Array,
): boolean {
  if (first.parts > 1) return false;
  const above = aboveThreshold(joinChains(first, second), cells.coarse, thresholdPerM2, areaM2);
  return above.drawnShares.length > 0 && !chainsSettled(above);
}

/**
 * Chains 0 and 1, run on once by as many sweeps where they disagree on the area above the threshold.
 * Yields sweeps done of those planned; there are more of them once the chains run on.
 * @param thresholdPerM2 above 0 @param areaM2 per cell: the area that counts
 * @source methods-spatial §7 step 8
 */
export function* bothChains(
  input: LatentInput,
  thresholdPerM2: number,
  areaM2: Float64Array,
  options: BothChainsOptions,
): Generator<LatentProgress, JoinedChains, void> {
  const geometries = rangeGeometries(input);
  let before = 0;
  function* told(chain: number, left: number, from?: ChainResult): Generator<LatentProgress, ChainResult, void> {
    const steps = latentChain(input, { ...options, geometries, chain, ...(from ? { from } : {}) });
    let total = 0;
    try {
      for (;;) {
        const step = steps.next();
        if (step.done) {
          before += total;
          return step.value;
        }
        total = step.value[1];
        yield [before + step.value[0], before + total * (1 + left)];
      }
    } finally {
      steps.return(undefined as never);
    }
  }
  let chains: [ChainResult, ChainResult] = [yield* told(0, 1), yield* told(1, 0)];
  if (mustRunOn(chains, input, thresholdPerM2, areaM2))
    chains = [yield* told(0, 1, chains[0]), yield* told(1, 0, chains[1])];
  return joinChains(...chains);
}
