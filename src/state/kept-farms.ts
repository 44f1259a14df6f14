/** Farms that are kept on this machine: documents with their undo history, in the browser's database. */
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Outcome } from '../../shared/model/problem.ts';
import { type Database, type KeptFarm, keysOf, openDatabase } from '../worker/kept/database.ts';
import { privateFiles, removeFarmFolder } from '../worker/kept/private-files.ts';
import type { History } from './document.svelte.ts';

/** Reading holds a document to its schema; loaded when it is first needed, so that the page opens light. */
const farmText = () => import('../../shared/model/farm-text.ts');

export type { KeptFarm } from '../worker/kept/database.ts';

export interface KeptDocument {
  readonly farm: Outcome<Farm>;
  readonly savedAt: number;
  readonly history: History;
}

/** Every method rejects where the browser keeps nothing, or no more. */
export class KeptFarms {
  /** Edits never change: each is written once, under a number of its own. */
  private readonly numbers = new WeakMap<Edit, number>();
  private last = 0;

  constructor(private readonly database: () => Promise<Database> = openDatabase) {}

  /** The one that was saved last comes first. */
  async list(): Promise<KeptFarm[]> {
    const farms = await (await this.database()).getAll('farms');
    return farms.sort((a, b) => b.savedAt - a.savedAt);
  }

  /** null where no farm of that id is here. */
  async read(id: string): Promise<KeptDocument | null> {
    const reading = (await this.database()).transaction(['farms', 'documents', 'edits']);
    const [kept, text, numbers, edits] = await Promise.all([
      reading.objectStore('farms').get(id),
      reading.objectStore('documents').get(id),
      reading.objectStore('edits').getAllKeys(keysOf(id)),
      reading.objectStore('edits').getAll(keysOf(id)),
    ]);
    if (!kept || text === undefined) return null;
    const { readFarmText } = await farmText();
    const byNumber = new Map(numbers.map(([, number], index) => [number, edits[index]!]));
    for (const [number, edit] of byNumber) this.numbers.set(edit, number);
    return {
      farm: readFarmText(text, kept.name),
      savedAt: kept.savedAt,
      history: { undo: unbroken(kept.undo, byNumber), redo: unbroken(kept.redo, byNumber) },
    };
  }

  /** All in one go: after a failure everything is as it was before. */
  async write(farm: Farm, history: History, now: number): Promise<void> {
    const text = (await farmText()).writeFarmText(farm);
    const writing = (await this.database()).transaction(['farms', 'documents', 'edits'], 'readwrite', {
      durability: 'relaxed',
    });
    const edits = writing.objectStore('edits');
    const there = new Set((await edits.getAllKeys(keysOf(farm.id))).map(([, number]) => number));
    this.last = Math.max(this.last, ...there);
    const wanted = [...history.undo, ...history.redo];
    const numbers = wanted.map((edit) => this.numberOf(edit));
    const gone = [...there].filter((number) => !numbers.includes(number));
    const kept: KeptFarm = {
      id: farm.id,
      name: farm.name,
      savedAt: now,
      fields: farm.fields.length,
      bytes: farm.files.reduce((sum, file) => sum + file.bytes, 0),
      undo: history.undo.map((edit) => this.numberOf(edit)),
      redo: history.redo.map((edit) => this.numberOf(edit)),
    };
    await Promise.all([
      ...wanted.flatMap((edit, n) => (there.has(numbers[n]!) ? [] : [edits.put(edit, [farm.id, numbers[n]!])])),
      ...gone.map((number) => edits.delete([farm.id, number])),
      writing.objectStore('documents').put(text, farm.id),
      writing.objectStore('farms').put(kept),
      writing.done,
    ]);
  }

  /** The document, its history, its attachments and its results. */
  async remove(id: string): Promise<void> {
    const removing = (await this.database()).transaction(['farms', 'documents', 'edits', 'attachments'], 'readwrite');
    await Promise.all([
      removing.objectStore('farms').delete(id),
      removing.objectStore('documents').delete(id),
      removing.objectStore('edits').delete(keysOf(id)),
      removing.objectStore('attachments').delete(keysOf(id)),
      removing.done,
    ]);
    const root = await privateFiles();
    if (root) await removeFarmFolder(root, id);
  }

  private numberOf(edit: Edit): number {
    const known = this.numbers.get(edit);
    if (known !== undefined) return known;
    this.numbers.set(edit, ++this.last);
    return this.last;
  }
}

/** The steps back (or forth) from the document, as far as none is missing: a later one rests on those before it. */
function unbroken(numbers: readonly number[], edits: ReadonlyMap<number, Edit>): Edit[] {
  const steps: Edit[] = [];
  for (const number of [...numbers].reverse()) {
    const edit = edits.get(number);
    if (!edit) break;
    steps.unshift(edit);
  }
  return steps;
}

/** Hashes of attachments that the history names: undo or redo may bring them back. */
export function hashesIn(history: History): string[] {
  return [...new Set(JSON.stringify(history).match(/\b[0-9a-f]{64}\b/g) ?? [])];
}
