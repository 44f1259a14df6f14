/**
 * Per season: what each program gains on each field, the best set within the budget, and the fields in order: by the seed over
 * years, and beside it by this year's yield loss alone.
 */
import { chooseWithinBudget } from '../../agronomy/budget-choice.ts';
import { speciesOf, studySeason } from '../../model/lookups.ts';
import type { Farm } from '../../model/farm.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { BankStart } from './bank-start.ts';
import type { FieldGround } from './field.ts';
import type { FieldInfestation } from './infestation.ts';
import type { FieldLanded } from './landed.ts';
import type { FieldBank } from './seedbank.ts';
import type { FieldYieldLoss } from './yield-loss.ts';
import type { FieldZones } from './zones.ts';

export interface ProgramOffer {
  readonly program: string;
  /** Over the horizon, central biology; null where it cannot be told in money. */
  readonly gain: number | null;
  /** Money a year beyond current practice, mean over the horizon. */
  readonly extraCostPerYear: number | null;
}

export interface FieldPriority {
  readonly field: string;
  /** 1 established, 2 present, 3 none found; null where nobody looked. */
  readonly tier: 1 | 2 | 3 | null;
  readonly rank: number | null;
  readonly rankByThisYear: number | null;
  /** Among fields nobody looked at: where to look first. */
  readonly lookRank: number | null;
  readonly offers: readonly ProgramOffer[];
  /** Program of the field in the best set. */
  readonly chosen: string | null;
  /** Gain for each unit of yearly money: of the chosen program, else of the best; null where it costs nothing more. */
  readonly gainPerMoney: number | null;
  readonly zones: readonly { readonly id: string; readonly rank: number; readonly gainPerM2: number | null }[];
}

export interface Priority {
  readonly fields: readonly FieldPriority[];
  readonly budget: {
    readonly available: number | null;
    readonly spent: number;
    readonly gain: number;
    /** No set within the budget can gain more than this. */
    readonly bound: number;
    readonly exact: boolean;
  } | null;
}

interface Settings {
  readonly fields: readonly string[];
  readonly programs: readonly string[];
  readonly budget: number | null;
  /** False in an earlier season: what could have been done then is not chosen now. */
  readonly decides: boolean;
  readonly mustTreat: readonly string[];
  readonly speciesCount: number;
  /** One a species, in their order. */
  readonly thresholds: readonly number[];
  readonly earlierCount: number;
}

