/** Where the attachments of one farm lie: in the private file system, else in the database, else nowhere but in memory. */
import { type Database, keysOf, openDatabase } from './database.ts';
import { farmFolder, fileIn, type Folder, namesIn, privateFiles, removeFrom, writeFile } from './private-files.ts';

export interface Shelf {
  readonly kind: 'private files' | 'database' | 'memory';
  /** Names (SHA-256) of what lies there. */
  list(): Promise<string[]>;
  take(sha256: string): Promise<Blob | null>;
  /** @returns the blob as it lies there. Rejects where the storage is full or refused. */
  put(sha256: string, content: Blob): Promise<Blob>;
  drop(sha256: string): Promise<void>;
}

export async function shelfOf(farm: string): Promise<Shelf> {
  const root = await privateFiles();
  if (root) return fileShelf((await farmFolder(root, farm, ['attachments'], true))!);
  try {
    return databaseShelf(await openDatabase(), farm);
  } catch {
    return memoryShelf();
  }
}

function fileShelf(folder: Folder): Shelf {
  return {
    kind: 'private files',
    list: () => namesIn(folder),
    take: (sha256) => fileIn(folder, sha256),
    async put(sha256, content) {
      const there = await fileIn(folder, sha256);
      // The name is the hash of the content: what lies there in full length is the same.
      if (there?.size !== content.size) await writeFile(folder, sha256, content);
      return (await fileIn(folder, sha256))!;
    },
    drop: (sha256) => removeFrom(folder, sha256),
  };
}

function databaseShelf(database: Database, farm: string): Shelf {
  return {
    kind: 'database',
    list: async () => (await database.getAllKeys('attachments', keysOf(farm))).map(([, sha256]) => sha256),
    take: async (sha256) => (await database.get('attachments', [farm, sha256])) ?? null,
    async put(sha256, content) {
      await database.put('attachments', content, [farm, sha256]);
      return content;
    },
    drop: (sha256) => database.delete('attachments', [farm, sha256]),
  };
}

export function memoryShelf(): Shelf {
  const held = new Map<string, Blob>();
  return {
    kind: 'memory',
    list: () => Promise.resolve([...held.keys()]),
    take: (sha256) => Promise.resolve(held.get(sha256) ?? null),
    put: (sha256, content) => Promise.resolve((held.set(sha256, content), content)),
    drop: (sha256) => Promise.resolve(void held.delete(sha256)),
  };
}
