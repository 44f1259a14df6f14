/** The farm's document on the desk: the only thing that an edit changes. An edit returns its reverse, so undo and redo are data. */
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';

export interface History {
  readonly undo: readonly Edit[];
  readonly redo: readonly Edit[];
}

export const NO_HISTORY: History = { undo: [], redo: [] };
const LONGEST = 200;

export class FarmDocument {
  private current = $state.raw<Farm | null>(null);
  private past = $state.raw<History>(NO_HISTORY);
  private locked = $state(false);
  private turnedAway = $state(0);

  /** @param changed is told each edit after it was applied here: the worker does the same, and the document is kept */
  constructor(private readonly changed: (edit: Edit) => void) {}

  get farm(): Farm | null {
    return this.current;
  }
  /** How many edits were not made since the page opened, because another tab has the farm: what they came from is drawn anew. */
  get refused(): number {
    return this.turnedAway;
  }
  get history(): History {
    return this.past;
  }
  /** What undo would take back, in words; null where there is nothing. */
  get undoable(): string | null {
    return this.locked ? null : (this.past.undo.at(-1)?.label ?? null);
  }
  get redoable(): string | null {
    return this.locked ? null : (this.past.redo.at(-1)?.label ?? null);
  }

  open(farm: Farm, history: History = NO_HISTORY): void {
    this.current = farm;
    this.past = history;
  }
  close(): void {
    this.current = null;
    this.past = NO_HISTORY;
  }
  /** Where another tab has the farm: edits, undo and redo then do nothing. */
  lock(locked: boolean): void {
    this.locked = locked;
  }

  edit(edit: Edit): void {
    if (this.locked) {
      this.turnedAway++;
      return;
    }
    const reverse = this.apply(edit);
    this.past = { undo: [...this.past.undo, reverse].slice(-LONGEST), redo: [] };
    this.changed(edit);
  }

  undo(): void {
    const edit = this.past.undo.at(-1);
    if (!edit || this.locked) return;
    const reverse = this.apply(edit);
    this.past = { undo: this.past.undo.slice(0, -1), redo: [...this.past.redo, reverse] };
    this.changed(edit);
  }

  redo(): void {
    const edit = this.past.redo.at(-1);
    if (!edit || this.locked) return;
    const reverse = this.apply(edit);
    this.past = { undo: [...this.past.undo, reverse], redo: this.past.redo.slice(0, -1) };
    this.changed(edit);
  }

  private apply(edit: Edit): Edit {
    if (!this.current) throw new Error('FarmDocument: no farm is open');
    const { farm, reverse } = applyEdit(this.current, edit);
    this.current = farm;
    return reverse;
  }
}
