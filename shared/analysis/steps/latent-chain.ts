/** Per field, season, species and chain: one chain of the latent count model over the counts of the season; null where they are too few. */
import { bearsSurface, fieldChain, latentSetting, asksDirection } from '../../agronomy/latent-setting.ts';
import { scoutingDensity } from '../../agronomy/scouting-density.ts';
import { fieldGrid } from '../../agronomy/surface-methods.ts';
import { done } from '../../model/problem.ts';
import type { ChainResult } from '../../statistics/latent/chain.ts';
import { defineStep } from '../define-step.ts';
import type { Ask, Progress, Scope, StepId } from '../step.ts';
import type { WeedEvidence } from './evidence.ts';
import type { FieldGround } from './field.ts';
import type { TravelDirection } from './travel-direction.ts';

export type LatentChain = ChainResult | null;

export const latentChainStep = defineStep<{ readonly chain: 0 | 1 }, LatentChain>({
  id: 'latent-chain',
  title: 'Where the weed is, from counts',
  version: 2,
  per: ['field', 'season', 'species', 'chain'],
  key: 'inputs',
  settings: (_farm, scope) => ({ chain: scope.chain! }),
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    evidence: { step: 'evidence', scope },
    direction: directionNeed(scope),
  }),
  lazy: ['direction'],
  *run({ settings, needs }) {
    yield [0, 1];
    const { seen } = needs['evidence'] as WeedEvidence;
    const density = scoutingDensity(seen?.places ?? []);
    if (!bearsSurface(density)) return done(null);
    const direction = asksDirection(density) ? yield* askDirection(needs) : null;
    const setting = latentSetting(fieldGrid(needs['field'] as FieldGround), density, direction);
    return done(yield* fieldChain(setting, settings.chain));
  },
});

/** Whether a weed's counts of a season are enough for chains. */
export function wantsChains({ seen }: WeedEvidence): boolean {
  const places = seen?.places ?? [];
  return bearsSurface({ places: places.length, positives: places.filter((one) => one.count > 0).length });
}

export function directionNeed({ field, season }: Scope): { step: StepId; scope: Scope } {
  return { step: 'travel-direction', scope: { field: field!, season: season! } };
}

/** Of the lazy need that is called so. */
export function* askDirection(needs: Readonly<Record<string, unknown>>): Generator<Progress, number | null, void> {
  const found = yield* (needs['direction'] as Ask<TravelDirection>)();
  return found?.direction ?? null;
}

/** Both chains of a weed's counts, as needs. */
export function chainNeeds(scope: Scope): Record<'chain0' | 'chain1', { step: StepId; scope: Scope }> {
  return {
    chain0: { step: 'latent-chain', scope: { ...scope, chain: 0 } },
    chain1: { step: 'latent-chain', scope: { ...scope, chain: 1 } },
  };
}
