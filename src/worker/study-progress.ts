/** From a step's own progress to one line for the whole study: how many of the expected results are under way, and which. */
import type { RunnerProgress } from '../../shared/analysis/runner.ts';
import type { Scope } from '../../shared/analysis/step.ts';
import { steps } from '../../shared/analysis/steps.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { speciesOf } from '../../shared/model/lookups.ts';
import { CASES } from '../../shared/model/range.ts';
import type { Progress } from './protocol.ts';

export class StudyProgress {
  private readonly seen = new Set<string>();
  private readonly expected: number;
  private last: RunnerProgress | null = null;

  constructor(private readonly farm: Farm) {
    this.expected = expectedResults(farm);
  }

  see(progress: RunnerProgress): void {
    const { last } = this;
    this.last = progress;
    if (last?.scope === progress.scope && last.step === progress.step) return;
    this.seen.add(`${progress.step} ${Object.values(progress.scope).join(' ')}`);
  }

  line(): Progress {
    // An expectation: what a farm lacks is skipped, and nothing is called complete before it is.
    const done = Math.min(this.seen.size, this.expected - 1);
    if (!this.last) return { title: 'Beginning', done, total: this.expected };
    const place = this.placeOf(this.last.scope);
    return { title: place === '' ? this.last.title : `${this.last.title} · ${place}`, done, total: this.expected };
  }

  private placeOf(scope: Scope): string {
    if (scope.field !== undefined) return this.farm.fields.find((one) => one.id === scope.field)?.name ?? scope.field;
    if (scope.file !== undefined) return this.farm.files.find((one) => one.id === scope.file)?.name ?? scope.file;
    return '';
  }
}

/** The sum over all steps of the scopes that each is computed per, for one season. */
export function expectedResults(farm: Farm): number {
  const sizes: Record<keyof Scope, number> = {
    file: farm.files.filter((one) => one.kind !== 'part' && one.kind !== 'boundaries').length,
    field: farm.fields.length,
    season: 1,
    machine: farm.machines.filter((one) => one.kind === 'combine').length,
    round: farm.rounds.length,
    species: speciesOf(farm).length,
    program: farm.programs.length,
    case: CASES.length,
  };
  return Object.values(steps).reduce(
    (sum, step) => sum + step.per.reduce((product, dimension) => product * sizes[dimension], 1),
    0,
  );
}
