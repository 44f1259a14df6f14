/**
 * From a file that was read to the edit that puts it into the document: fields from boundaries, a round from counts, ratings and
 * patches, a visit from a harvest log, crops and sprayings into their seasons. Nothing changes until the edit is applied.
 */
import { TASK_FIELDS } from '../import/task-data-fields.ts';
import type { Edit } from '../model/edit.ts';
import type { Farm, FarmFile } from '../model/farm.ts';
import { freeId } from '../model/free-id.ts';
import { done, type Outcome, problem, refused } from '../model/problem.ts';
import type { ColumnReading } from '../model/records.ts';
import { counted } from '../units/words.ts';
import { takeBoundaries } from './take-in-boundaries.ts';
import { takeTrack } from './take-in-track.ts';
import { takeNotes } from './take-in-notes.ts';
import { takePatches, takeRatings, takeScouting } from './take-in-round.ts';
import { takeLog } from './take-in-log.ts';
import { takeCrops, takeSprayings, takeWeather } from './take-in-season.ts';
import type { Context, IncomingFile, Taken } from './taking.ts';

export type { IncomingFile };

export interface TakenIn {
  readonly edit: Edit;
  readonly fileId: string;
  /** What came in, in words: "8 fields", "a round of 214 observations on 9 fields". */
  readonly summary: string;
}

export function takeIn(farm: Farm, incoming: IncomingFile): Outcome<TakenIn> {
  // The task file of a set is read twice: for its fields, and for its logs.
  const isFields = ({ importer }: { readonly importer: string }) => importer === TASK_FIELDS;
  const isOfTaskSet = isFields(incoming.read.reading);
  const known = farm.files.find((one) => one.sha256 === incoming.sha256 && isFields(one.reading) === isOfTaskSet);
  const isNotes = incoming.read.reading.importer === 'field-notes';
  // A picture that is here already is not named twice; parts of two shapefiles may be equal bytes (.prj): each has an id of its own, the attachment is one.
  const isNew = (sha256: string) => !farm.files.some((one) => one.sha256 === sha256);
  const isLog = incoming.read.records.kind === 'harvest log';
  const knownParts = farm.files.filter((one) => known?.parts?.includes(one.id));
  // Parts of a log are known by name: two headers of one set may be equal bytes.
  const isMissing = (part: IncomingFile['parts'][number]) =>
    isNotes ? isNew(part.sha256) : !knownParts.some((one) => one.name === part.name);
  const bringsMore = (isNotes || isLog) && incoming.parts.some(isMissing);
  const isKnown = () =>
    refused(
      problem(
        isOfTaskSet ? 'note' : 'warning',
        'file-known',
        `${incoming.name} is already in the farm as ${known!.name}.`,
        {
          where: { file: incoming.name },
        },
      ),
    );
  // The same notes or task data once more may bring what was left behind; a log may be of a field that was added since.
  if (known && !bringsMore && !isLog) return isKnown();
  const ids = new Set(farm.files.map((one) => one.id));
  const fileId = known?.id ?? freeId(`f-${incoming.sha256.slice(0, 12)}`, ids);
  ids.add(fileId);
  const parts = incoming.parts
    .filter((one) => (known ? isMissing(one) : !isNotes || isNew(one.sha256)))
    .map((part): FarmFile => {
      const id = freeId(`f-${part.sha256.slice(0, 12)}`, ids);
      ids.add(id);
      const reading = { importer: isNotes ? 'photo' : 'part', columns: {} };
      return { id, sha256: part.sha256, name: part.name, bytes: part.bytes, kind: isNotes ? 'photo' : 'part', reading };
    });
  const context: Context = { farm, incoming, fileId, parts, problems: [] };
  const taken = takeRecords(context) ?? (known && bringsMore && isLog ? moreParts(parts.length) : null);
  if (!taken)
    return known && isLog && context.problems.every((one) => one.level === 'note')
      ? isKnown()
      : { ok: false, problems: context.problems };
  const { reading } = incoming.read;
  const file: FarmFile = {
    id: fileId,
    sha256: incoming.sha256,
    name: incoming.name,
    bytes: incoming.bytes,
    kind: reading.takenFor,
    ...(parts.length === 0 ? {} : { parts: parts.map((one) => one.id) }),
    reading: {
      importer: reading.importer,
      ...(incoming.wishes.as === undefined ? {} : { as: incoming.wishes.as }),
      ...(incoming.wishes.crs === undefined ? {} : { crs: incoming.wishes.crs }),
      ...(incoming.wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: incoming.wishes.utcOffsetMinutes }),
      ...(incoming.wishes.rowSpacingM === undefined ? {} : { rowSpacingM: incoming.wishes.rowSpacingM }),
      ...(incoming.wishes.walkedWidthM === undefined ? {} : { walkedWidthM: incoming.wishes.walkedWidthM }),
      columns: columnsToKeep(incoming),
    },
  };
  const files = known
    ? [
        ...farm.files.map((one) =>
          one === known ? { ...known, parts: [...(known.parts ?? []), ...parts.map((part) => part.id)] } : one,
        ),
        ...parts,
      ]
    : [...farm.files, file, ...parts];
  const edit: Edit = {
    label: `Add ${taken.summary} from ${incoming.name}`,
    sets: [{ path: ['files'], value: files }, ...taken.sets],
  };
  return done({ edit, fileId, summary: taken.summary }, context.problems);
}

const moreParts = (parts: number): Taken => ({ summary: `${counted(parts, 'more file')} of the set`, sets: [] });

/** As read, with a person's wishes word for word ("station=IA0200", "-"), so that the file is read the same way again. */
function columnsToKeep({ read, wishes }: IncomingFile): FarmFile['reading']['columns'] {
  const columns: Record<string, ColumnReading> = { ...read.reading.columns };
  for (const [quantity, wish] of Object.entries(wishes.columns ?? {})) {
    const isLeftOut = wish === '' || wish === '-';
    const known = columns[quantity] ?? { because: isLeftOut ? 'left out by a person' : 'said by a person' };
    columns[quantity] = { ...known, column: isLeftOut ? '-' : wish, by: 'person' };
  }
  return columns;
}

function takeRecords(context: Context): Taken {
  const { records } = context.incoming.read;
  switch (records.kind) {
    case 'boundaries':
      return takeBoundaries(context, records);
    case 'drawn patches':
      return takePatches(context, records);
    case 'scouting':
      return records.notes ? takeNotes(context, records, records.notes) : takeScouting(context, records);
    case 'ratings':
      return takeRatings(context, records);
    case 'harvest log':
      return takeLog(context, records);
    case 'weather':
      return takeWeather(context, records);
    case 'crops':
      return takeCrops(context, records);
    case 'sprayings':
      return takeSprayings(context, records);
    case 'track':
      return takeTrack(context, records);
  }
}
