/** The upper rungs: clean rounds, points, sketches and surfaces from counts. */
import type { Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import { cleanRateBound, cleanShareBound } from '../statistics/intervals.ts';
import { roughPercent, twoFigures } from '../units/rough.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { answer } from './infestation-answer.ts';
import { FEW_POSITIVES, countingBound, quadratRange } from './infested-area.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import type { DensityVariogram, FieldGrid } from './surface-methods.ts';
import { pointGround, sketchSurface, unknownSurface } from './surface-methods.ts';

export const SURFACE_FROM = 20;

export function byCleanRound(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  notes: string[],
): Infestation {
  const share = cleanShareBound(density.places);
  const perM2 = cleanRateBound(density.effortSumM2);
  return answer(input, density, unknownSurface(field), {
    basis: 'clean round',
    method: `${density.places} clean quadrat${density.places === 1 ? '' : 's'}: a bound on what may have been missed, no map.`,
    mean: { low: 0, central: 0, high: perM2 },
    share: { low: 0, central: 0, high: share },
    shareOf: 'field',
    notes: [
      `Zero found is not zero there: with 95% confidence fewer than ${roughPercent(share)} of such quadrats hold the weed, and its density is below ${rounded(perM2)} plants/m².`,
      ...notes,
    ],
  });
}

export function byPoints(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  notes: string[],
): Infestation {
  return answer(input, density, pointGround(field, density), {
    basis: 'points',
    method: `${density.places} counted place${density.places === 1 ? '' : 's'}: each holds for the ground within 15 m (or half the spacing), and their mean for the field.`,
    mean: density.meanPerM2,
    share: UNKNOWN_RANGE,
    shareOf: 'known',
    notes: ['Too few places for a map or an infested area: at least 8 make a sketch, 20 a surface.', ...notes],
  });
}

export function bySketch(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  notes: string[],
): Infestation {
  return answer(input, density, sketchSurface(field, density), {
    basis: 'sketch',
    method: `A sketch from ${density.places} places by inverse distance; the infested area is the share of quadrats at or above the threshold.`,
    label: 'sketch',
    mean: density.meanPerM2,
    share: quadratRange(density, input.thresholdPerM2),
    shareOf: 'known',
    notes: [
      density.places < SURFACE_FROM
        ? 'Fewer than 20 places: how far patches reach cannot be told, and the map only hints at where they are.'
        : `Only ${density.positives} of ${density.places} quadrats had plants: how far patches reach cannot be told, and the map only hints at where they are.`,
      'The share of quadrats tends to miss infested ground: a quadrat on it may be empty.',
      ...notes,
    ],
  });
}

/**
 * 20 places and more, but no map: the field mean and the share of quadrats joined with the counting bound.
 * @param why null where the counts tell of no ground but their own
 */
export function byFieldMean(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  variogram: DensityVariogram | null,
  why: string | null,
  notes: string[],
): Infestation {
  const counted = countingBound(
    density.positives,
    density.effortM2,
    density.dispersion?.k ?? null,
    input.thresholdPerM2,
  );
  const quadrats = quadratRange(density, input.thresholdPerM2) as Extract<Range, { central: number }>;
  const because = why ?? variogram?.noStructure ?? 'a count tells of no ground but its own';
  const said = why === null ? `No spatial structure at this spacing: ${because}.` : `No map: ${because}.`;
  return answer(input, density, pointGround(field, density), {
    basis: 'points',
    method: `The mean of ${density.places} places holds for the field, and no surface is drawn: ${because}.`,
    label: density.positives < FEW_POSITIVES ? 'few finds' : null,
    mean: density.meanPerM2,
    share: {
      low: Math.min(counted.low, quadrats.low),
      central: quadrats.central,
      high: Math.max(counted.high, quadrats.high),
    },
    shareOf: 'field',
    variogram,
    notes: [said, 'The infested area comes from counting quadrats alone; its range is wide on purpose.', ...notes],
  });
}

function rounded(value: number): string {
  return String(twoFigures(value));
}
