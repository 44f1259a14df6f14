/**
 * While the chains of a weed's counts are still to be run, its map is a quick look, and what rests on it is too. All else is the same
 * result as in the study.
 */
import type { Scope, Step, StepId } from './step.ts';
import type { Runner, RunnerProgress } from './runner.ts';
import { speciesOf } from '../model/lookups.ts';
import type { WeedEvidence } from './steps/evidence.ts';
import { wantsChains } from './steps/latent-chain.ts';

/** A field, season and species. */
export type WeedScope = Scope & { readonly field: string; readonly season: number; readonly species: string };

/** The steps of a study, with a quick look for each of these weeds. */
export function withQuickLooks(
  steps: Readonly<Record<StepId, Step>>,
  waiting: readonly WeedScope[],
): Readonly<Record<StepId, Step>> {
  const names = new Set(waiting.map(nameOf));
  const { infestation } = steps;
  const waits = (scope: Scope) => names.has(nameOf(scope));
  const quick: Step = {
    ...infestation,
    settings(farm, scope) {
      const settings = infestation.settings(farm, scope);
      return waits(scope) ? { ...(settings as object), isQuick: true } : settings;
    },
    needs(farm, scope) {
      const { field, evidence, ...chains } = infestation.needs(farm, scope);
      return { field: field!, evidence: evidence!, ...(waits(scope) ? {} : chains) };
    },
  };
  return { ...steps, infestation: quick };
}

/** Weeds of the season with counts enough for chains that are not known yet. */
export function* waitingWeeds(runner: Runner, season: number): Generator<RunnerProgress, WeedScope[], void> {
  const waiting: WeedScope[] = [];
  for (const { id: field } of runner.farm.fields) {
    for (const species of speciesOf(runner.farm)) {
      const scope = { field, season, species };
      const evidence = yield* runner.outcome('evidence', scope);
      if (!evidence.ok || !wantsChains(evidence.value as WeedEvidence)) continue;
      for (const chain of [0, 1] as const) {
        if (yield* runner.isKnown('latent-chain', { ...scope, chain })) continue;
        waiting.push(scope);
        break;
      }
    }
  }
  return waiting;
}

function nameOf({ field, season, species }: Scope): string {
  return `${field} ${season} ${species}`;
}
