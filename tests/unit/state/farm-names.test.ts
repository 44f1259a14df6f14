import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { freeId, freeName, idFromName } from '../../../src/state/farm-names.ts';
import { hashesIn } from '../../../src/state/kept-farms.ts';
import { SAMPLE } from '../../../src/state/sample.ts';

describe('ids and names of farms', () => {
  it('an id is made of the letters of the name, and is never empty', () => {
    expect(['Smith & Sons, Öst', '  ', '日本'].map(idFromName)).toEqual(['smith-sons-o-st', 'farm', 'farm']);
  });

  it('what is taken gets the lowest free number', () => {
    expect(freeId('ash', [])).toBe('ash');
    expect(freeId('ash', ['ash', 'ash-2'])).toBe('ash-3');
    expect(freeName('Ash', ['Ash'])).toBe('Ash (2)');
  });

  it('the sample goes by the id that its settings give it', () => {
    const settings = JSON.parse(readFileSync('sample-data/files/settings.json', 'utf8')) as { id: string };
    expect(SAMPLE.id).toBe(settings.id);
  });

  it('attachments that undo may bring back are found in the history', () => {
    const sha256 = 'ab'.repeat(32);
    const edit = { label: 'Add a file', sets: [{ path: ['files'], value: [{ id: 'f', sha256 }] }] };
    expect(hashesIn({ undo: [edit, edit], redo: [] })).toEqual([sha256]);
    expect(hashesIn({ undo: [], redo: [] })).toEqual([]);
  });
});
