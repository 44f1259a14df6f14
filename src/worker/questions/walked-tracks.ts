import { walkedTracks, type WalkedTrack } from '../../../shared/analysis/walked.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Where somebody walked in a season, and the places that they marked. */
export function walkedTracksQuestion(open: OpenFarm, ask: { readonly season: number }): readonly WalkedTrack[] {
  return walkedTracks(open.farm, ask.season, (step, scope) => open.outcome(step, scope));
}
