/** From a step's own progress to one line for the whole study: what is computed, and how much of the expected effort is behind. */
import type { RunnerProgress } from '../../shared/analysis/runner.ts';
import type { Scope, StepId } from '../../shared/analysis/step.ts';
import { steps } from '../../shared/analysis/steps.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { fieldName, speciesOf } from '../../shared/model/lookups.ts';
import { CASES } from '../../shared/model/range.ts';
import type { Progress } from './protocol.ts';

/** Milliseconds a result of each step, as measured on the sample farm: only their proportions matter, and only to the bar. */
const EFFORT: Readonly<Record<StepId, number>> = {
  records: 88,
  field: 11,
  scouting: 3,
  evidence: 1,
  'travel-direction': 1,
  'latent-chain': 40,
  infestation: 26,
  'infestation-facts': 1,
  'harvest-path': 386,
  'harvest-facts': 1,
  season: 9,
  'own-loss': 10,
  'yield-loss': 5,
  'seed-return': 18,
  'movement-even': 20,
  'movement-own': 100,
  'movement-chain': 1,
  carried: 1,
  landed: 5,
  // Asked for by a place, never by a study.
  'machine-load': 0,
  'next-stops': 0,
  'round-infestation': 0,
  zones: 136,
  'bank-start': 27,
  'program-effect': 3,
  seedbank: 2,
  'seed-worth': 1,
  priority: 34,
};

export class StudyProgress {
  private readonly seen = new Set<string>();
  private readonly expected: number;
  private done = 0;
  private last: RunnerProgress | null = null;

  constructor(private readonly farm: Farm) {
    this.expected = expectedEffort(farm);
  }

  see(progress: RunnerProgress): void {
    const { last } = this;
    this.last = progress;
    if (last?.scope === progress.scope && last.step === progress.step) return;
    const name = `${progress.step} ${Object.values(progress.scope).join(' ')}`;
    if (this.seen.has(name)) return;
    this.seen.add(name);
    this.done += EFFORT[progress.step];
  }

  line(): Progress {
    // An expectation: what a farm lacks is skipped, and nothing is called complete before it is.
    const done = Math.min(this.done, 0.99 * this.expected);
    if (!this.last) return { title: 'Beginning', done, total: this.expected };
    const place = this.placeOf(this.last.scope);
    return { title: place === '' ? this.last.title : `${this.last.title} · ${place}`, done, total: this.expected };
  }

  private placeOf(scope: Scope): string {
    if (scope.field !== undefined) return fieldName(this.farm, scope.field);
    if (scope.file !== undefined) return this.farm.files.find((one) => one.id === scope.file)?.name ?? scope.file;
    return '';
  }
}

/** The sum over all steps, of the scopes that each is computed per. */
export function expectedEffort(farm: Farm): number {
  const sizes: Record<keyof Scope, number> = {
    file: farm.files.filter((one) => !['part', 'photo', 'boundaries'].includes(one.kind)).length,
    field: farm.fields.length,
    season: 1,
    machine: farm.machines.filter((one) => one.kind === 'combine').length,
    round: farm.rounds.length,
    species: speciesOf(farm).length,
    program: farm.programs.length,
    case: CASES.length,
    chain: 2,
  };
  // Of earlier seasons only the infestation is looked at.
  const roundSeasons = new Set(farm.rounds.map((one) => one.season)).size;
  return Object.values(steps).reduce((sum, step) => {
    const scopes = step.per.reduce((product, dimension) => product * sizes[dimension], 1);
    return (
      sum + EFFORT[step.id] * scopes * (step.id === 'infestation' || step.id === 'latent-chain' ? roundSeasons : 1)
    );
  }, 0);
}
