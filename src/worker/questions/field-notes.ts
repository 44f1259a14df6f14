import { fieldNotesFile } from '../../../shared/hand-over/field-notes.ts';
import { findsOf } from '../../../shared/model/field-notes.ts';
import type { OpenFarm } from '../open-farm.ts';
import { whole } from './farm-file.ts';

/** What was marked in the field in a season, with its pictures, as one file. */
export function fieldNotesQuestion({ farm, attachments }: OpenFarm, ask: { readonly season: number }) {
  return fieldNotesFile(farm, findsOf(farm, ask.season), (sha256) => {
    const source = attachments.open(sha256, sha256);
    return source && whole(source.size, source.chunks());
  });
}
