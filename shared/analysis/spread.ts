/**
 * A study spread over two or more computers of one store: what can be told of a field by itself is computed there, before the chain
 * of fields ties them together. Results are shared through the store, so who computed what changes nothing.
 */
import type { Farm } from '../model/farm.ts';
import { harvestOf, speciesOf, studySeason } from '../model/lookups.ts';
import { type Case, CASES } from '../model/range.ts';
import type { Runner, RunnerProgress } from './runner.ts';

/** Fields of ours in as many shares, alike in the bytes of their logs, the heaviest first. */
export function shareFields(farm: Farm, shares: number): string[][] {
  const season = studySeason(farm);
  const weighed = farm.fields
    .filter((field) => field.ours)
    .map(({ id }) => {
      const files = season === null ? [] : harvestOf(farm, id, season).files;
      const bytes = farm.files.reduce((sum, file) => sum + (files.includes(file.id) ? file.bytes : 0), 0);
      return { id, bytes };
    })
    .sort((a, b) => b.bytes - a.bytes || (a.id < b.id ? -1 : 1));
  const out = Array.from({ length: shares }, () => ({ ids: [] as string[], bytes: 0 }));
  for (const { id, bytes } of weighed) {
    const least = out.reduce((a, b) => (b.bytes < a.bytes ? b : a));
    least.ids.push(id);
    least.bytes += bytes;
  }
  return out.map((one) => one.ids);
}

/** Computes, or finds, all that a study needs of these fields alone, and leaves it in the store. */
export function* prepareFields(runner: Runner, fields: readonly string[]): Generator<RunnerProgress, void, void> {
  const season = studySeason(runner.farm);
  if (season === null || speciesOf(runner.farm).length === 0) return;
  for (const field of fields) yield* prepareField(runner, field, season, CASES);
  const saving = runner.save();
  while (!saving.next().done);
}

/** One field in some of the cases. A ranked list rests on the central one alone. */
export function* prepareField(
  computer: Pick<Runner, 'outcome'>,
  field: string,
  season: number,
  cases: readonly Case[],
): Generator<RunnerProgress, void, void> {
  if (cases.includes('central')) yield* computer.outcome('zones', { field, season });
  for (const which of cases) yield* computer.outcome('movement-own', { field, season, case: which });
}
