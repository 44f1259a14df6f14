/** Every shade of the map: what it says of a field, how it is classed and colored, and what draws it inside a field. One entry a shade. */
import { infestedText, thresholdText } from '../../shared/analysis/infested-text.ts';
import { SPECIES } from '../../shared/agronomy/species.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../../shared/model/farm-words.ts';
import { cropOf } from '../../shared/model/lookups.ts';
import type { Range } from '../../shared/model/range.ts';
import { formatNumber, formatQuantity, formatRange, shownUnit } from '../../shared/units/format.ts';
import { bushelKg, type Quantity, UNITS } from '../../shared/units/units.ts';
import type { MapQuantity } from '../state/answers.ts';
import type { ShadeId } from '../state/places.ts';
import * as ramps from './ramp.ts';
import type { Diverging, Ramp } from './ramp.ts';
import { capital } from '../../shared/units/words.ts';

type FieldStudy = Study['fields'][number];

/** What the shade rests on. */
export interface ShadeContext {
  readonly farm: Farm;
  readonly study: Study;
  readonly season: number | null;
  readonly species: string;
}

export interface FieldReading {
  /** SI; null where it is unknown, which is hatched. */
  readonly value: number | null;
  /** For those who hear the map, and for tables. */
  readonly words: string;
  /** Fields of one group are classed together: yields of one crop. */
  readonly group: string;
}

export interface ShownUnit {
  readonly before: string;
  readonly after: string;
  /** SI of one. */
  readonly factor: number;
}

export interface MapShade {
  readonly id: ShadeId;
  readonly ramp: Ramp | Diverging;
  /** 'rank': 1 stands out most, each rank is a step; 'signed': zero in the middle; 'share': fifths of the whole, on every farm. */
  readonly scale: 'linear' | 'log' | 'rank' | 'signed' | 'share';
  /** Less than this (SI) is as good as none. */
  readonly least: number;
  /** What draws it inside a field, and how a cell's value follows; null: nothing does. */
  readonly inside: { readonly quantity: MapQuantity; of(value: number): number } | null;
  /** For the legend, with what is counted. */
  title(context: ShadeContext, group: string): string;
  unit(context: ShadeContext, group: string): ShownUnit;
  read(field: FieldStudy, context: ShadeContext): FieldReading;
}

const NOBODY = 'nobody looked';
const as = (value: number) => value;

