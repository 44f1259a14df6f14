/** Per field, season and species: where the weed is and how sure, from the best evidence of the season. */
import { type Infestation, type InfestationInput, mapInfestation } from '../../agronomy/infestation.ts';
import type { LatentSource } from '../../agronomy/latent-infestation.ts';
import { PATCH_DENSITIES, RATING_DENSITIES, type ThreeNumbers } from '../../agronomy/rating-densities.ts';
import { maskInside } from '../../geometry/grid.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../../model/farm-words.ts';
import { done } from '../../model/problem.ts';
import { type Case, CASES } from '../../model/range.ts';
import { defineStep } from '../define-step.ts';
import type { Ask } from '../step.ts';
import { type RoundDays, setAsideInWords, type WeedEvidence } from './evidence.ts';
import type { FieldGround } from './field.ts';
import { askDirection, chainNeeds, directionNeed, type LatentChain } from './latent-chain.ts';

export interface FieldInfestation {
  readonly species: string;
  /** The round that the answer rests on; null where nobody looked this season. */
  readonly round: RoundDays | null;
  /** Rounds that came after the field was cut: nothing here rests on them. */
  readonly afterHarvest: readonly RoundDays[];
  readonly map: Infestation;
  /**
   * Plants/m² per cell and case, for sums over the field: unknown ground is at none in the mild case and at the round's mean in
   * the others. null on a rating: `strata` then says share of the field and density there.
   */
  readonly densityPerM2: Readonly<Record<Case, Float64Array>> | null;
  readonly strata: { readonly areaFraction: ThreeNumbers; readonly densityPerM2: ThreeNumbers } | null;
}

interface Settings {
  readonly species: string;
  readonly thresholdPerM2: number;
}

export const infestationStep = defineStep<Settings, FieldInfestation>({
  id: 'infestation',
  title: 'Infestation',
  version: 6,
  per: ['field', 'season', 'species'],
  key: 'inputs',
  settings(farm, scope) {
    return {
      species: scope.species!,
      thresholdPerM2: farm.thresholdPerM2[scope.species!] ?? DEFAULT_THRESHOLD_PER_M2,
    };
  },
  needs: (_farm, scope) => ({
    field: { step: 'field', scope: { field: scope.field! } },
    evidence: { step: 'evidence', scope },
    direction: directionNeed(scope),
    ...chainNeeds(scope),
  }),
  lazy: ['direction', 'chain0', 'chain1'],
  *run({ settings, needs }) {
    const ground = needs['field'] as FieldGround;
    const { round, seen, afterHarvest } = needs['evidence'] as WeedEvidence;
    const given = infestationInput(ground, seen, settings.thresholdPerM2);
    const mapped = yield* mapInfestation(given, sourceOf(needs));
    const map = { ...mapped, notes: [...mapped.notes, ...afterHarvest.map(setAsideInWords)] };
    const onRating = map.basis === 'rating' ? RATING_DENSITIES[seen!.rating!] : null;
    return done({
      species: settings.species,
      round,
      afterHarvest,
      map,
      strata: onRating,
      densityPerM2: map.basis === 'nothing' || onRating ? null : densities(ground, map, given.patches),
    });
  },
});

/** @param seen of the round that the answer rests on */
export function infestationInput(
  ground: FieldGround,
  seen: WeedEvidence['seen'],
  thresholdPerM2: number,
): InfestationInput {
  const { grid, inside, cellAreaM2, areaM2 } = ground;
  const patches = (seen?.patches ?? []).map((patch) => ({
    cells: maskInside(grid, patch.area),
    densityPerM2: typeof patch.density === 'string' ? PATCH_DENSITIES[patch.density] : level(patch.density.perM2),
  }));
  const places = seen?.places ?? [];
  return { grid, inside, cellAreaM2, areaM2, places, rating: seen?.rating ?? null, patches, thresholdPerM2 };
}

/** Without chains to ask for, a quick look. */
function sourceOf(needs: Readonly<Record<string, unknown>>): LatentSource | 'quick look' {
  const chains = [needs['chain0'], needs['chain1']] as (Ask<LatentChain> | undefined)[];
  if (!chains[0]) return 'quick look';
  return { chain: (chain) => chains[chain]!(), direction: () => askDirection(needs) };
}

function level(value: number): ThreeNumbers {
  return { low: value, central: value, high: value };
}

const END: Readonly<Record<Case, keyof ThreeNumbers>> = { mild: 'low', central: 'central', harsh: 'high' };

function densities(
  ground: FieldGround,
  map: Infestation,
  patches: readonly { cells: Uint8Array; densityPerM2: ThreeNumbers }[],
): Record<Case, Float64Array> {
  const size = ground.grid.columns * ground.grid.rows;
  const mean = map.meanDensityPerM2;
  const make = (which: Case): Float64Array => {
    const out = new Float64Array(size);
    const fill = which === 'mild' ? 0 : (mean[END[which]] ?? 0);
    const factor = which === 'mild' ? map.lowFactor : which === 'harsh' ? map.highFactor : 1;
    const whole = map.basis === 'points' || map.basis === 'clean round' ? (mean[END[which]] ?? 0) : null;
    const { inside } = ground;
    for (let cell = 0; cell < size; cell++) {
      if (inside[cell] !== 1) continue;
      if (map.basis === 'drawn patches') {
        for (const patch of patches)
          if (patch.cells[cell] === 1) out[cell] = Math.max(out[cell]!, patch.densityPerM2[END[which]]);
      } else if (whole !== null) out[cell] = whole;
      else {
        const central = map.densityPerM2[cell]!;
        out[cell] = central === central ? central * factor : fill;
      }
    }
    return out;
  };
  return Object.fromEntries(CASES.map((which) => [which, make(which)])) as Record<Case, Float64Array>;
}
