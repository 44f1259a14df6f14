import { type LookNext, lookNext, type LookNextAsk } from '../../../shared/analysis/look-next.ts';
import type { OpenFarm } from '../open-farm.ts';

export function lookNextQuestion(open: OpenFarm, ask: LookNextAsk): LookNext {
  return lookNext(open.farm, ask, (step, scope) => open.outcome(step, scope));
}
