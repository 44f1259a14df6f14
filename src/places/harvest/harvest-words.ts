/** Sentences of the harvest, made from its numbers. */
import type { FieldLedgers } from '../../../shared/analysis/study-field.ts';
import type { FieldStudy } from '../../../shared/analysis/study.ts';
import { ledgerOverFields } from '../../../shared/harvest/ledger.ts';
import { CASES, type Case, foldCases, type Range } from '../../../shared/model/range.ts';
import type { HarvestStop } from '../../state/answers.ts';
import { roughly, roughRange } from '../../../shared/units/rough.ts';
import { listed } from '../../../shared/units/words.ts';
import { onTheGroundFraction } from './ledger-flow.ts';

/** All fields with a ledger as one; null where none has. @param machineOf the machine that cut a field */
export function farmLedgers(fields: readonly FieldStudy[], machineOf: (field: string) => string): FieldLedgers | null {
  const known = fields.flatMap(({ id, ledger, arrived }) => (ledger && arrived ? [{ id, ledger, arrived }] : []));
  if (known.length === 0) return null;
  const machines = [...new Set(known.map((one) => machineOf(one.id)))];
  /** What a machine brought comes in on the first of these fields, where it is most; from there on it is inside the sum. */
  const brought = (which: Case) =>
    machines.reduce((sum, machine) => {
      const own = known.filter((one) => machineOf(one.id) === machine);
      return sum + Math.max(...own.map((one) => one.arrived[which]));
    }, 0);
  return Object.fromEntries(
    CASES.map((which) => [
      which,
      ledgerOverFields(
        known.map((one) => one.ledger[which]),
        brought(which),
      ),
    ]),
  ) as unknown as FieldLedgers;
}

/** "Assumed path: …", of the fields whose seed is known of and that have no log; null where there is none. */
export function assumedPathWords(fields: readonly FieldStudy[]): string | null {
  const without = fields.filter((one) => one.ledger !== null && one.harvest?.assumedPath === true);
  if (without.length === 0) return null;
  const which = fields.length === 1 ? without[0]!.name : listed(without.map((one) => one.name));
  const mean = 'strips are laid both ways round, and this is the mean of the two';
  return `Assumed path: ${which} ${without.length === 1 ? 'has' : 'have'} no log; ${mean}.`;
}

/** One number of the ledger in the three cases, as a range. */
export function overCases(ledgers: FieldLedgers, of: (ledger: FieldLedgers[Case]) => number | null): Range {
  return foldCases(
    Object.fromEntries(CASES.map((which) => [which, of(ledgers[which])])) as Record<Case, number | null>,
  );
}

export function onTheGround(ledgers: FieldLedgers): Range {
  return overCases(ledgers, onTheGroundFraction);
}

/** From one field to the next; seed that nobody can tell is null. */
export interface Hop {
  readonly from: string;
  readonly to: string;
  readonly seeds: Range;
  readonly cleanOut: HarvestStop['cleanOutBefore'];
}

/** In the order of time; fields without a day have no place in it. */
export function hopsOf(stops: readonly HarvestStop[]): Hop[] {
  const dated = stops.filter((one) => one.startS !== null);
  return dated.slice(1).map((to, index) => ({
    from: dated[index]!.field,
    to: to.field,
    seeds: to.carriedIn,
    cleanOut: to.cleanOutBefore,
  }));
}

/** Hops from a field into one that made less seed, the most seed first; only where both fields were looked at. */
export function worseBeforeCleaner(hops: readonly Hop[], fields: readonly FieldStudy[]): Hop[] {
  const made = new Map(fields.map((one) => [one.id, one.seedsProduced.central]));
  return hops
    .filter(({ from, to, seeds }) => {
      const [worse, cleaner] = [made.get(from) ?? null, made.get(to) ?? null];
      return worse !== null && cleaner !== null && worse > cleaner && (seeds.central ?? 0) >= 1;
    })
    .sort((a, b) => b.seeds.central! - a.seeds.central!);
}

export { roughly, roughRange };
