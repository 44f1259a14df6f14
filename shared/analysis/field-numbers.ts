/** The numbers of one field, each made through its formula and kept as a figure under its path. */
import type { LatentFacts } from '../agronomy/infestation.ts';
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import { FLAG_NAMES } from '../model/log-flags.ts';
import type { Ledger } from '../harvest/ledger.ts';
import { machineParameterIds } from '../harvest/machine-parameters.ts';
import type { Program } from '../model/farm.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { type Compared, comparedByControl, comparedByGain } from './compare-programs.ts';
import type { FieldFacts } from './field-facts.ts';
import type { FigureBook, Input } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import { spokenForM2 } from './known-ground.ts';
import type { HarvestFacts } from './steps/harvest-facts.ts';
import type { InfestationFacts } from './steps/infestation-facts.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldPriority } from './steps/priority.ts';
import type { FieldSeason } from './steps/season.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';
import type { FieldBank } from './steps/seedbank.ts';
import type { FieldYieldLoss } from './steps/yield-loss.ts';
import type { FieldZones } from './steps/zones.ts';
import type { FieldStudy } from './study-field.ts';
import { variogramLine } from './variogram-line.ts';

export type ByCase<T> = Record<Case, T | null>;

export interface Numbers {
  readonly at: string;
  readonly areaM2: number;
  readonly figures: FigureBook;
  readonly known: InfestationFacts;
  readonly loss: ByCase<FieldYieldLoss>;
  readonly seed: ByCase<FieldSeedReturn>;
  readonly landed: ByCase<FieldLanded>;
  readonly banks: readonly { id: string; by: ByCase<FieldBank> }[];
  readonly facts: FieldFacts;
}

export type Seen = Pick<Numbers, 'at' | 'areaM2' | 'figures' | 'known'>;

export function speciesLines({ at, areaM2, figures, known }: Seen): FieldStudy['bySpecies'] {
  return known.weeds.map(({ species, map }) => {
    const assumed = map.basis === 'rating' || map.basis === 'drawn patches' || map.basis === 'nothing';
    const shown = assumed ? UNKNOWN_RANGE : map.meanDensityPerM2;
    const from = {
      words: `${map.method} ${map.places} places, ${map.positives} with the weed, ${map.effortM2.toFixed(1)} m² looked at.`,
    };
    const ends = { mild: shown.low, central: shown.central, harsh: shown.high };
    const mean = figures.range(
      `${at}/bySpecies/${species}/meanDensityPerM2`,
      FORMULAS.meanDensity,
      (which) => ({ D: { value: ends[which], from } }),
      { notes: map.notes },
    );
    const area = { mild: map.infestedAreaM2.low, central: map.infestedAreaM2.central, harsh: map.infestedAreaM2.high };
    const infested = figures.range(
      `${at}/bySpecies/${species}/infestedAreaM2`,
      map.latent ? FORMULAS.infestedByCounts : FORMULAS.infestedArea,
      (which) => ({ A_inf: { value: area[which], from }, ...(map.latent ? foundBeside(map.latent, which) : {}) }),
      { notes: map.notes },
    );
    const unknown = figures.exact(`${at}/bySpecies/${species}/unknownAreaM2`, FORMULAS.unknownGround, {
      A: { value: areaM2, from: { path: `${at}/areaM2` } },
      A_known: { value: spokenForM2(map, areaM2), from: { words: map.method } },
    })!;
    return {
      species,
      name: speciesInfo(species).name,
      basis: map.basis,
      method: map.method,
      meanDensityPerM2: mean,
      infestedAreaM2: infested,
      unknownAreaM2: unknown,
      places: map.places,
      positives: map.positives,
      rangeIs: map.latent?.saying ?? null,
      notes: map.notes,
      variogram: map.variogram && variogramLine(`${at}/bySpecies/${species}/variogram`, map.variogram, figures),
    };
  });
}

/** What the latent count model found with an area. */
function foundBeside({ range80M2, krigedM2, rangeM, sill, k }: LatentFacts, which: Case): Record<string, Input> {
  const from = { words: 'two chains of the latent count model, geometric means' };
  const beside: Record<string, Input> = {
    R: { value: rangeM, from },
    s: { value: sill, from },
    k: { value: k, from },
  };
  if (which !== 'central') beside['A_80'] = { value: which === 'mild' ? range80M2.low : range80M2.high, from };
  if (krigedM2 !== null && which === 'central')
    beside['A_kriged'] = { value: krigedM2, from: { words: 'ordinary kriging with the variogram, to compare' } };
  return beside;
}

