/** A field's name, and whose it is. */
import type { Edit } from '../edit.ts';
import type { Farm, Field } from '../farm.ts';

/** Farmed and owned, farmed until a lease ends (null: the year is not told), or farmed by somebody else. */
export type Tenure =
  { readonly is: 'owned' } | { readonly is: 'rented'; readonly until: number } | { readonly is: 'not ours' };

export function tenureOf({ ours, leaseEnds }: Field): Tenure {
  if (!ours) return { is: 'not ours' };
  return leaseEnds === undefined ? { is: 'owned' } : { is: 'rented', until: leaseEnds };
}

export function renameField(farm: Farm, id: string, name: string): Edit {
  const at = indexOf(farm, id);
  return { label: `Rename ${farm.fields[at]!.name} to ${name}`, sets: [{ path: ['fields', at, 'name'], value: name }] };
}

export function sayTenure(farm: Farm, id: string, tenure: Tenure): Edit {
  const at = indexOf(farm, id);
  const { name } = farm.fields[at]!;
  const words =
    tenure.is === 'owned'
      ? 'is ours'
      : tenure.is === 'rented'
        ? `is rented until ${tenure.until}`
        : 'is not farmed by us';
  return {
    label: `${name} ${words}`,
    sets: [
      { path: ['fields', at, 'ours'], value: tenure.is !== 'not ours' },
      { path: ['fields', at, 'leaseEnds'], value: tenure.is === 'rented' ? tenure.until : undefined },
    ],
  };
}

function indexOf(farm: Farm, id: string): number {
  const at = farm.fields.findIndex((one) => one.id === id);
  if (at < 0) throw new Error(`field-facts: no field ${id}`);
  return at;
}
