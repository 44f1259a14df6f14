/** The browser's private file system: a tree of its own for each site, seen by nobody else. */

export type Folder = FileSystemDirectoryHandle;

/** null where the browser has none, or refuses it (a private window, an address without https). */
export async function privateFiles(): Promise<Folder | null> {
  try {
    return (await navigator.storage?.getDirectory?.()) ?? null;
  } catch {
    return null;
  }
}

/** Folder of a farm, or one inside it; null where it is not there and not to be made. */
export async function farmFolder(
  root: Folder,
  farm: string,
  within: readonly string[] = [],
  make = false,
): Promise<Folder | null> {
  let folder = root;
  for (const name of ['farms', folderName(farm), ...within]) {
    const next = await orNull(folder.getDirectoryHandle(name, { create: make }));
    if (!next) return null;
    folder = next;
  }
  return folder;
}

export async function fileIn(folder: Folder, name: string): Promise<File | null> {
  const handle = await orNull(folder.getFileHandle(name));
  return handle && handle.getFile();
}

export async function namesIn(folder: Folder): Promise<string[]> {
  const names: string[] = [];
  for await (const name of folder.keys()) names.push(name);
  return names.sort();
}

/** Takes away a file or a whole folder; what is not there is no fault. */
export async function removeFrom(folder: Folder, name: string): Promise<void> {
  await orNull(folder.removeEntry(name, { recursive: true }));
}

export async function removeFarmFolder(root: Folder, farm: string): Promise<void> {
  const farms = await orNull(root.getDirectoryHandle('farms'));
  if (farms) await removeFrom(farms, folderName(farm));
}

/** Writes a whole file, in chunks. @throws where the storage is full; nothing of the file is left then */
export async function writeFile(folder: Folder, name: string, content: Blob): Promise<void> {
  const handle = await folder.getFileHandle(name, { create: true });
  const access = await handle.createSyncAccessHandle();
  try {
    access.truncate(0);
    for (let at = 0; at < content.size; at += CHUNK_BYTES) {
      const chunk = new Uint8Array(await content.slice(at, at + CHUNK_BYTES).arrayBuffer());
      // A short write is how some browsers say that the storage is full.
      if (access.write(chunk, { at }) < chunk.length) throw new DOMException('storage is full', 'QuotaExceededError');
    }
    access.flush();
    access.close();
  } catch (error) {
    access.close();
    await removeFrom(folder, name);
    throw error;
  }
}

const CHUNK_BYTES = 2 ** 22;

/** An id may be "." or "..", which are no names of folders. */
function folderName(farm: string): string {
  return farm.replace(/^\.+$/, (dots) => 'dot'.repeat(dots.length));
}

async function orNull<T>(wish: Promise<T>): Promise<T | null> {
  try {
    return await wish;
  } catch (error) {
    if (error instanceof DOMException && (error.name === 'NotFoundError' || error.name === 'TypeMismatchError'))
      return null;
    throw error;
  }
}
