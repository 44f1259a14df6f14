import type { ReadFile } from '../../../shared/import/importer.ts';
import type { FileRating } from '../../../shared/model/edits/ratings.ts';
import { fieldByName, roundsOf } from '../../../shared/model/lookups.ts';
import type { OpenFarm } from '../open-farm.ts';

/** The words for fields that came in files, round by round: those that were typed stand in the document itself. */
export function ratingsQuestion(open: OpenFarm, ask: { readonly season: number }): readonly FileRating[] {
  const { farm } = open;
  const isRatings = (id: string) => farm.files.some((one) => one.id === id && one.kind === 'ratings');
  return roundsOf(farm, ask.season).flatMap((round) =>
    round.files.filter(isRatings).flatMap((file) => {
      const read = open.outcome<ReadFile>('records', { file });
      if (read?.records.kind !== 'ratings') return [];
      return read.records.ratings.flatMap(({ fieldName, species, rating }): FileRating[] => {
        const field = fieldByName(farm, fieldName);
        return field ? [{ round: round.id, field: field.id, species, rating }] : [];
      });
    }),
  );
}
