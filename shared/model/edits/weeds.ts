/** The weeds that the farm works on, and from which density ground counts as infested. */
import type { Edit } from '../edit.ts';
import type { Farm } from '../farm.ts';
import type { Named } from './named.ts';

/** @param perM2 plants/m², above 0 */
export function setThreshold(farm: Farm, species: Named, perM2: number): Edit {
  const known = farm.thresholdPerM2[species.id] !== undefined;
  return {
    label: known ? `Threshold of ${species.name}` : `Look for ${species.name}`,
    sets: [{ path: ['thresholdPerM2'], value: { ...farm.thresholdPerM2, [species.id]: perM2 } }],
  };
}

/** The weed is no longer looked at; what was recorded of it stays. */
export function dropSpecies(farm: Farm, species: Named): Edit {
  const thresholds = { ...farm.thresholdPerM2 };
  delete thresholds[species.id];
  return { label: `Leave ${species.name} out`, sets: [{ path: ['thresholdPerM2'], value: thresholds }] };
}
