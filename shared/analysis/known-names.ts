/** Crops and weeds that the science has no values for: told, and left out of a study, never fatal to it. */
import { CROPS, isCrop } from '../agronomy/crops.ts';
import { isSpecies, SPECIES } from '../agronomy/species.ts';
import type { Farm } from '../model/farm.ts';
import { type Problem, problem } from '../model/problem.ts';

export function withKnownNames(farm: Farm): { farm: Farm; problems: Problem[] } {
  const problems: Problem[] = [];
  const strangers = Object.keys(farm.thresholdPerM2).filter((one) => !isSpecies(one));
  for (const one of strangers) {
    problems.push(
      problem('error', 'species-unknown', `There are no values for the weed "${one}": it is left out.`, {
        where: { id: one },
        hint: `Known are ${SPECIES.map((species) => species.id).join(', ')}.`,
      }),
    );
  }
  const crops = new Set(
    farm.seasons.flatMap((season) => season.crops.map((one) => one.crop)).filter((one) => !isCrop(one)),
  );
  for (const one of crops) {
    problems.push(
      problem('error', 'crop-unknown', `There are no values for the crop "${one}": it counts as not stated.`, {
        where: { id: one },
        hint: `Known are ${CROPS.map((crop) => crop.id).join(', ')}.`,
      }),
    );
  }
  if (problems.length === 0) return { farm, problems };
  return {
    farm: {
      ...farm,
      thresholdPerM2: Object.fromEntries(Object.entries(farm.thresholdPerM2).filter(([one]) => isSpecies(one))),
      seasons: farm.seasons.map((season) => ({ ...season, crops: season.crops.filter((one) => isCrop(one.crop)) })),
    },
    problems,
  };
}
