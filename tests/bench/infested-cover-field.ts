/** One simulated field of the coverage experiment: scouted, sampled by both chains, its range beside the truth. */
import { findsFollowPath } from '../../shared/agronomy/finds-along-path.ts';
import type { InfestedRange } from '../../shared/agronomy/infested-range.ts';
import { infestedRange } from '../../shared/agronomy/infested-range.ts';
import { areaOfBlocks, latentGrid } from '../../shared/agronomy/latent-grid.ts';
import type { ScoutingDensity } from '../../shared/agronomy/scouting-density.ts';
import { scoutingDensity } from '../../shared/agronomy/scouting-density.ts';
import { maskInside } from '../../shared/geometry/grid.ts';
import { convexHull, distanceToHullM } from '../../shared/geometry/hull.ts';
import { densestPerM2 } from '../../shared/agronomy/latent-ground.ts';
import { latentCells } from '../../shared/agronomy/latent-surface.ts';
import {
  type ChainResult,
  latentChain,
  type LatentInput,
  rangeGeometries,
} from '../../shared/statistics/latent/chain.ts';
import {
  aboveThreshold,
  chainsSettled,
  type JoinedChains,
  joinChains,
  latentParameters,
} from '../../shared/statistics/latent/posterior.ts';
import { stream } from '../../shared/statistics/random.ts';
import { run } from '../support/run.ts';
import type { Truth } from '../support/simulated-truths.ts';
import { simulateTruth, STRIP_DIRECTION } from '../support/simulated-truths.ts';
import type { DensityAt } from '../support/simulated-weeds.ts';
import { SIMULATED_RING, simulateScouting } from '../support/simulated-weeds.ts';
import type { Scored } from './infested-cover-score.ts';

export const QUADRATS = [20, 60, 200] as const;
export const CLUMPING = [0.2, 0.8, 2] as const;
/** The kinds that are sampled once more with the path's direction given: strips along it, and two that have none. */
export const WITH_PATH: readonly Truth[] = ['strips', 'soft', 'discs'];

const THRESHOLD_PER_M2 = 1;
const UNKNOWN_ABOVE = 0.9;

/** Shown at 5 m: the model takes blocks of 20 m, as the reference did. */
const grid = { x0M: -20, y0M: -20, columns: 166, rows: 166, cellM: 5 };
const field = { grid, inside: maskInside(grid, [[SIMULATED_RING]]) };
const latent = latentGrid(field);
const { xM, yM, coarse } = latent.cells;
const insideM2 = areaOfBlocks(
  field,
  latent,
  Float64Array.from(field.inside, (inside) => inside * grid.cellM ** 2),
);
const fieldM2 = insideM2.reduce((sum, area) => sum + area, 0);

/** One field of one kind. */
export interface CoverTask {
  readonly truth: Truth;
  readonly replicate: number;
  readonly seed: number;
}

export interface Ranged {
  /** Of the whole field, as the reference scores it, and of its known ground, as the tool says it. */
  readonly whole: Scored;
  readonly known: Scored;
  /** Known ground as a share of the field. */
  readonly knownShare: number;
  readonly saying: InfestedRange['saying'];
}

export interface CoverResult {
  readonly n: number;
  /** Of the truth. */
  readonly k: number;
  readonly positives: number;
  /** Whether the finds follow the path. */
  readonly follows: boolean;
  readonly plain: Ranged;
  /** With the direction of the path given; null where that is not tried. */
  readonly along: Ranged | null;
  /** Both chains and the range, plain. */
  readonly seconds: number;
}

