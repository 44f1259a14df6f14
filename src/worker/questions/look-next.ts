import { type LookNext, lookNext, type LookNextAsk } from '../../../shared/analysis/look-next.ts';
import type { OpenFarm } from '../open-farm.ts';

export function lookNextQuestion(open: OpenFarm, ask: LookNextAsk): Promise<LookNext> {
  return open.inTurns((result) => lookNext(open.farm, ask, result));
}
