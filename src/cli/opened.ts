/** A farm as a command opens it, and results of it one by one. */
import type { RunnerProgress } from '../../shared/analysis/runner.ts';
import type { ResultOf } from '../../shared/analysis/step.ts';
import { startRunner } from '../../shared/analysis/study.ts';
import { drive, percent } from './drive.ts';
import { type FarmStore, openFarm } from './farm-store.ts';
import type { Host } from './host.ts';
import { printProblems } from './print.ts';

/** null where it cannot be opened: the problems are printed then. */
export function openOrTell(host: Host, path: string): FarmStore | null {
  const opened = openFarm(host, path);
  if (opened.ok) return opened.value;
  printProblems(host, opened.problems);
  return null;
}

/** @returns `result` computes what is not known yet; `keep` stores what was computed */
export function resultsOf(host: Host, { farm, door, results }: FarmStore): { result: ResultOf; keep: () => void } {
  const runner = startRunner(farm, door, results);
  const say = ({ title, done, total }: RunnerProgress) => `${title} ${percent(done, total)}`;
  return {
    result: <T>(...[step, scope]: Parameters<ResultOf>) => {
      const outcome = drive(host, runner.outcome(step, scope), say);
      return outcome.ok ? (outcome.value as T) : null;
    },
    keep: () => drive(host, runner.save(), () => 'Keeping results'),
  };
}