export const priorityStep = defineStep<Settings, Priority>({
  id: 'priority',
  title: 'Priority and budget',
  version: 2,
  per: ['season'],
  key: 'inputs',
  settings(farm, scope) {
    return {
      fields: farm.fields.filter((one) => one.ours).map((one) => one.id),
      programs: farm.programs.map((one) => one.id),
      budget: farm.planning.budget,
      decides: scope.season! >= studySeason(farm)!,
      mustTreat: farm.planning.mustTreat,
      speciesCount: speciesOf(farm).length,
      thresholds: speciesOf(farm).map((one) => farm.thresholdPerM2[one]!),
      earlierCount: earlierSeasons(farm, scope.season!).length * speciesOf(farm).length,
    };
  },
  needs(farm, scope) {
    const season = scope.season!;
    const fields = farm.fields.filter((one) => one.ours).map((one) => one.id);
    return {
      ground: fields.map((field) => ({ step: 'field', scope: { field } })),
      zones: fields.map((field) => ({ step: 'zones', scope: { field, season } })),
      start: fields.map((field) => ({ step: 'bank-start', scope: { field, season, case: 'central' } })),
      loss: fields.map((field) => ({ step: 'yield-loss', scope: { field, season, case: 'central' } })),
      infestation: fields.flatMap((field) =>
        speciesOf(farm).map((species) => ({ step: 'infestation' as const, scope: { field, season, species } })),
      ),
      landed: fields.map((field) => ({ step: 'landed', scope: { field, season, case: 'central' } })),
      before: fields.flatMap((field) =>
        earlierSeasons(farm, season).flatMap((year) =>
          speciesOf(farm).map((species) => ({ step: 'infestation' as const, scope: { field, season: year, species } })),
        ),
      ),
      banks: fields.flatMap((field) =>
        farm.programs.map((program) => ({
          step: 'seedbank' as const,
          scope: { field, season, program: program.id, case: 'central' as const },
        })),
      ),
    };
  },
  optional: ['ground', 'zones', 'start', 'loss', 'infestation', 'landed', 'before', 'banks'],
  *run({ settings, needs }) {
    yield [0, 1];
    const { fields, programs } = settings;
    const bankOf: BankOf = (field, program) =>
      (needs['banks'] as (FieldBank | null)[])[field * programs.length + program] ?? null;
    const now = programs.indexOf('as-now');

    const rows = fields.map((id, f) => {
      const ground = (needs['ground'] as (FieldGround | null)[])[f] ?? null;
      const infestations = (needs['infestation'] as (FieldInfestation | null)[]).slice(
        f * settings.speciesCount,
        (f + 1) * settings.speciesCount,
      );
      const loss = (needs['loss'] as (FieldYieldLoss | null)[])[f] ?? null;
      const areaHa = (ground?.areaM2 ?? 0) / 10_000;
      const offers = programs.map((program, j): ProgramOffer => {
        const [mine, base] = [bankOf(f, j), bankOf(f, now)];
        return { program, gain: gainOf(base, mine), extraCostPerYear: extraCost(mine, base, areaHa) };
      });
      return {
        id,
        ground,
        tier: tierOf(infestations, settings.thresholds),
        stake: bankOf(f, now)?.lossPresentValue ?? null,
        areaM2: ground?.areaM2 ?? 0,
        lossMoney: loss?.lossMoney ?? null,
        lossKg: loss?.lossKg ?? null,
        landedSeeds: seedsOf((needs['landed'] as (FieldLanded | null)[])[f] ?? null),
        lossFraction: loss?.lossFraction ?? null,
        carriedIn: (needs['landed'] as (FieldLanded | null)[])[f]?.carriedInSeeds ?? 0,
        seenBefore: (needs['before'] as (FieldInfestation | null)[])
          .slice(f * settings.earlierCount, (f + 1) * settings.earlierCount)
          .some((one) => one !== null && one.map.positives > 0),
        offers,
        f,
      };
    });

    const items = rows.flatMap((row) => {
      const options = row.offers.flatMap((offer) =>
        offer.gain === null || offer.extraCostPerYear === null
          ? []
          : [{ id: offer.program, gain: offer.gain, cost: offer.extraCostPerYear }],
      );
      const must = settings.mustTreat.includes(row.id);
      const kept = must ? options.filter((one) => one.id !== 'as-now') : options;
      return row.tier !== null && kept.length > 0 ? [{ id: row.id, options: kept }] : [];
    });
    const wanted = items.reduce((sum, item) => sum + Math.max(0, ...item.options.map((one) => one.cost)), 0);
    const choice = settings.decides && items.length > 0 ? chooseWithinBudget(items, settings.budget ?? wanted) : null;
    const chosenOf = new Map(items.map((item, index) => [item.id, choice?.choice?.[index] ?? null]));

    const judged = rows.map((row) => {
      const chosen = chosenOf.get(row.id) ?? null;
      const best = row.offers
        .filter((one) => one.program !== 'as-now' && (one.gain ?? 0) > 0)
        .sort((a, b) => ratio(b) - ratio(a))[0];
      const taken = chosen !== null && chosen !== 'as-now' ? row.offers.find((one) => one.program === chosen)! : null;
      const offer = taken ?? best ?? null;
      return { ...row, chosen, inSet: taken !== null, ratio: offer ? ratio(offer) : -Infinity };
    });
    const looked = judged.filter((row) => row.tier !== null);
    const byYears = [...looked].sort(
      (a, b) =>
        a.tier! - b.tier! ||
        Number(b.inSet) - Number(a.inSet) ||
        compare(b.ratio, a.ratio) ||
        (b.stake ?? 0) - (a.stake ?? 0) ||
        b.landedSeeds - a.landedSeeds ||
        b.areaM2 - a.areaM2 ||
        (a.id < b.id ? -1 : 1),
    );
    const byThisYear = [...looked].sort(
      (a, b) =>
        (b.lossMoney ?? 0) - (a.lossMoney ?? 0) ||
        (b.lossKg ?? 0) - (a.lossKg ?? 0) ||
        (b.lossFraction ?? 0) - (a.lossFraction ?? 0) ||
        b.areaM2 - a.areaM2 ||
        (a.id < b.id ? -1 : 1),
    );
    const toLook = judged
      .filter((row) => row.tier === null)
      .sort(
        (a, b) =>
          Number(b.seenBefore) - Number(a.seenBefore) ||
          b.carriedIn - a.carriedIn ||
          b.areaM2 - a.areaM2 ||
          (a.id < b.id ? -1 : 1),
      );
    return done({
      fields: judged.map((row): FieldPriority => {
        const place = (list: readonly { id: string }[]) => {
          const at = list.findIndex((one) => one.id === row.id);
          return at < 0 ? null : at + 1;
        };
        return {
          field: row.id,
          tier: row.tier,
          rank: place(byYears),
          rankByThisYear: place(byThisYear),
          lookRank: settings.decides ? place(toLook) : null,
          offers: row.tier === null ? row.offers.map((one) => ({ ...one, gain: null })) : row.offers,
          chosen: row.chosen,
          gainPerMoney: Number.isFinite(row.ratio) ? row.ratio : null,
          zones: rankZones(needs, row.f, row.chosen, programs, bankOf),
        };
      }),
      budget: choice
        ? {
            available: settings.budget,
            spent: choice.cost,
            gain: choice.gain,
            bound: choice.bound,
            exact: choice.exact,
          }
        : null,
    });
  },
});

/** Of a field and a program by their places; central biology. */
type BankOf = (field: number, program: number) => FieldBank | null;