/** The same field for every number of quadrats and every k. */
export function coverOfField({ truth, replicate, seed }: CoverTask): CoverResult[] {
  const density = simulateTruth(truth, stream(seed, 'truth', truth, replicate));
  const infestedM2 = infestedArea(density);
  return QUADRATS.flatMap((n) =>
    CLUMPING.map((k) => {
      const random = stream(seed, 'scouting', truth, replicate, n, k);
      const places = scoutingDensity(simulateScouting(random, density, n, k));
      const follows = findsFollowPath(places, STRIP_DIRECTION);
      const start = performance.now();
      const plain = ranged(infestedM2, places, follows, seed);
      const seconds = (performance.now() - start) / 1000;
      const along = WITH_PATH.includes(truth) ? ranged(infestedM2, places, follows, seed, STRIP_DIRECTION) : null;
      return { n, k, positives: places.positives, follows, plain, along, seconds };
    }),
  );
}

/** Of each model cell, m². */
function infestedArea(density: DensityAt): Float64Array {
  const infested = Float64Array.from(field.inside, (inside, cell) => {
    if (!inside) return 0;
    const x = grid.x0M + ((cell % grid.columns) + 0.5) * grid.cellM;
    const y = grid.y0M + (Math.floor(cell / grid.columns) + 0.5) * grid.cellM;
    return density(x, y) > THRESHOLD_PER_M2 ? grid.cellM ** 2 : 0;
  });
  return areaOfBlocks(field, latent, infested);
}

function ranged(
  infestedM2: Float64Array,
  places: ScoutingDensity,
  follows: boolean,
  seed: number,
  direction?: number,
): Ranged {
  const input = { places, cells: latent.cells, ...(direction === undefined ? {} : { direction }) };
  const chains = bothChains(input, seed);
  const said = (areaM2: Float64Array): InfestedRange =>
    infestedRange({
      chains,
      coarse,
      areaM2,
      thresholdPerM2: THRESHOLD_PER_M2,
      places,
      spacingM: places.spacingM,
      findsFollowPath: follows,
    });
  const knownM2 = knownArea(places, chains);
  const [ofWhole, ofKnown] = [said(insideM2), said(knownM2)];
  return {
    whole: scoredOf(ofWhole, infestedM2, insideM2),
    known: scoredOf(ofKnown, infestedM2, knownM2),
    knownShare: ofKnown.knownAreaM2 / fieldM2,
    saying: ofWhole.saying,
  };
}

/** Chains 0 and 1, run on once where they disagree on the area above the threshold: as the study's two steps. */
function bothChains(input: LatentInput, seed: number): JoinedChains {
  const geometries = rangeGeometries(input);
  const chainOf = (chain: number, from?: ChainResult) =>
    run(latentChain(input, { seed, geometries, chain, ...(from ? { from } : {}) }));
  const [first, second] = [chainOf(0), chainOf(1)];
  const joined = joinChains(first, second);
  const above = aboveThreshold(joined, coarse, THRESHOLD_PER_M2, insideM2);
  const mustRunOn = above.drawnShares.length > 0 && !chainsSettled(above);
  return mustRunOn ? joinChains(chainOf(0, first), chainOf(1, second)) : joined;
}

function scoredOf(said: InfestedRange, infestedM2: Float64Array, areaM2: Float64Array): Scored {
  const truth = infestedM2.reduce((sum, area, cell) => sum + (areaM2[cell]! > 0 ? area : 0), 0);
  const share = ({ low, high }: { low: number; high: number }) => ({ low: low / fieldM2, high: high / fieldM2 });
  return {
    truth: truth / fieldM2,
    central: said.centralM2 === null ? null : said.centralM2 / fieldM2,
    range90: share(said.range90M2),
    range80: share(said.range80M2),
  };
}

/** Methods-spatial §9: in the hull grown by min(half the range, 1.5 × spacing), and with less than 0.9 of the field's variance left. */
function knownArea(places: ScoutingDensity, chains: JoinedChains): Float64Array {
  const hull = convexHull(places.xM, places.yM);
  const reachM = Math.min(latentParameters(chains).rangeM / 2, 1.5 * places.spacingM!);
  const left = latentCells(chains, densestPerM2(places)).leftShare;
  return insideM2.map((area, cell) =>
    distanceToHullM(hull, xM[cell]!, yM[cell]!) <= reachM && left[cell]! < UNKNOWN_ABOVE ? area : 0,
  );
}
