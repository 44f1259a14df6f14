/** Per field and season: what is said of all weeds in numbers, so that nobody reads their maps for them. */
import type { Infestation } from '../../agronomy/infestation.ts';
import { speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { spokenForByAnyM2 } from '../known-ground.ts';
import type { FieldGround } from './field.ts';
import type { FieldInfestation } from './infestation.ts';

export interface WeedFacts extends Pick<FieldInfestation, 'species' | 'round' | 'afterHarvest' | 'strata'> {
  readonly map: Omit<Infestation, 'densityPerM2' | 'probabilityAbove' | 'known'>;
}

export interface InfestationFacts {
  readonly weeds: readonly WeedFacts[];
  /** Infested area of any weed, cell by cell the likeliest; m², null where no weed has a map. */
  readonly anyInfestedM2: number | null;
  /** Ground that the evidence of at least one weed speaks for, m². */
  readonly spokenForM2: number;
}

export const infestationFactsStep = defineStep<null, InfestationFacts>({
  id: 'infestation-facts',
  title: 'Infestation in numbers',
  version: 3,
  per: ['field', 'season'],
  key: 'inputs',
  settings: () => null,
  needs: (farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    weeds: speciesOf(farm).map((species) => ({
      step: 'infestation',
      scope: { field: scope.field!, season: scope.season!, species },
    })),
  }),
  optional: ['weeds'],
  *run({ needs }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const weeds = (needs['weeds'] as (FieldInfestation | null)[]).filter((one) => one !== null);
    return done({
      weeds: weeds.map(({ species, round, afterHarvest, strata, map }) => ({
        species,
        round,
        afterHarvest,
        strata,
        map: inNumbers(map),
      })),
      anyInfestedM2: anyInfestedM2(weeds),
      spokenForM2: spokenForByAnyM2(weeds, ground, ground.areaM2),
    });
  },
});

function inNumbers(map: Infestation): WeedFacts['map'] {
  const { densityPerM2: _density, probabilityAbove: _probability, known: _known, ...numbers } = map;
  return numbers;
}

function anyInfestedM2(weeds: readonly FieldInfestation[]): number | null {
  const seen = weeds.filter((one) => one.map.basis !== 'nothing' && one.map.infestedAreaM2.central !== null);
  const mapped = seen.filter((one) => one.map.probabilityAbove !== null);
  if (mapped.length === 0) return null;
  const { probabilityAbove, known, knownAreaM2 } = mapped[0]!.map;
  const cellM2 =
    knownAreaM2 /
    Math.max(
      1,
      known.reduce((sum, one) => sum + one, 0),
    );
  let sum = 0;
  for (let cell = 0; cell < probabilityAbove!.length; cell++) {
    let likeliest = 0;
    for (const one of mapped) likeliest = Math.max(likeliest, one.map.probabilityAbove![cell] || 0);
    sum += likeliest * cellM2;
  }
  return sum;
}
