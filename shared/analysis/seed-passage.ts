/** What one seed aboard becomes from field to field: a machine's fields of a season in the order of time, as shares. */

export interface Passage {
  readonly field: string;
  /** Aboard when it began the field, after the clean-out before; and what that clean-out took. */
  readonly carriedInSeeds: number;
  readonly removedSeeds: number;
  /** Of what it carried in: aboard already when it came to the farm; it entered the first field after that field's clean-out. */
  readonly arrivedSeeds: number;
  /** Of the field's own seed, aboard when it left. */
  readonly ownLeftSeeds: number;
  /** Of one seed that came in lodged: still aboard when it left, and laid on the field. */
  readonly keptFraction: number;
  readonly landedFraction: number;
}

/** Seeds aboard on arrival at a field, by the field on which they grew; null stands for what came to the farm aboard. */
export interface Brought {
  readonly field: string | null;
  readonly seeds: number;
}

/** null where the field has no place in the order of time */
export function broughtBy(passages: readonly Passage[], field: string): readonly Brought[] | null {
  let aboard: readonly Brought[] = [];
  for (const [index, passage] of passages.entries()) {
    const leftIn = 1 - removedFraction(passage);
    aboard = aboard.map((one) => ({ ...one, seeds: one.seeds * leftIn }));
    if (index === 0) aboard = [...aboard, { field: null, seeds: passage.arrivedSeeds }];
    if (passage.field === field) return aboard.filter((one) => one.seeds > 0);
    aboard = aboard.map((one) => ({ ...one, seeds: one.seeds * passage.keptFraction }));
    if (passage.ownLeftSeeds > 0) aboard = [...aboard, { field: passage.field, seeds: passage.ownLeftSeeds }];
  }
  return null;
}

/** Where seed that left a field aboard came down on the fields after it; null where the field has no place in the order of time */
export function rodeOnTo(
  passages: readonly Passage[],
  field: string,
  seeds: number,
): readonly { readonly field: string; readonly seeds: number }[] | null {
  const at = passages.findIndex((one) => one.field === field);
  if (at < 0) return null;
  let aboard = seeds;
  return passages.slice(at + 1).flatMap((passage) => {
    const came = aboard * (1 - removedFraction(passage));
    aboard = came * passage.keptFraction;
    const landed = came * passage.landedFraction;
    return landed > 0 ? [{ field: passage.field, seeds: landed }] : [];
  });
}

/** The clean-out's share of what was aboard before it. */
function removedFraction({ carriedInSeeds, removedSeeds }: Passage): number {
  const before = carriedInSeeds + removedSeeds;
  return before > 0 ? removedSeeds / before : 0;
}