/**
 * Area where any weed is above its threshold: at least the largest of the species' areas, at most their sum within the field; the
 * centre takes, cell by cell, the likeliest species.
 */
export function infestedAny({ at, areaM2, figures, known }: Seen): Range {
  const looked = known.weeds.filter((one) => one.map.basis !== 'nothing');
  const seen = looked.filter((one) => one.map.infestedAreaM2.central !== null);
  const ends = { mild: null, central: null, harsh: null } as Record<Case, number | null>;
  if (seen.length > 0 && seen.length === looked.length) {
    ends.mild = Math.max(...seen.map((one) => one.map.infestedAreaM2.low!));
    ends.harsh = Math.min(
      areaM2,
      seen.reduce((sum, one) => sum + one.map.infestedAreaM2.high!, 0),
    );
    const largest = Math.max(...seen.map((one) => one.map.infestedAreaM2.central!));
    const sum = seen.reduce((all, one) => all + one.map.infestedAreaM2.central!, 0);
    ends.central = Math.min(
      ends.harsh,
      Math.max(
        ends.mild,
        seen.length === 1 ? largest : Math.min(sum, Math.max(largest, known.anyInfestedM2 ?? largest)),
      ),
    );
  }
  return figures.range(
    `${at}/infestedAreaM2`,
    FORMULAS.infestedArea,
    (which) => ({
      A_inf: {
        value: ends[which],
        from: { words: looked.map((one) => `${one.species}: ${one.map.method}`).join(' ') || 'nobody looked' },
      },
    }),
    { notes: seen.flatMap((one) => one.map.notes) },
  );
}

export function programLines({
  at,
  areaM2,
  figures,
  banks,
  facts,
}: Numbers): Pick<FieldStudy, 'stake' | 'stakePerHa' | 'programs'> {
  const now = banks.find((one) => one.id === 'as-now')!.by;
  const r = { value: facts.discountFraction, from: { words: 'planning of the farm' } };
  const stake = figures.range(`${at}/stake`, FORMULAS.stake, (which) => ({
    ...(now[which]
      ? Object.fromEntries(
          now[which].years.map((year, t) => [
            `M_${t}`,
            {
              value: year.lossMoney,
              from: {
                words: `${year.crop} in ${year.year}: ${(100 * year.lossFraction).toFixed(1)}% of the yield, as now, ${which} case`,
              },
            },
          ]),
        )
      : { M_0: { value: null, from: { words: 'nobody looked' } } }),
    r,
  }));
  const perHa = (path: string, of: Range, whole: string) => {
    const ends = { mild: of.low, central: of.central, harsh: of.high };
    return figures.range(path, FORMULAS.perHectare, (which) => ({
      x: { value: ends[which], from: { path: whole } },
      A: { value: areaM2, from: { path: `${at}/areaM2` } },
    }));
  };
  const stakePerHa = perHa(`${at}/stakePerHa`, stake, `${at}/stake`);
  const programs = banks.map(({ id, by }) => {
    const path = `${at}/programs/${id}`;
    const gain = figures.range(`${path}/gain`, FORMULAS.gain, (which) => ({
      S_now: { value: now[which]?.lossPresentValue ?? null, from: { path: `${at}/stake` } },
      S_program: {
        value: by[which]?.lossPresentValue ?? null,
        from: { words: `yield lost under ${id}, ${which} case` },
      },
      K_program: { value: by[which]?.costPresentValue ?? null, from: { words: `cost of ${id} over the horizon` } },
      K_now: {
        value: now[which]?.costPresentValue ?? null,
        from: { words: 'cost of current practice over the horizon' },
      },
    }));
    return {
      id,
      compared: gain.central === null ? byControl(facts.programs, id) : comparedByGain(gain),
      gain,
      gainPerHa: perHa(`${path}/gainPerHa`, gain, `${path}/gain`),
      costPerHa: figures.range(`${path}/costPerHa`, FORMULAS.programCost, (which) => ({
        K: { value: by[which]?.costPerHa ?? null, from: { words: `passes of ${id}` } },
      })),
      seedbankPerM2ByYear: (by.central?.bankPerM2ByYear ?? []).map((_, t) =>
        figures.range(
          `${path}/seedbankPerM2ByYear/${t}`,
          FORMULAS.seedbank,
          (which) =>
            Object.fromEntries(
              Object.entries(by[which]!.bankPerM2BySpecies).map(([name, banks]) => [
                `B_${name}`,
                { value: banks[t]!, from: { words: `${speciesInfo(name).name}, spring ${t}, ${id}, ${which} case` } },
              ]),
            ),
          { behind: bankParameters(facts) },
        ),
      ),
    };
  });
  return { stake, stakePerHa, programs };
}

