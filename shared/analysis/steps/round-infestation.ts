/** Per field, round and species: where the weed is by this round alone. Asked for by a place that compares rounds, never by a study. */
import { type Infestation, mapInfestation } from '../../agronomy/infestation.ts';
import { PATCH_DENSITIES } from '../../agronomy/rating-densities.ts';
import { maskInside } from '../../geometry/grid.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../../model/farm-words.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldGround } from './field.ts';
import type { FieldScouting } from './scouting.ts';

interface Settings {
  readonly species: string;
  readonly thresholdPerM2: number;
}

export const roundInfestationStep = defineStep<Settings, Infestation>({
  id: 'round-infestation',
  title: 'Infestation by one round',
  version: 1,
  per: ['field', 'round', 'species'],
  key: 'inputs',
  settings: (farm, scope) => ({
    species: scope.species!,
    thresholdPerM2: farm.thresholdPerM2[scope.species!] ?? DEFAULT_THRESHOLD_PER_M2,
  }),
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    scouting: { step: 'scouting', scope: { field: scope.field!, round: scope.round! } },
  }),
  *run({ settings, needs }) {
    const ground = needs['field'] as FieldGround;
    const { species } = needs['scouting'] as FieldScouting;
    const seen = species.find((one) => one.species === settings.species) ?? null;
    const map = yield* mapInfestation({
      grid: ground.grid,
      inside: ground.inside,
      cellAreaM2: ground.cellAreaM2,
      areaM2: ground.areaM2,
      places: seen?.places ?? [],
      rating: seen?.rating ?? null,
      patches: (seen?.patches ?? []).map(({ area, density }) => ({
        cells: maskInside(ground.grid, area),
        densityPerM2:
          typeof density === 'string'
            ? PATCH_DENSITIES[density]
            : { low: density.perM2, central: density.perM2, high: density.perM2 },
      })),
      thresholdPerM2: settings.thresholdPerM2,
    });
    return done(map);
  },
});
