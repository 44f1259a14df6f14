/** The lower rungs: nobody looked, a rating, drawn patches. Densities are assumed, never counted. */
import { UNKNOWN_RANGE } from '../model/range.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { answer } from './infestation-answer.ts';
import type { ThreeNumbers } from './rating-densities.ts';
import { RATING_DENSITIES, RATING_NOTE } from './rating-densities.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import type { FieldGrid } from './surface-methods.ts';
import { pointGround, unknownSurface } from './surface-methods.ts';

export function byNothing(input: InfestationInput, field: FieldGrid, density: ScoutingDensity): Infestation {
  return answer(input, density, unknownSurface(field), {
    basis: 'nothing',
    method: 'Not scouted: nobody has looked for this weed here in this round.',
    mean: UNKNOWN_RANGE,
    share: UNKNOWN_RANGE,
    shareOf: 'field',
    notes: ['Not looked at is not the same as clean.'],
  });
}

export function byRating(input: InfestationInput, field: FieldGrid, density: ScoutingDensity): Infestation {
  const rating = RATING_DENSITIES[input.rating!]!;
  const over = (end: keyof ThreeNumbers): number => rating.areaFraction[end] * rating.densityPerM2[end];
  const infested = (end: keyof ThreeNumbers): number =>
    rating.densityPerM2[end] >= input.thresholdPerM2 ? rating.areaFraction[end] : 0;
  return answer(input, density, unknownSurface(field), {
    basis: 'rating',
    method: `Rated "${input.rating!}" by a person: assumed densities stand behind the word, no counts.`,
    mean: { low: over('low'), central: over('central'), high: over('high') },
    share: { low: infested('low'), central: infested('central'), high: infested('high') },
    shareOf: 'field',
    notes: [RATING_NOTE],
  });
}

/**
 * Drawn patches hold their class's density, the highest where they overlap; where fewer than 8 places were counted, the
 * ground about each takes its count. Outside the patches the field counts as "none seen" if it was rated, else it is unknown.
 */
export function byPatches(input: InfestationInput, field: FieldGrid, density: ScoutingDensity): Infestation {
  const surface = unknownSurface(field);
  const size = surface.known.length;
  const low = new Float64Array(size).fill(NaN);
  const high = new Float64Array(size).fill(NaN);
  const set = (cell: number, numbers: ThreeNumbers): void => {
    [low[cell], surface.densityPerM2[cell], high[cell]] = [numbers.low, numbers.central, numbers.high];
    surface.known[cell] = 1;
  };
  const looked = input.rating !== null && input.rating !== 'not looked';
  const seenNone = RATING_DENSITIES['none seen']!.densityPerM2;
  for (let cell = 0; cell < size; cell++) {
    if (!field.inside[cell]) continue;
    if (looked) set(cell, seenNone);
    for (const patch of input.patches) {
      const inPatch = patch.cells[cell] === 1;
      if (inPatch && !(surface.densityPerM2[cell]! > patch.densityPerM2.central)) set(cell, patch.densityPerM2);
    }
  }
  if (density.positives > 0) {
    const counted = pointGround(field, density);
    counted.known.forEach((known, cell) => {
      const d = counted.densityPerM2[cell]!;
      if (known && d > 0) set(cell, { low: d, central: d, high: d });
    });
  }
  const sums = { low: 0, central: 0, high: 0, area: 0, infestedLow: 0, infested: 0, infestedHigh: 0 };
  for (let cell = 0; cell < size; cell++) {
    if (!surface.known[cell]) continue;
    const area = input.cellAreaM2[cell]!;
    sums.area += area;
    sums.low += low[cell]! * area;
    sums.central += surface.densityPerM2[cell]! * area;
    sums.high += high[cell]! * area;
    sums.infestedLow += low[cell]! >= input.thresholdPerM2 ? area : 0;
    sums.infested += surface.densityPerM2[cell]! >= input.thresholdPerM2 ? area : 0;
    sums.infestedHigh += high[cell]! >= input.thresholdPerM2 ? area : 0;
  }
  const per = (sum: number): number => sum / sums.area;
  const empty = sums.area === 0;
  const notes = [...density.notes, RATING_NOTE];
  notes.push(
    looked
      ? 'Outside the drawn patches the field was looked at and counts as "none seen".'
      : 'Outside the drawn patches nothing is known: no rating says that the rest was looked at. The mean is of the known ground.',
  );
  if (density.places > 0)
    notes.push(
      `${density.places} counted place${density.places === 1 ? '' : 's'}: ${density.positives} with plants, which replace${density.positives === 1 ? 's' : ''} the assumed density close by.`,
    );
  return answer(input, density, surface, {
    basis: 'drawn patches',
    method: 'Drawn by a person: assumed densities stand behind the class of each patch.',
    mean: empty ? UNKNOWN_RANGE : { low: per(sums.low), central: per(sums.central), high: per(sums.high) },
    share: empty
      ? UNKNOWN_RANGE
      : { low: per(sums.infestedLow), central: per(sums.infested), high: per(sums.infestedHigh) },
    shareOf: 'known',
    notes,
  });
}
