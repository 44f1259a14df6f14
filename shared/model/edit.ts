/**
 * An edit of the document is data, and applying it gives its reverse: undo needs nothing else. Parts that the edit leaves as they are
 * stay the same objects, also where it writes them again: what is derived from them is known by that.
 */
import type { Farm } from './farm.ts';
import { sameWhereEqual } from './same.ts';

export type Path = readonly (string | number)[];

export interface Edit {
  /** What a person reads beside undo: "Add 8 fields from boundaries.geojson". */
  readonly label: string;
  /** Done in order. `undefined` takes the member away; arrays are replaced whole. */
  readonly sets: readonly { readonly path: Path; readonly value: unknown }[];
}

/** The farm after the edit, and the edit that brings it back. The farm given is not changed. @throws on a path that leads nowhere */
export function applyEdit(farm: Farm, edit: Edit): { farm: Farm; reverse: Edit } {
  let now: unknown = farm;
  const back: { path: Path; value: unknown }[] = [];
  for (const { path, value } of edit.sets) {
    const before = valueAt(now, path);
    back.unshift({ path, value: before });
    now = withValue(now, path, 0, sameWhereEqual(before, value));
  }
  return { farm: now as Farm, reverse: { label: edit.label, sets: back } };
}

function valueAt(whole: unknown, path: Path): unknown {
  return path.reduce<unknown>((at, step) => (at as Record<string | number, unknown> | undefined)?.[step], whole);
}

function withValue(whole: unknown, path: Path, depth: number, value: unknown): unknown {
  if (depth === path.length) return value;
  if (typeof whole !== 'object' || whole === null)
    throw new Error(`applyEdit: nothing at ${path.slice(0, depth).join('/')}`);
  const step = path[depth]!;
  const before = (whole as Record<string | number, unknown>)[step];
  const inner = withValue(before, path, depth + 1, value);
  if (inner === before) return whole;
  if (Array.isArray(whole)) {
    const copy = whole.slice();
    copy[step as number] = inner;
    return copy;
  }
  const copy: Record<string | number, unknown> = { ...whole };
  if (inner === undefined) delete copy[step];
  else copy[step] = inner;
  return copy;
}