export const MAP_SHADES: Readonly<Record<ShadeId, MapShade>> = {
  priority: {
    id: 'priority',
    ramp: ramps.ROSE_TO_PLUM,
    scale: 'rank',
    least: 0,
    inside: null,
    title: () => 'Rank: what to treat first',
    unit: () => ({ before: '', after: '', factor: 1 }),
    read: ({ rank }, { study }) => ({
      value: rank,
      words: rank === null ? NOBODY : `rank ${rank} of ${study.fields.filter((one) => one.rank !== null).length}`,
      group: '',
    }),
  },
  density: {
    id: 'density',
    ramp: ramps.ROSE_TO_PLUM,
    scale: 'log',
    least: 1e-3,
    inside: { quantity: 'density', of: as },
    title: ({ species }) => `${capital(nameOf(species))} plants`,
    unit: (context) => usual('count per area', context),
    read(field, context) {
      const seen = field.bySpecies.find((one) => one.species === context.species);
      const name = nameOf(context.species);
      if (!seen || seen.basis === 'nothing') return unknown(`nobody looked for ${name}`);
      const density = seen.meanDensityPerM2;
      if (density.central === null) return unknown(`${name} rated or drawn, not counted`);
      if (seen.positives === 0) {
        const bound = formatQuantity(density.high, 'count per area', context.farm.display);
        return known(density.central, `no ${name} at ${seen.places} places, at most ${bound} may have been missed`);
      }
      return known(density.central, `${name} ${formatRange(density, 'count per area', context.farm.display)}`);
    },
  },
  chance: {
    id: 'chance',
    ramp: ramps.ROSE_TO_PLUM,
    scale: 'share',
    least: 0,
    inside: { quantity: 'probability', of: as },
    title: ({ species, farm }) => `Chance of ${nameOf(species)} at ${thresholdIn(farm, species)} or more`,
    unit: (context) => usual('fraction', context),
    read({ areaM2, bySpecies }, { farm, species }) {
      const name = nameOf(species);
      const seen = bySpecies.find((one) => one.species === species);
      if (!seen || seen.basis === 'nothing') return unknown(`nobody looked for ${name}`);
      if (seen.infestedAreaM2.central === null) return unknown(`on how much ground ${name} stands is not known`);
      return known(
        seen.infestedAreaM2.central / areaM2,
        `${name} above its threshold on ${infestedText(seen, farm.display)}`,
      );
    },
  },
  confidence: {
    id: 'confidence',
    ramp: ramps.PAPER_TO_INK_BLUE,
    scale: 'share',
    least: 0,
    inside: { quantity: 'probability', of: (chance) => Math.abs(2 * chance - 1) },
    title: ({ species }) => `How sure of ${nameOf(species)}: ground known to be infested or clean`,
    unit: (context) => usual('fraction', context),
    read({ areaM2, bySpecies }, { farm, species }) {
      const name = nameOf(species);
      const seen = bySpecies.find((one) => one.species === species);
      if (!seen || seen.basis === 'nothing') return unknown(`nobody looked for ${name}`);
      const { low, high } = seen.infestedAreaM2;
      if (seen.meanDensityPerM2.central === null) return unknown(`${name} rated or drawn, not counted`);
      if (low === null || high === null) return unknown(`too few counts of ${name} to say how sure`);
      const sure = Math.max(0, Math.min(1, (low + areaM2 - seen.unknownAreaM2 - high) / areaM2));
      return known(sure, `sure of ${name} on ${formatQuantity(sure, 'fraction', farm.display)} of the ground`);
    },
  },
  yield: {
    id: 'yield',
    ramp: ramps.PALE_TO_TEAL,
    scale: 'linear',
    least: 0,
    inside: { quantity: 'yield', of: as },
    title: (_, crop) => (crop === '' ? 'Yield' : `Yield of ${crop}`),
    unit: ({ farm }, crop) => yieldUnit(farm, crop),
    read(field, { farm, season }) {
      const group = season === null ? '' : (cropOf(farm, field.id, season)?.crop ?? '');
      const value = field.harvest?.meanYieldKgHa ?? null;
      if (value === null) return { value, words: 'no yield was logged', group };
      const unit = yieldUnit(farm, group);
      return { value, words: `${group} ${shownIn(unit, value)}`.trim(), group };
    },
  },
  'yield-loss': {
    id: 'yield-loss',
    ramp: ramps.STRAW_TO_RUST,
    scale: 'log',
    least: 1e-3,
    inside: { quantity: 'yield-loss', of: as },
    title: () => 'Yield lost to weeds',
    unit: (context) => usual('fraction', context),
    read: (field, { farm }) =>
      ranged(field.yieldLossFraction, 'fraction', farm, (range) => `${range} of the yield lost to weeds`),
  },
  'seed-landed': {
    id: 'seed-landed',
    ramp: ramps.SAND_TO_UMBER,
    scale: 'log',
    least: 1,
    inside: { quantity: 'seed-landed', of: as },
    title: () => 'Weed seed that came down',
    unit: (context) => usual('count per area', context),
    read: ({ seedsLandedInField, areaM2, harvest }, { farm }) => {
      const way = harvest?.assumedPath ? ', along an assumed path' : '';
      return ranged(
        perArea(seedsLandedInField, areaM2),
        'count per area',
        farm,
        (range) => `${range} seeds came down${way}`,
      );
    },
  },
  seedbank: {
    id: 'seedbank',
    ramp: ramps.SAND_TO_UMBER,
    scale: 'log',
    least: 1,
    inside: { quantity: 'seedbank', of: as },
    title: () => 'Live seed in the soil next spring',
    unit: (context) => usual('count per area', context),
    read(field, { farm }) {
      const bank = field.programs.find((one) => one.id === 'as-now') ?? field.programs[0];
      const coming = bank?.seedbankPerM2ByYear[0];
      return coming
        ? ranged(coming, 'count per area', farm, (range) => `${range} live seeds in the soil next spring`)
        : unknown(NOBODY);
    },
  },
  stake: {
    id: 'stake',
    ramp: ramps.STRAW_TO_RUST,
    scale: 'linear',
    least: 0,
    inside: null,
    title: ({ farm }) => `Cost of doing nothing new over ${farm.planning.horizonYears} years`,
    unit: (context) => usual('money per area', context),
    read: ({ stakePerHa }, { farm }) =>
      ranged(stakePerHa, 'money per area', farm, (range) => `doing nothing new costs ${range}`),
  },
  gain: {
    id: 'gain',
    ramp: ramps.RUST_TO_INK_BLUE,
    scale: 'signed',
    least: 0,
    inside: null,
    title: ({ farm }) => `Gain of the chosen program over ${farm.planning.horizonYears} years`,
    unit: (context) => usual('money per area', context),
    read({ programs, chosenProgram }, { farm }) {
      const chosen = programs.find((one) => one.id === chosenProgram);
      return chosen
        ? ranged(chosen.gainPerHa, 'money per area', farm, (range) => `the chosen program gains ${range}`)
        : unknown('no program is chosen');
    },
  },
};