export function byControl(programs: readonly Program[], id: string): Compared {
  const of = (wanted: string) => programs.find((one) => one.id === wanted)!;
  return comparedByControl(of(id), of('as-now'), ['corn', 'soybean']);
}

/** A figure for each line of the ledger in each case. */
export function tellLedger({ at, figures, landed }: Numbers): void {
  for (const which of CASES) {
    const found = landed[which];
    if (!found) continue;
    for (const line of Object.keys(found.ledger) as (keyof Ledger)[]) {
      const inputs = found.species.map((name, index) => [
        `N_${name}`,
        { value: found.ledgers[index]![line], from: { words: `${speciesInfo(name).name}, ${which} case` } },
      ]);
      figures.exact(`${at}/ledger/${which}/${line}`, FORMULAS.ledgerLine, Object.fromEntries(inputs), {
        behind: machineParameterIds(),
      });
    }
  }
}

export function harvestLine(
  { at, figures }: Pick<Numbers, 'at' | 'figures'>,
  harvest: HarvestFacts,
  directionShare: number | null,
): FieldStudy['harvest'] {
  const from = { words: harvest.assumed ? 'an assumed path: no log' : `${harvest.records} records of the log` };
  figures.exact(`${at}/harvest/coveredAreaM2`, FORMULAS.newlyCutArea, { A: { value: harvest.coveredAreaM2, from } });
  figures.exact(`${at}/harvest/standardMassKg`, FORMULAS.grainMass, { M: { value: harvest.standardMassKg, from } });
  figures.exact(`${at}/harvest/meanYieldKgHa`, FORMULAS.meanYield, { y: { value: harvest.meanYieldKgHa, from } });
  figures.exact(`${at}/harvest/flowDelayS`, FORMULAS.flowDelay, {
    δ: {
      value: harvest.assumed ? null : harvest.delay.valueS,
      from: { words: harvest.assumed ? 'no log' : harvest.delay.why },
    },
  });
  return {
    assumedPath: harvest.assumed,
    records: harvest.records,
    flagged: harvest.assumed ? {} : Object.fromEntries(FLAG_NAMES.map((name) => [name, harvest.flagged[name]])),
    flowDelayS: harvest.assumed ? null : harvest.delay.valueS,
    coveredAreaM2: harvest.coveredAreaM2,
    standardMassKg: harvest.standardMassKg,
    meanYieldKgHa: harvest.meanYieldKgHa,
    headerWidthM: harvest.headerWidthM,
    headerWidthFrom: harvest.headerWidthFrom,
    directionShare,
  };
}

export function seasonLine({ at, figures }: Numbers, seasons: ByCase<FieldSeason>): FieldStudy['season'] {
  const central = seasons.central;
  if (!central) return null;
  return {
    bySpecies: central.species.map((one) => ({
      species: one.species,
      emergenceFrom: one.emergence?.basisText ?? null,
      uncoveredFraction: figures.range(
        `${at}/season/bySpecies/${one.species}/uncoveredFraction`,
        FORMULAS.uncovered,
        (which) => ({
          E: {
            value: seasons[which]?.species.find((it) => it.species === one.species)?.escapingFraction ?? null,
            from: { words: one.emergence?.basisText ?? 'emergence is not known' },
          },
        }),
        { behind: central.cover.map(({ ingredient }) => `residual.${ingredient}.coverDays`) },
      ),
    })),
    cover: central.cover.map(({ ingredient, on, rateFraction, days }) => ({ ingredient, on, rateFraction, days })),
  };
}

export function zoneLines(
  { at, figures }: Numbers,
  zones: FieldZones | null,
  mine: FieldPriority | null,
): FieldStudy['zones'] {
  return (zones?.zones ?? [])
    .map((zone) => ({
      id: zone.id,
      areaM2: figures.exact(`${at}/zones/${zone.id}/areaM2`, FORMULAS.zoneArea, {
        A: { value: zone.areaM2, from: { words: `${zones!.from}: ${zone.why}` } },
      })!,
      rank: mine?.zones.find((one) => one.id === zone.id)?.rank ?? 1,
      why: zone.why,
      area: zone.area,
    }))
    .sort((a, b) => a.rank - b.rank);
}

export function none<T>(): ByCase<T> {
  return { mild: null, central: null, harsh: null };
}

function bankParameters({ species }: FieldFacts): string[] {
  const shared = ['seedbank.enteringFraction', 'seedRetention.undatedFraction', 'machine.headerLossFraction'];
  return [
    ...shared,
    ...species.flatMap((one) => [`${one}.seedbank.survival.tilled`, `${one}.seedbank.emergenceFraction`]),
  ];
}
