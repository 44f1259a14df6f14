/** A document with two fields and one round of 2026, as a person has it after a morning; and an edit tried on it. */
import { expect } from 'vitest';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import { type Farm, farmSchema, type Field } from '../../shared/model/farm.ts';
import { emptyFarm } from '../../shared/model/new-farm.ts';
import { boundaries, ring } from './small-farm.ts';

export const WEST = { id: 'west', name: 'West' };
export const EAST = { id: 'east', name: 'East' };
export const WATERHEMP = { id: 'waterhemp', name: 'waterhemp' };
export const PALMER = { id: 'palmer-amaranth', name: 'Palmer amaranth' };

export function twoFieldFarm(): Farm {
  const shapes = JSON.parse(boundaries(['West', 'East'])) as { features: { geometry: { coordinates: never } }[] };
  const field = (named: typeof WEST, at: number): Field => ({
    ...named,
    ours: true,
    frameOrigin: [-93.5, 42],
    boundary: [shapes.features[at]!.geometry.coordinates],
    exclusions: [],
  });
  return { ...emptyFarm('two', 'Two fields'), fields: [field(WEST, 0), field(EAST, 1)] };
}

export const patchArea = [[ring('West', 10, 10, 50, 40)]];

/** The farm after the edit, once it is seen that the edit is lawful, changes what it was given nothing, and can be undone. */
export function after(farm: Farm, edit: Edit): Farm {
  const before = structuredClone(farm);
  const { farm: changed, reverse } = applyEdit(farm, edit);
  expect(farm).toEqual(before);
  expect(farmSchema.safeParse(changed).error?.issues ?? []).toEqual([]);
  expect(applyEdit(changed, reverse).farm).toEqual(before);
  expect(edit.label).not.toBe('');
  return changed;
}