/** Seasons before this one in which somebody scouted. */
function earlierSeasons(farm: Farm, season: number): number[] {
  return [...new Set(farm.rounds.map((one) => one.season))].filter((year) => year < season).sort();
}

function gainOf(asNow: FieldBank | null, program: FieldBank | null): number | null {
  if (!asNow || !program || asNow.lossPresentValue === null || program.lossPresentValue === null) return null;
  if (asNow.costPresentValue === null || program.costPresentValue === null) return null;
  return asNow.lossPresentValue - program.lossPresentValue - (program.costPresentValue - asNow.costPresentValue);
}

/** Seed that came to the ground; orders fields where no price is told. */
function seedsOf(landed: FieldLanded | null): number {
  return landed ? landed.ledger.producedSeeds + landed.ledger.carriedInSeeds : 0;
}

function extraCost(program: FieldBank | null, asNow: FieldBank | null, areaHa: number): number | null {
  if (!program || !asNow || program.costPerHa === null || asNow.costPerHa === null) return null;
  return (program.costPerHa - asNow.costPerHa) * areaHa;
}

/** Gain for each unit of yearly money; infinite where a gain costs nothing more: it goes first and is shown without a ratio. */
function ratio(offer: ProgramOffer): number {
  const gain = offer.gain ?? 0;
  return offer.extraCostPerYear === null
    ? 0
    : offer.extraCostPerYear > 0
      ? gain / offer.extraCostPerYear
      : gain > 0
        ? Infinity
        : 0;
}

const compare = (a: number, b: number) => (a === b ? 0 : a - b);

/** Share of a field above the threshold, or mean density as a share of it, from which a weed counts as established (*assumed*). */
const ESTABLISHED_AREA_FRACTION = 0.01;
const ESTABLISHED_DENSITY_FRACTION = 0.05;

function tierOf(infestations: readonly (FieldInfestation | null)[], thresholds: readonly number[]): 1 | 2 | 3 | null {
  const seen = infestations.flatMap((one, index) =>
    one && one.map.basis !== 'nothing' ? [{ ...one, threshold: thresholds[index]! }] : [],
  );
  if (seen.length === 0) return null;
  const established = seen.some(({ map, strata, threshold }) => {
    if (map.basis === 'rating') return strata !== null && strata.areaFraction.central < 1;
    if (map.basis === 'clean round') return false;
    return (
      (map.infestedFraction.central ?? 0) > ESTABLISHED_AREA_FRACTION ||
      (map.meanDensityPerM2.central ?? 0) > ESTABLISHED_DENSITY_FRACTION * threshold
    );
  });
  if (established) return 1;
  const found = seen.some(
    ({ map, strata }) =>
      map.positives > 0 || map.basis === 'drawn patches' || (strata !== null && strata.densityPerM2.low > 0),
  );
  return found ? 2 : 3;
}

/** Zones of a field by what treating them gains per m² under the chosen program (else the best), central biology. */
function rankZones(
  needs: Readonly<Record<string, unknown>>,
  f: number,
  chosen: string | null,
  programs: readonly string[],
  bankOf: BankOf,
): FieldPriority['zones'] {
  const zones = (needs['zones'] as (FieldZones | null)[])[f];
  const start = (needs['start'] as (BankStart | null)[])[f];
  if (!zones) return [];
  const program = chosen === null || chosen === 'as-now' ? bestProgram(f, programs, bankOf) : programs.indexOf(chosen);
  const now = bankOf(f, programs.indexOf('as-now'))?.lossPresentValuePerM2?.inZone ?? null;
  const then = program < 0 ? null : (bankOf(f, program)?.lossPresentValuePerM2?.inZone ?? null);
  const sums = new Float64Array(zones.zones.length);
  const counts = new Uint32Array(zones.zones.length);
  const isValued = start?.classOfCell && now && then;
  if (isValued) {
    for (let cell = 0; cell < zones.zoneOfCell.length; cell++) {
      const zone = zones.zoneOfCell[cell]! - 1;
      const at = start.classOfCell[cell]!;
      if (zone < 0 || at >= now.length) continue;
      sums[zone]! += now[at]! - then[at]!;
      counts[zone]!++;
    }
  }
  const valued = zones.zones.map(({ id, areaM2 }, index) => {
    const mean = counts[index] === 0 ? 0 : sums[index]! / counts[index]!;
    return { id, areaM2, gainPerM2: isValued ? mean : null };
  });
  return valued
    .sort((a, b) => (b.gainPerM2 ?? 0) - (a.gainPerM2 ?? 0) || b.areaM2 - a.areaM2 || (a.id < b.id ? -1 : 1))
    .map(({ id, gainPerM2 }, index) => ({ id, rank: index + 1, gainPerM2 }));
}

function bestProgram(f: number, programs: readonly string[], bankOf: BankOf): number {
  const now = bankOf(f, programs.indexOf('as-now'));
  const gains = programs.map((_, j) => gainOf(now, bankOf(f, j)) ?? -Infinity);
  return gains.indexOf(Math.max(...gains));
}
