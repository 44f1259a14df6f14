/** Finds as a phone marks them on the small farm. */
import type { Find } from '../../shared/model/field-notes.ts';
import { newFindId } from '../../shared/model/field-notes.ts';
import { type FieldName, placeIn } from './small-farm.ts';

/** One a minute, from half past nine on. @param minute also makes the id */
export function findIn(field: FieldName, x: number, y: number, minute: number, more: Partial<Find> = {}): Find {
  const time = `2026-08-29T14:${String(30 + minute).padStart(2, '0')}:00Z`;
  return {
    id: newFindId(time, minute / 64),
    at: [...placeIn(field, x, y)] as [number, number],
    on: '2026-08-29',
    time,
    species: 'waterhemp',
    count: minute,
    effortM2: 1,
    accuracyM: 4,
    ...more,
  };
}
