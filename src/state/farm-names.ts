/** Ids, names and clocks for farms that are made here. */

/** An id from a name: small letters, digits and dashes. */
export function idFromName(name: string): string {
  const plain = name.normalize('NFKD').toLowerCase();
  return (
    plain
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 40) || 'farm'
  );
}

/** The id itself, else with the lowest number behind it that is free. */
export function freeId(wanted: string, taken: readonly string[]): string {
  if (!taken.includes(wanted)) return wanted;
  for (let n = 2; ; n++) if (!taken.includes(`${wanted}-${n}`)) return `${wanted}-${n}`;
}

/** A name that no other farm has: "Home Farm (2)". */
export function freeName(wanted: string, taken: readonly string[]): string {
  if (!taken.includes(wanted)) return wanted;
  for (let n = 2; ; n++) if (!taken.includes(`${wanted} (${n})`)) return `${wanted} (${n})`;
}

/** Local time minus UTC, here and now. */
export function minutesFromUtc(): number {
  return -new Date().getTimezoneOffset();
}
