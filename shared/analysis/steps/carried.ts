/** Per field, season and case: its own link of the machine's chain, so that a change elsewhere stops where nothing changed aboard. */
import { harvestOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { ChainLink, MovementChain } from './movement-chain.ts';

interface Settings {
  readonly field: string;
}

export const carriedStep = defineStep<Settings, ChainLink>({
  id: 'carried',
  title: 'Seed carried in',
  version: 2,
  per: ['field', 'season', 'case'],
  key: 'content',
  settings: (_farm, scope) => ({ field: scope.field! }),
  needs(farm, scope) {
    const { machine } = harvestOf(farm, scope.field!, scope.season!);
    return { chain: { step: 'movement-chain', scope: { machine, season: scope.season!, case: scope.case! } } };
  },
  *run({ settings, needs }) {
    yield [0, 1];
    const { links } = needs['chain'] as MovementChain;
    return done(links.find((one) => one.field === settings.field)!);
  },
});
