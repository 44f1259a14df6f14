/** The browser's database: documents of farms, their edits, and attachments where there is no private file system. */
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { Edit } from '../../../shared/model/edit.ts';

/** A farm that is kept on this machine, as a list of farms needs it. */
export interface KeptFarm {
  readonly id: string;
  readonly name: string;
  /** Milliseconds since 1970. */
  readonly savedAt: number;
  readonly fields: number;
  /** Of the files that a person gave. */
  readonly bytes: number;
  /** Numbers of the edits that undo and redo would apply, the next one last. */
  readonly undo: readonly number[];
  readonly redo: readonly number[];
}

interface Stores extends DBSchema {
  farms: { key: string; value: KeptFarm };
  /** farm.json as text, by the farm's id. */
  documents: { key: string; value: string };
  edits: { key: [farm: string, number: number]; value: Edit };
  attachments: { key: [farm: string, sha256: string]; value: Blob };
}
export type Database = IDBPDatabase<Stores>;

const NAME = 'seedfall';
const VERSION = 1;

let opened: Promise<Database> | null = null;

/** One connection for all. Rejects where the browser keeps nothing: asked again, it is tried again. */
export function openDatabase(): Promise<Database> {
  opened ??= openDB<Stores>(NAME, VERSION, {
    upgrade(database) {
      for (const store of ['farms', 'documents', 'edits', 'attachments'] as const) {
        if (store === 'farms') database.createObjectStore(store, { keyPath: 'id' });
        else database.createObjectStore(store);
      }
    },
    terminated: () => (opened = null),
    // A newer page in another tab wants the database in its own form.
    blocking: (_from, _to, event) => {
      (event.target as IDBDatabase).close();
      opened = null;
    },
  }).catch((error: unknown) => {
    opened = null;
    throw error;
  });
  return opened;
}

/** Every key of one farm, in a store whose keys begin with the farm's id. */
export function keysOf(farm: string): IDBKeyRange {
  return IDBKeyRange.bound([farm], [farm, []]);
}
