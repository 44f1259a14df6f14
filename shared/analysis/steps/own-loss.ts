/**
 * Per field and season: the yield that weeds took by the field's own records. Keyed by content, so that a log that says the same
 * changes no loss; without a log or a round nothing is read.
 */
import {
  CONFOUNDERS,
  judgeOwnLoss,
  type LiteratureLoss,
  type OwnLossFit,
  whyNoCurve,
} from '../../agronomy/own-loss.ts';
import { gatherPairs, type GatheredPairs, type WeedPlaces } from '../../agronomy/own-loss-pairs.ts';
import { parameter } from '../../agronomy/parameter.ts';
import { lossPerPlantPercent } from '../../agronomy/yield-loss.ts';
import type { Farm } from '../../model/farm.ts';
import { expectedCrop, harvestOf, roundsOf, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import type { Case } from '../../model/range.ts';
import { quantile } from '../../statistics/quantile.ts';
import { dayNumber } from '../../units/calendar.ts';
import { defineStep } from '../define-step.ts';
import type { FieldHarvestPath } from './harvest-path.ts';
import type { FieldScouting } from './scouting.ts';
import type { FieldSeason } from './season.ts';

export type OwnLoss =
  | { readonly kind: 'missing'; /** Completes "cannot be told: …". */ readonly why: string }
  | ({
      readonly kind: 'fit';
      readonly crop: string;
      readonly round: { readonly id: string; readonly from: string; readonly to: string };
      /** Whose plants the densities are counted in. */
      readonly reference: string;
      /** How far around a place the yield map was read. */
      readonly radiusM: number;
      readonly confounders: readonly string[];
    } & Pick<GatheredPairs, 'pairs' | 'weights' | 'leftOut'> &
      OwnLossFit);

interface Ends {
  readonly low: number;
  readonly high: number;
}
type Symbols = Readonly<Record<'I' | 'A' | 'C', Ends>>;

interface Settings {
  readonly species: readonly string[];
  readonly crop: string;
  readonly hasLog: boolean;
  readonly rounds: readonly { readonly id: string; readonly from: string; readonly to: string }[];
  readonly utcOffsetMinutes: number;
  /** Ends of the literature's range, a species. */
  readonly ends: readonly Symbols[];
}

export const ownLossStep = defineStep<Settings, OwnLoss>({
  id: 'own-loss',
  title: 'Loss by the field’s own records',
  version: 2,
  per: ['field', 'season'],
  key: 'content',
  settings(farm, scope) {
    const { crop } = expectedCrop(farm, scope.field!, scope.season!);
    return {
      species: speciesOf(farm),
      crop,
      hasLog: hasLog(farm, scope.field!, scope.season!),
      rounds: roundsOf(farm, scope.season!).map(({ id, from, to }) => ({ id, from, to })),
      utcOffsetMinutes: farm.utcOffsetMinutes,
      ends: speciesOf(farm).map((one) => ({
        I: endsOf(farm, `${one}.yieldLoss.${crop}.I`),
        A: endsOf(farm, `${one}.yieldLoss.${crop}.A`),
        C: endsOf(farm, `${one}.yieldLoss.${crop}.C`),
      })),
    };
  },
  parameters(farm, scope) {
    const { crop } = expectedCrop(farm, scope.field!, scope.season!);
    return speciesOf(farm).flatMap((one) => ['I', 'A', 'C'].map((symbol) => `${one}.yieldLoss.${crop}.${symbol}`));
  },
  needs(farm, scope) {
    const place = { field: scope.field!, season: scope.season! };
    const rounds = roundsOf(farm, scope.season!);
    if (!hasLog(farm, scope.field!, scope.season!) || rounds.length === 0) return {};
    return {
      harvest: { step: 'harvest-path', scope: place },
      season: { step: 'season', scope: { ...place, case: 'central' } },
      scouting: rounds.map((one) => ({ step: 'scouting', scope: { field: scope.field!, round: one.id } })),
    };
  },
  optional: ['harvest', 'season', 'scouting'],
  *run({ settings, needs, p }) {
    yield [0, 1];
    const missing = (why: string) => done<OwnLoss>({ kind: 'missing', why });
    if (!settings.hasLog)
      return missing('there is no harvest log of this field, so its yield is not known place by place');
    const harvest = (needs['harvest'] ?? null) as FieldHarvestPath | null;
    const scoutings = (needs['scouting'] ?? []) as (FieldScouting | null)[];
    const path = harvest?.path;
    if (!path || path.assumed) return missing('the harvest log of this field could not be read');
    if (path.yieldGrid === null)
      return missing(`the moisture at which ${settings.crop} is sold is not known here, so the log gives no yield`);
    const round = lastBeforeHarvest(scoutings, settings, harvest.startS);
    if (round === null) return missing('no weeds were counted at places of this field before the harvest');

    const delays = (needs['season'] as FieldSeason | null)?.escapeDelayDays ?? {};
    const literatureOf = (index: number): LiteratureLoss => {
      const name = `${settings.species[index]!}.yieldLoss.${settings.crop}`;
      const delayDays = delays[settings.species[index]!] ?? 0;
      const { I, A, C } = settings.ends[index]!;
      const curve = (slope: number, ceiling: number, perDay: number) => ({
        I: lossPerPlantPercent(slope, perDay, delayDays),
        A: ceiling,
      });
      return {
        low: curve(I.low, A.low, C.high),
        central: curve(p[`${name}.I`]!, p[`${name}.A`]!, p[`${name}.C`]!),
        high: curve(I.high, A.high, C.low),
      };
    };
    const weeds = settings.species.map((species, index): WeedPlaces => {
      const places = round.scouting.species.find((one) => one.species === species)?.places ?? [];
      return { species, lossPerPlant: literatureOf(index).central.I, places };
    });
    const radiusM = reachOf(path.swathM, path.cutting);
    const { pairs, reference, weights, leftOut } = gatherPairs(weeds, path.yieldGrid, radiusM);
    const columns = {
      xM: Float64Array.from(pairs, (one) => one.xM),
      yM: Float64Array.from(pairs, (one) => one.yM),
      densityPerM2: Float64Array.from(pairs, (one) => one.densityPerM2),
      yieldKgHa: Float64Array.from(pairs, (one) => one.yieldKgHa),
    };
    const why = whyNoCurve(columns);
    if (why !== null || reference === null) return missing(why ?? 'no weed stood at any of the places');
    return done<OwnLoss>({
      kind: 'fit',
      crop: settings.crop,
      round: { id: round.id, from: round.from, to: round.to },
      reference,
      radiusM,
      confounders: CONFOUNDERS,
      pairs,
      weights,
      leftOut,
      ...judgeOwnLoss(columns, literatureOf(settings.species.indexOf(reference))),
    });
  },
});

/** I and A of the curve that stands in for the literature's in a case; null where the literature's stays. */
export function ownCurveOf(own: OwnLoss | null, which: Case): { readonly I: number; readonly A: number } | null {
  if (own?.kind !== 'fit' || !own.used || own.quartiles === null) return null;
  return which === 'central' ? own.curve : own.quartiles[which];
}

function hasLog(farm: Farm, field: string, season: number): boolean {
  return harvestOf(farm, field, season).files.length > 0;
}

function endsOf(farm: Farm, id: string): Ends {
  const own = farm.ownValues.find((one) => one.parameter === id);
  const { low, high } = parameter(id);
  return { low: own?.low ?? low, high: own?.high ?? high };
}

/** The last round whose counts here were made by the day of harvest; where that day is not known, the last. */
function lastBeforeHarvest(
  scoutings: readonly (FieldScouting | null)[],
  { rounds, utcOffsetMinutes }: Settings,
  startS: number | null,
): (Settings['rounds'][number] & { scouting: FieldScouting }) | null {
  const harvestDay = startS === null ? Infinity : Math.floor((startS + utcOffsetMinutes * 60) / 86400);
  const counted = rounds.flatMap((round, index) => {
    const scouting = scoutings[index];
    const isCounted = scouting?.species.some((one) => one.places.length > 0) ?? false;
    return scouting && isCounted && (dayNumber(scouting.lastOn) ?? Infinity) <= harvestDay
      ? [{ ...round, scouting }]
      : [];
  });
  return counted.sort((a, b) => (a.to < b.to ? 1 : -1))[0] ?? null;
}

const NARROWEST_M = 6;
const WIDEST_M = 20;

/** One swath, within what a yield map smears anyway. */
function reachOf(swathM: Float32Array, cutting: Uint8Array): number {
  const cut = swathM.filter((one, k) => cutting[k] === 1 && one > 0);
  return Math.min(WIDEST_M, Math.max(NARROWEST_M, cut.length === 0 ? 0 : quantile(cut, 0.5)));
}
