/** The upper rungs: clean rounds, points, sketches and surfaces from counts. */
import type { Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import { cleanRateBound, cleanShareBound } from '../statistics/intervals.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { answer } from './infestation-answer.ts';
import { FEW_POSITIVES, countingBound, quadratRange, surfaceRange } from './infested-area.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import type { DensityVariogram, FieldGrid, KrigedSurface } from './surface-methods.ts';
import { pointGround, sketchSurface, unknownSurface } from './surface-methods.ts';

export const SURFACE_FROM = 20;
const SKETCH_LABEL_BELOW = 50;
const STRONGLY_CLUMPED_BELOW_K = 0.3;

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
      `Zero found is not zero there: with 95 % confidence fewer than ${percent(share)} of such quadrats hold the weed, and its density is below ${rounded(perM2)} plants/m².`,
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

/** 20 places and more, but no spatial structure: the field mean and the share of quadrats joined with the counting bound. */
export function byFieldMean(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  variogram: DensityVariogram | null,
  notes: string[],
): Infestation {
  const counted = countingBound(
    density.positives,
    density.effortM2,
    density.dispersion?.k ?? null,
    input.thresholdPerM2,
  );
  const quadrats = quadratRange(density, input.thresholdPerM2) as Extract<Range, { central: number }>;
  const why = variogram?.noStructure ?? 'no variogram could be fitted';
  return answer(input, density, pointGround(field, density), {
    basis: 'points',
    method: `No spatial structure at this spacing: the mean of ${density.places} places holds for the field, and no surface is drawn.`,
    label: density.positives < FEW_POSITIVES ? 'few finds' : null,
    mean: density.meanPerM2,
    share: {
      low: Math.min(counted.low, quadrats.low),
      central: quadrats.central,
      high: Math.max(counted.high, quadrats.high),
    },
    shareOf: 'field',
    variogram,
    notes: [
      `No spatial structure at this spacing: ${why}.`,
      'The infested area comes from counting quadrats alone; its range is wide on purpose.',
      ...notes,
    ],
  });
}

export function bySurface(
  input: InfestationInput,
  density: ScoutingDensity,
  variogram: DensityVariogram,
  surface: KrigedSurface,
  notes: string[],
): Infestation {
  let [area, infested] = [0, 0];
  for (let cell = 0; cell < surface.known.length; cell++) {
    if (!surface.known[cell]) continue;
    area += input.cellAreaM2[cell]!;
    infested += input.cellAreaM2[cell]! * surface.probabilityAbove[cell]!;
  }
  const { places, positives, dispersion } = density;
  const share = area > 0 ? surfaceRange(infested / area, density, input.thresholdPerM2) : UNKNOWN_RANGE;
  const said = [
    "The range of the infested area is the error measured on simulated fields, not a model's; the method finds 0.55–0.84 of the truth, so the truth lies above the central value more often than below.",
  ];
  if (positives < FEW_POSITIVES && share.central !== null) {
    said.push(
      `Only ${positives} of ${places} quadrats had plants: somewhere between ${percent(share.low)} and ${percent(share.high)} of the known ground. More or larger quadrats would narrow this.`,
    );
  }
  const k = dispersion?.k ?? null;
  if (positives >= FEW_POSITIVES && k !== null && k < STRONGLY_CLUMPED_BELOW_K) {
    said.push(
      variogram.practicalRangeM < 4 * density.spacingM!
        ? 'Strips narrower than the distance between your quadrats cannot be drawn; the area may well be smaller than the lower figure.'
        : 'Counts jump from quadrat to quadrat: clumped plants, or strips and patches smaller than your spacing. Larger quadrats help more than more quadrats.',
    );
  }
  if (dispersion?.because) said.push(`Clumping cannot be told (${dispersion.because}); the wider error is used.`);
  const { meanSquaredZ } = variogram.crossValidation;
  if (meanSquaredZ < 0.7 || meanSquaredZ > 1.3) {
    said.push(
      `Left out one by one, the counts miss their predictions by ${rounded(Math.sqrt(meanSquaredZ))} of the stated error: the stated error of the map is not to be trusted.`,
    );
  }
  if (surface.heldCells > 0)
    said.push(
      `${surface.heldCells} cell${surface.heldCells === 1 ? ' was' : 's were'} held within what was counted (0 to the largest density).`,
    );
  if (surface.medianCells > 0)
    said.push(
      `In ${surface.medianCells} cell${surface.medianCells === 1 ? '' : 's'} the mean is not reliable; the median is shown.`,
    );
  const { heldCells: _held, medianCells: _median, ...cells } = surface;
  return answer(input, density, cells, {
    basis: 'surface',
    method: `A surface from ${places} places by kriging log(1 + plants/m²), the infested area by summing each cell's chance of being at or above the threshold.`,
    label: places < SKETCH_LABEL_BELOW ? 'sketch' : positives < FEW_POSITIVES ? 'few finds' : null,
    mean: density.meanPerM2,
    share,
    shareOf: 'known',
    variogram,
    notes: [...said, ...notes],
  });
}

function percent(share: number): string {
  return `${Number((100 * share).toPrecision(2))} %`;
}

function rounded(value: number): string {
  return String(Number(value.toPrecision(2)));
}