/** A value as it is printed on screen. */
export function shownIn(unit: ShownUnit, value: number, figures = 3): string {
  const shown = value / unit.factor;
  const number = formatNumber(Math.abs(shown), digitsOf(shown, figures));
  return `${shown < 0 ? '−' : ''}${unit.before}${number}${unit.after}`;
}

/** Decimals that leave at most so many figures, without trailing zeros. */
function digitsOf(value: number, figures: number): number {
  if (Math.abs(value) < 1e-6) return 0;
  return (String(Math.abs(Number(value.toPrecision(figures)))).split('.')[1] ?? '').length;
}

/** For a legend: "per ft²", "$/ac", "%"; '' where there is none. */
export function unitInWords({ before, after }: ShownUnit): string {
  const unit = `${before}${after}`.trim();
  return unit.startsWith('/') ? `per ${unit.slice(1)}` : unit === '' ? '' : `(${unit})`;
}

function usual(quantity: Quantity, { farm }: ShadeContext): ShownUnit {
  const { factor, symbol } = UNITS[shownUnit(quantity, farm.display)];
  return quantity.startsWith('money')
    ? { before: symbol.slice(0, 1), after: symbol.slice(1), factor }
    : { before: '', after: symbol, factor };
}

/** Bushels where the trade has them, in US customary. */
export function yieldUnit(farm: Farm, crop: string): ShownUnit {
  const bushel = farm.display === 'us' ? bushelKg[crop] : undefined;
  if (bushel !== undefined)
    return { before: '', after: ' bu/ac', factor: (bushel * UNITS.ha.factor) / UNITS.ac.factor };
  const { factor, symbol } = UNITS[shownUnit('mass per area', farm.display)];
  return { before: '', after: ` ${symbol}`, factor };
}

function thresholdIn(farm: Farm, species: string): string {
  return thresholdText(farm.thresholdPerM2[species] ?? DEFAULT_THRESHOLD_PER_M2, farm.display);
}

function known(value: number, words: string): FieldReading {
  return { value, words, group: '' };
}

function unknown(words: string): FieldReading {
  return { value: null, words, group: '' };
}

function ranged(range: Range, quantity: Quantity, farm: Farm, words: (range: string) => string): FieldReading {
  return range.central === null
    ? unknown(NOBODY)
    : known(range.central, words(formatRange(range, quantity, farm.display)));
}

function perArea({ low, central, high }: Range, areaM2: number): Range {
  return central === null || low === null || high === null
    ? { low: null, central: null, high: null }
    : { low: low / areaM2, central: central / areaM2, high: high / areaM2 };
}

function nameOf(species: string): string {
  return SPECIES.find((one) => one.id === species)?.name ?? species;
}
