/** What was marked in the field, as one small file: the notes alone, or zipped with their pictures. */
import { writeArchive } from '../import/archive.ts';
import type { Farm } from '../model/farm.ts';
import {
  FIELD_NOTES_FORMAT,
  FIELD_NOTES_VERSION,
  type FieldNotes,
  type Find,
  notedFind,
  type NotedFind,
} from '../model/field-notes.ts';
import { done, type Outcome, problem, type Problem, refused } from '../model/problem.ts';

export interface NotesFile {
  readonly name: string;
  readonly type: 'application/json' | 'application/zip';
  readonly bytes: Uint8Array;
}

/** @param bytesOf the bytes of a picture by the hash of its file; null where they are not there */
export function fieldNotesFile(
  farm: Farm,
  finds: readonly Find[],
  bytesOf: (sha256: string) => Uint8Array | null,
): Outcome<NotesFile> {
  if (finds.length === 0)
    return refused(problem('error', 'no-finds', 'Nothing was marked yet: there is nothing to send.'));
  const inTime = [...finds].sort((a, b) => (a.time < b.time ? -1 : a.time > b.time ? 1 : a.id < b.id ? -1 : 1));
  const problems: Problem[] = [];
  const pictures = new Map<string, { readonly name: string; readonly bytes: Uint8Array }>();
  const photoOf = (find: Find): NotedFind['photo'] => {
    const file = farm.files.find((one) => one.id === find.photo);
    if (!file) return undefined;
    const bytes = bytesOf(file.sha256);
    const picture = pictures.get(file.sha256) ?? (bytes && { name: `${find.id}${endingOf(file.name)}`, bytes });
    if (picture) pictures.set(file.sha256, picture);
    else
      problems.push(
        problem('warning', 'photo-missing', `The picture of the find of ${find.time} is not here any more.`),
      );
    return picture ? { name: picture.name, sha256: file.sha256 } : undefined;
  };
  const notes: FieldNotes = {
    format: FIELD_NOTES_FORMAT,
    version: FIELD_NOTES_VERSION,
    farm: { id: farm.id, name: farm.name },
    finds: inTime.map((find) => notedFind(find, photoOf(find))),
  };
  const stem = `${farm.id}-field-notes-${inTime.at(-1)!.time.replace(/[-:]/g, '').slice(0, 15)}`;
  const json = new TextEncoder().encode(`${JSON.stringify(notes, null, 1)}\n`);
  if (pictures.size === 0) return done({ name: `${stem}.json`, type: 'application/json', bytes: json }, problems);
  const bytes = writeArchive([{ name: `${stem}.json`, bytes: json }, ...pictures.values()]);
  return done({ name: `${stem}.zip`, type: 'application/zip', bytes }, problems);
}

function endingOf(name: string): string {
  return /\.[a-z0-9]{1,5}$/i.exec(name)?.[0].toLowerCase() ?? '';
}
