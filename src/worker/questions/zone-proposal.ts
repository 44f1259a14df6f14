/** The zones that the evidence proposes at another level: where the weed is likelier than some chance. Nothing of the document changes. */
import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';
import type { FieldScouting } from '../../../shared/analysis/steps/scouting.ts';
import {
  type FieldZone,
  proposedAt,
  USUAL_LEVEL,
  type ZoneRules,
  type ZoneSettings,
  zonesStep,
} from '../../../shared/analysis/steps/zones.ts';
import { roundsOf, speciesOf } from '../../../shared/model/lookups.ts';
import { inWords } from '../../../shared/zones/phrase.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface ZoneProposalAsk {
  readonly field: string;
  readonly season: number;
  /** Above 0 up to 1; null: the usual one. */
  readonly level: number | null;
}

export interface ZoneProposal {
  readonly zones: readonly FieldZone[];
  readonly rules: ZoneRules;
  /** What was widened, merged or dropped, in words. */
  readonly told: readonly string[];
}

/** null where nobody looked at the field. */
export function zoneProposalQuestion(open: OpenFarm, { field, season, level }: ZoneProposalAsk): ZoneProposal | null {
  const { farm } = open;
  const ground = open.outcome<FieldGround>('field', { field });
  const infestations = speciesOf(farm).flatMap(
    (species) => open.outcome<FieldInfestation>('infestation', { field, season, species }) ?? [],
  );
  if (!ground || infestations.every((one) => one.map.basis === 'nothing')) return null;
  const scouting = roundsOf(farm, season).map((round) =>
    open.outcome<FieldScouting>('scouting', { field, round: round.id }),
  );
  if (scouting.some((one) => one === null)) return null;
  const settings = zonesStep.settings(farm, { field, season }) as ZoneSettings;
  const { zones, rules, told } = proposedAt(level ?? USUAL_LEVEL, {
    settings,
    ground,
    infestations,
    scouting: scouting as FieldScouting[],
  });
  return { zones, rules, told: told.map((one) => inWords(one, farm.display)) };
}
