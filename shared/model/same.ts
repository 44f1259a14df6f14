/** Plain data written again: what did not change stays the same object. */

/** `after`, with those of its parts that equal their counterpart in `before` being that counterpart; `before` itself where all is equal. */
export function sameWhereEqual(before: unknown, after: unknown): unknown {
  if (Object.is(before, after) || !isPart(before) || !isPart(after)) return after;
  if (Array.isArray(before) && Array.isArray(after)) return sameList(before, after);
  return Array.isArray(before) || Array.isArray(after) ? after : sameMembers(before, after);
}

function sameList(before: readonly unknown[], after: readonly unknown[]): readonly unknown[] {
  const made = after.map((one, index) => sameWhereEqual(before[index], one));
  return made.length === before.length && made.every((one, index) => Object.is(one, before[index])) ? before : made;
}

function sameMembers(before: Members, after: Members): Members {
  const names = Object.keys(after);
  const made = Object.fromEntries(names.map((name) => [name, sameWhereEqual(before[name], after[name])]));
  const isEqual =
    Object.keys(before).length === names.length &&
    names.every((name) => Object.hasOwn(before, name) && Object.is(made[name], before[name]));
  return isEqual ? before : made;
}

type Members = Readonly<Record<string, unknown>>;
function isPart(value: unknown): value is Members {
  return typeof value === 'object' && value !== null;
}
