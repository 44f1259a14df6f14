/** A farm brought to the worker's desk: from a farm file, or as it is kept on this machine. */
import type { Farm } from '../../shared/model/farm.ts';
import { problem, type Problem } from '../../shared/model/problem.ts';
import type { FarmFileInMemory } from './farm-file.ts';
import { Attachments } from './kept/attachments.ts';
import { packFolder } from './kept/pack-folder.ts';
import { farmFolder, privateFiles } from './kept/private-files.ts';
import { ResultPacks } from './kept/result-packs.ts';
import { memoryShelf, type Shelf, shelfOf } from './kept/shelf.ts';
import { OpenFarm } from './open-farm.ts';
import type { Kept } from './protocol.ts';

/** Beside it the study needs room of its own. */
const MOST_IN_MEMORY_BYTES = 256 * 2 ** 20;

/** A farm as it is kept: what of its attachments is missing is told. */
export async function openKept(farm: Farm, keeps: boolean): Promise<{ open: OpenFarm; problems: Problem[] }> {
  const attachments = new Attachments(await shelfOf(farm.id));
  const problems = await attachments.find(farm.files);
  return { open: new OpenFarm(farm, attachments, await resultsOf(farm.id, keeps)), problems };
}

/** A farm from a file; its attachments are taken out afterwards, by `takeOut`. */
export async function openNew(farm: Farm, keeps: boolean): Promise<OpenFarm> {
  const shelf = keeps ? await shelfOf(farm.id) : memoryShelf();
  return new OpenFarm(farm, new Attachments(shelf), await resultsOf(farm.id, keeps));
}

/**
 * Takes the attachments out of the farm file, so that they can be studied. As much as fits is held in memory, since writing it and
 * reading it back would come before the first ranking; the rest is kept at once, one after the other.
 * @returns keeps what is held
 */
export async function takeOut(
  open: OpenFarm,
  file: FarmFileInMemory,
  mostInMemoryBytes = MOST_IN_MEMORY_BYTES,
): Promise<() => Promise<Kept>> {
  const { attachments, farm } = open;
  const problems: Problem[] = [];
  for (const one of farm.files) {
    const bytes = await file.contentOf(one);
    if (!bytes) problems.push(notWhole(one.name));
    else if (attachments.bytesInMemory + bytes.length <= mostInMemoryBytes) attachments.hold(one.sha256, bytes);
    else problems.push(...(await attachments.add(one.sha256, one.name, new Blob([bytes]))));
  }
  return async () => {
    for (const { sha256, name } of farm.files) problems.push(...(await attachments.keep(sha256, name)));
    return keptIn(open, problems);
  };
}

export function keptIn({ attachments, farm }: OpenFarm, problems: readonly Problem[]): Kept {
  const { kind } = attachments.shelf;
  return { farm: farm.id, where: kind, problems: [...problems, ...(farm.files.length > 0 ? toldOf(kind) : [])] };
}

function toldOf(kind: Shelf['kind']): Problem[] {
  if (kind === 'private files') return [];
  const text =
    kind === 'database'
      ? 'This browser has no private file system here: the files that you gave are kept in its database instead, and results are computed again each time the farm is opened.'
      : 'The files that you gave are not kept in this tab.';
  return [
    problem('note', 'kept-elsewhere', text, { hint: 'Save a farm file to have everything in one file of your own.' }),
  ];
}

function notWhole(name: string): Problem {
  return problem('warning', 'attachment-missing', `${name} is missing in the farm file, or its content has changed.`, {
    where: { file: name },
    hint: 'What rests on it is left out. Ask for a complete farm file.',
  });
}

async function resultsOf(farm: string, keeps: boolean): Promise<ResultPacks> {
  const root = await privateFiles();
  const folder = root && (await farmFolder(root, farm, ['derived'], keeps));
  return folder ? ResultPacks.open(packFolder(folder), keeps) : ResultPacks.inMemory();
}
