/** A weed's map of one field at any threshold, from results that do not hang on it: what a moved threshold would show, at once. */
import { type Infestation, type InfestationInput, latentMapAt, mapInfestation } from '../agronomy/infestation.ts';
import { latentGround } from '../agronomy/latent-ground.ts';
import { asksDirection, latentSetting } from '../agronomy/latent-setting.ts';
import { scoutingDensity } from '../agronomy/scouting-density.ts';
import { fieldGrid } from '../agronomy/surface-methods.ts';
import type { ChainResult } from '../statistics/latent/chain.ts';
import { joinChains } from '../statistics/latent/posterior.ts';
import type { ResultOf, Scope } from './step.ts';
import type { WeedEvidence } from './steps/evidence.ts';
import type { FieldGround } from './steps/field.ts';
import { infestationInput } from './steps/infestation.ts';
import type { LatentChain } from './steps/latent-chain.ts';
import type { TravelDirection } from './steps/travel-direction.ts';

export interface ThresholdTrial {
  readonly ground: FieldGround;
  /** @param thresholdPerM2 above 0, plants/m² */
  at(thresholdPerM2: number): Infestation;
}

/**
 * Chains are not run on where they disagree at another threshold: the map says then that they do.
 * @returns null where the field cannot be worked on
 * @cost of `at`: tens of milliseconds; of the trial as a few of them
 */
export function thresholdTrial(
  result: ResultOf,
  scope: Scope & { readonly field: string; readonly season: number; readonly species: string },
): ThresholdTrial | null {
  const { field, season } = scope;
  const ground = result<FieldGround>('field', { field });
  const evidence = result<WeedEvidence>('evidence', scope);
  if (!ground || !evidence) return null;
  const given = (thresholdPerM2: number) => infestationInput(ground, evidence.seen, thresholdPerM2);
  const chains = [0, 1].map((chain) => result<LatentChain>('latent-chain', { ...scope, chain: chain as 0 | 1 }));
  if (!chains[0] || !chains[1]) return { ground, at: (perM2) => mapped(given(perM2)) };
  const first = given(1);
  const density = scoutingDensity(first.places);
  const direction = asksDirection(density)
    ? (result<TravelDirection>('travel-direction', { field, season })?.direction ?? null)
    : null;
  const setting = latentSetting(fieldGrid(ground), density, direction);
  const joined = joinChains(...(chains as [ChainResult, ChainResult]));
  const latent = latentGround(setting, density, ground.cellAreaM2, joined);
  return { ground, at: (thresholdPerM2) => latentMapAt({ ...first, thresholdPerM2 }, latent) };
}

/** Fewer counts than chains need: they are mapped anew. */
function mapped(input: InfestationInput): Infestation {
  const work = mapInfestation(input);
  let turn = work.next();
  while (!turn.done) turn = work.next();
  return turn.value;
}
