import { type Working, workingOf } from '../../../shared/analysis/working.ts';
import type { OpenFarm } from '../open-farm.ts';

/** null where no number of the study has that path. */
export function workingQuestion(open: OpenFarm, ask: { readonly path: string }): Working | null {
  return open.figures === null ? null : workingOf(open.figures, ask.path, open.farm);
}
