/** The zones that the evidence proposes at another level: where the weed is likelier than some chance. Nothing of the document changes. */
import type { WeedEvidence } from '../../../shared/analysis/steps/evidence.ts';
import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';
import { type FieldZone, proposedAt, USUAL_LEVEL, type ZoneRules } from '../../../shared/analysis/steps/zones.ts';
import { speciesOf } from '../../../shared/model/lookups.ts';
import { boomWidthOf } from '../../../shared/zones/machine-limits.ts';
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
  const weeds = speciesOf(farm).flatMap((species) => {
    const map = open.outcome<FieldInfestation>('infestation', { field, season, species })?.map;
    const seen = open.outcome<WeedEvidence>('evidence', { field, season, species })?.seen ?? null;
    return map ? [{ map, seen, thresholdPerM2: farm.thresholdPerM2[species]! }] : [];
  });
  if (!ground || weeds.every(({ map }) => map.basis === 'nothing')) return null;
  const boomWidthM = boomWidthOf(farm);
  const { zones, rules, told } = proposedAt(level ?? USUAL_LEVEL, { field, boomWidthM, ground, weeds });
  return { zones, rules, told: told.map((one) => inWords(one, farm.display)) };
}
