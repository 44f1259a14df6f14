// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import type { Edit } from '../../../shared/model/edit.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { FarmDocument } from '../../../src/state/document.svelte.ts';

const rename = (name: string): Edit => ({ label: `Rename to ${name}`, sets: [{ path: ['name'], value: name }] });

describe('the document on the desk', () => {
  it('undoes and redoes edits in their order, and tells each change', () => {
    const told: string[] = [];
    const document = new FarmDocument((edit) => told.push(edit.sets[0]!.value as string));
    const start = emptyFarm('a', 'A');
    document.open(start);
    document.edit(rename('B'));
    document.edit(rename('C'));
    expect(document.undoable).toBe('Rename to C');
    document.undo();
    document.undo();
    expect(document.farm).toEqual(start);
    expect([document.undoable, document.redoable]).toEqual([null, 'Rename to B']);
    document.redo();
    expect(document.farm!.name).toBe('B');
    expect(told).toEqual(['B', 'C', 'B', 'A', 'B']);
  });

  it('forgets what could be redone once another edit is made', () => {
    const document = new FarmDocument(() => undefined);
    document.open(emptyFarm('a', 'A'));
    document.edit(rename('B'));
    document.undo();
    document.edit(rename('D'));
    expect(document.redoable).toBeNull();
  });

  it('changes nothing while another tab has the farm, and counts what it turned away', () => {
    const told: Edit[] = [];
    const document = new FarmDocument((edit) => told.push(edit));
    document.open(emptyFarm('a', 'A'));
    document.edit(rename('B'));
    document.lock(true);
    document.edit(rename('C'));
    document.undo();
    expect([document.farm!.name, document.refused, document.undoable]).toEqual(['B', 1, null]);
    document.lock(false);
    document.edit(rename('D'));
    expect([document.farm!.name, document.refused, told.length]).toEqual(['D', 1, 2]);
  });
});
