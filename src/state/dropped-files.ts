/** What was dropped, folders walked to the bottom. Entries must be asked for before the drop's event is over. */
import type { GivenFile } from '../worker/review/protocol.ts';

export function filesDropped(transfer: DataTransfer): Promise<GivenFile[]> {
  const entries = [...transfer.items].flatMap((item) => (item.kind === 'file' ? [item.webkitGetAsEntry()] : []));
  if (entries.some((one) => one === null)) return Promise.resolve(filesChosen(transfer.files));
  return filesIn(entries as FileSystemEntry[], '');
}

/** Files of an input; those of a chosen folder know their path. */
export function filesChosen(files: Iterable<File>): GivenFile[] {
  return [...files].map((blob) => {
    const path = blob.webkitRelativePath;
    return { folder: path.slice(0, path.lastIndexOf('/') + 1), name: blob.name, blob };
  });
}

async function filesIn(entries: readonly FileSystemEntry[], folder: string): Promise<GivenFile[]> {
  const files: GivenFile[] = [];
  for (const entry of [...entries].sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (entry.isFile) files.push({ folder, name: entry.name, blob: await fileOf(entry as FileSystemFileEntry) });
    else files.push(...(await filesIn(await listed(entry as FileSystemDirectoryEntry), `${folder}${entry.name}/`)));
  }
  return files;
}

function fileOf(entry: FileSystemFileEntry): Promise<File> {
  return new Promise((resolve, reject) => entry.file(resolve, reject));
}

/** A folder gives its entries in portions, an empty one last. */
async function listed(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader();
  const entries: FileSystemEntry[] = [];
  for (;;) {
    const portion = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject));
    if (portion.length === 0) return entries;
    entries.push(...portion);
  }
}
