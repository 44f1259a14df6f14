/** Per field, season and species: where one more stop would settle most, best first. Asked for by a place, never by a study. */
import { RATING_DENSITIES } from '../../agronomy/rating-densities.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../../model/farm-words.ts';
import { done } from '../../model/problem.ts';
import type { CountedPlaces } from '../../statistics/latent/places.ts';
import { fieldCells } from '../../scouting/field-cells.ts';
import { logDensity, WORKING_MODEL } from '../../scouting/log-density.ts';
import { nextStops } from '../../scouting/next-stops.ts';
import { countSpread, type CountSpread } from '../../scouting/count-spread.ts';
import { priorMean } from '../../scouting/prior-mean.ts';
import { spreadOut } from '../../scouting/spread-out.ts';
import { FIRST_LOOK_STOPS } from '../../scouting/stop-plan.ts';
import { quantile } from '../../statistics/quantile.ts';
import { defineStep } from '../define-step.ts';
import type { WeedEvidence } from './evidence.ts';
import type { FieldGround } from './field.ts';

export interface FieldNextStops {
  /** Best first, then those of a first look (settle 0); empty where no further stop would change a decision. */
  readonly stops: readonly { readonly xM: number; readonly yM: number; readonly settlesM2: number }[];
  /** Ground that each stop is taken to look at, m²: the usual of the round, else one square meter. */
  readonly effortM2: number;
  /** Places that were counted, and whether anybody looked. */
  readonly places: number;
  readonly isLooked: boolean;
  /** What a wanted precision of the mean hangs on; null where no plant was counted. */
  readonly spread: CountSpread | null;
}

interface Settings {
  readonly thresholdPerM2: number;
}

/** More are never worth the walk in one round. */
const MOST_STOPS = 20;
/** Cost of treating over the loss avoided where neither is known (methods-spatial §10). */
const COST_OVER_LOSS = 0.5;
/** Common practice for sparse escapes, no source. */
const USUAL_EFFORT_M2 = 1;

export const nextStopsStep = defineStep<Settings, FieldNextStops>({
  id: 'next-stops',
  title: 'Where to look next',
  version: 2,
  per: ['field', 'season', 'species'],
  key: 'inputs',
  settings: (farm, scope) => ({
    thresholdPerM2: farm.thresholdPerM2[scope.species!] ?? DEFAULT_THRESHOLD_PER_M2,
  }),
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    evidence: { step: 'evidence', scope },
  }),
  *run({ settings, needs }) {
    const ground = needs['field'] as FieldGround;
    const { seen } = needs['evidence'] as WeedEvidence;
    const places = placesOf(seen);
    const effortM2 = places.count.length > 0 ? quantile(places.effortM2, 0.5) : USUAL_EFFORT_M2;
    const cells = fieldCells(ground);
    const rating = seen?.rating ? RATING_DENSITIES[seen.rating] : null;
    const known = logDensity(places, cells, priorMean(places, rating));
    const found = yield* nextStops(known, {
      thresholdPerM2: settings.thresholdPerM2,
      costOverLoss: COST_OVER_LOSS,
      effortM2,
      k: WORKING_MODEL.k,
      candidates: cells.candidates,
      apartM: Math.min(WORKING_MODEL.rangeM / 2, Math.sqrt(ground.areaM2) / 4),
      most: MOST_STOPS,
    });
    const isLooked = seen !== null;
    // Handbooks ask for some stops far apart on new ground, whatever a model expects to gain by them.
    const more = isLooked
      ? []
      : spreadOut(
          cells,
          found.map((one) => one.cell),
          FIRST_LOOK_STOPS,
        );
    const all = [...found, ...more.map((cell) => ({ cell, settlesM2: 0 }))];
    return done({
      stops: all.map(({ cell, settlesM2 }) => ({ xM: cells.xM[cell]!, yM: cells.yM[cell]!, settlesM2 })),
      effortM2,
      places: places.count.length,
      isLooked,
      spread: countSpread(seen?.places ?? []),
    });
  },
});

function placesOf(seen: WeedEvidence['seen']): CountedPlaces {
  const places = seen?.places ?? [];
  const column = (of: (one: (typeof places)[number]) => number) => Float64Array.from(places, of);
  return {
    xM: column((one) => one.xM),
    yM: column((one) => one.yM),
    count: column((one) => one.count),
    effortM2: column((one) => one.effortM2),
  };
}
