/** What is said beside an infested area of the latent count model. @source methods-spatial §8, last table */
import { FEW_POSITIVES } from './infested-area.ts';
import type { InfestedRange } from './infested-range.ts';
import { roughPercent } from '../units/rough.ts';

/** One sentence each, the one on the range first. */
export function latentNotes(
  { saying, positives, quadrats, knownAreaM2, range90M2 }: InfestedRange,
  followsPath: boolean,
): string[] {
  switch (saying) {
    case 'few finds':
      return [
        `Only ${positives} of ${quadrats} quadrats had plants: somewhere between ${roughPercent(range90M2.low / knownAreaM2)} and ${roughPercent(range90M2.high / knownAreaM2)} of the known ground. More or larger quadrats would narrow this.`,
      ];
    case 'strips':
      return [
        ...(followsPath
          ? ['Plants stand in line with the combine’s passes: the map lets likeness reach farther along them.']
          : []),
        'Strips narrower than the distance between your quadrats cannot be drawn; the area may well be smaller than the lower figure.',
      ];
    case 'clumped':
      return [
        RANGE_IS,
        'Counts jump from quadrat to quadrat: clumped plants, or strips and patches smaller than your spacing. Larger quadrats help more than more quadrats.',
      ];
    default:
      return [RANGE_IS];
  }
}

const RANGE_IS = `In simulated fields with ${FEW_POSITIVES} finds or more the true area lay within such a range 93 to 98 times in 100.`;
