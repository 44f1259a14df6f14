/** Packs of results in the private file system: written through one open file, read back at once. */
import { readNow } from './blob-source.ts';
import type { PackFile } from './pack.ts';
import { fileIn, type Folder, namesIn, removeFrom } from './private-files.ts';

/** A pack that is being written. */
export interface OpenPack extends PackFile {
  /** Appends. @throws where the storage is full */
  write(bytes: Uint8Array<ArrayBuffer>): void;
  /** Closes it; nothing is appended any more. */
  seal(): Promise<PackFile>;
}

export interface PackFolder {
  list(): Promise<PackFile[]>;
  begin(name: string): Promise<OpenPack>;
  remove(name: string): Promise<void>;
}

export function packFolder(folder: Folder): PackFolder {
  return {
    async list() {
      const files = await Promise.all((await namesIn(folder)).map((name) => fileIn(folder, name)));
      return files.flatMap((file) => (file ? [sealed(file)] : []));
    },
    async begin(name) {
      const handle = await folder.getFileHandle(name, { create: true });
      const access = await handle.createSyncAccessHandle();
      let size = 0;
      return {
        name,
        get size() {
          return size;
        },
        read(from, to) {
          const bytes = new Uint8Array(to - from);
          return bytes.subarray(0, access.read(bytes, { at: from }));
        },
        write(bytes) {
          const written = access.write(bytes, { at: size });
          size += written;
          if (written < bytes.length) throw new DOMException('storage is full', 'QuotaExceededError');
        },
        async seal() {
          access.flush();
          access.close();
          return sealed(await handle.getFile());
        },
      };
    },
    // Another tab may still have it open: it is thrown away the next time.
    remove: (name) => removeFrom(folder, name).catch(() => undefined),
  };
}

function sealed(file: File): PackFile {
  return { name: file.name, size: file.size, read: (from, to) => readNow(file, from, to) };
}
