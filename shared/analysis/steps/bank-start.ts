/**
 * Per field, season and case: the seedbank of the coming spring, before emergence, in classes of like ground. What was there is
 * inferred from this season's survivors; what landed is added. Ground is grouped by the sizes of its banks alone: where zones lie
 * changes nothing of it.
 */
import { cropOf, expectedCrop, speciesOf } from '../../model/lookups.ts';
import type { Farm, Program } from '../../model/farm.ts';
import { done, refused } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import { casesOf, type Patchwork, patchworkOf } from '../patchwork.ts';
import { cohortControls } from '../program-control.ts';
import type { FieldGround } from './field.ts';
import type { FieldInfestation } from './infestation.ts';
import type { FieldLanded } from './landed.ts';
import { type FieldSeason, susceptibleFraction } from './season.ts';
import type { FieldSeedReturn } from './seed-return.ts';

export interface BankClass {
  readonly areaM2: number;
  /** Viable seeds/m² in the top 5 cm, one a species. */
  readonly bankPerM2: readonly number[];
}

export interface BankStart {
  readonly species: readonly string[];
  readonly classes: readonly BankClass[];
  /** Class of each cell, 65535 outside; null on a rating. */
  readonly classOfCell: Uint16Array | null;
  /** On a rating: class of each piece of its patchwork; null where there are cells. */
  readonly classOfStratum: Uint16Array | null;
  readonly areaM2: number;
  /** Field means, seeds/m², one a species: left of the bank before, entered from this season. */
  readonly leftPerM2: readonly number[];
  readonly enteredPerM2: readonly number[];
}

interface Settings {
  readonly species: readonly string[];
  readonly crop: string;
  readonly tillage: 'tilled' | 'no-till';
  readonly asNow: Program;
  readonly susceptible: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

/** Classes a decade of bank size, of each species: a class is at most 1.21 times as rich as the next. */
const CLASSES_A_DECADE = 12;
/** Fewer seeds/m² are none, less than one in 100 ha: else the last trace of a spreader's tail would count as a weed that is there. */
const LEAST_PER_M2 = 1e-6;
const OUTSIDE = 65535;

export const bankStartStep = defineStep<Settings, BankStart>({
  id: 'bank-start',
  title: 'Seedbank of the coming spring',
  version: 2,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    const species = speciesOf(farm);
    const asNow = farm.programs.find((one) => one.id === 'as-now')!;
    return {
      species,
      crop: expectedCrop(farm, scope.field!, scope.season!).crop,
      tillage: tillageOf(farm, scope.field!, scope.season!),
      asNow,
      susceptible: susceptibilities(farm, species, [asNow]),
    };
  },
  parameters(farm, scope) {
    const tillage = tillageOf(farm, scope.field!, scope.season!);
    return [
      'seedbank.enteringFraction',
      'cohort.lateAfterDays',
      ...CONTROL_PARAMETERS,
      ...speciesOf(farm).flatMap((one) => [`${one}.seedbank.survival.${tillage}`, `${one}.seedbank.emergenceFraction`]),
    ];
  },
  needs(farm, scope) {
    const place = { field: scope.field!, season: scope.season! };
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      infestation: speciesOf(farm).map((species) => ({ step: 'infestation', scope: { ...place, species } })),
      season: { step: 'season', scope },
      seed: { step: 'seed-return', scope },
      landed: { step: 'landed', scope },
    };
  },
  *run({ settings, needs, p, scope }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const season = needs['season'] as FieldSeason;
    const seed = needs['seed'] as FieldSeedReturn;
    const landed = needs['landed'] as FieldLanded;
    const patchwork = patchworkOf(ground, needs['infestation'] as FieldInfestation[], casesOf(scope));
    if (!patchwork) return refused(); // nobody looked: the study lists the field as such
    const entering = p['seedbank.enteringFraction']!;

    const pieces = patchwork.areaM2.length;
    const banks = settings.species.map((name, index): SpeciesBank => {
      const survival = p[`${name}.seedbank.survival.${settings.tillage}`]!;
      const plantsPerSeed = p[`${name}.seedbank.emergenceFraction`]! * survivorFraction(settings, season, name, p);
      return speciesBank({
        areaM2: patchwork.areaM2,
        plantsPerM2: patchwork.densityPerM2[index]!,
        leftPerPlant: plantsPerSeed > 0 ? survival / plantsPerSeed : 0,
        seeds: seedsOfPieces(patchwork, index, landed, seed),
        entering,
      });
    });

    const classes: { areaM2: number; sums: number[] }[] = [];
    const classOfPiece = new Uint16Array(pieces).fill(OUTSIDE);
    const classOf = sizeClasses(banks.map((one) => one.size));
    for (let piece = 0; piece < pieces; piece++) {
      const areaM2 = patchwork.areaM2[piece]!;
      if (areaM2 === 0) continue;
      const number = classOf(piece);
      if (number === classes.length) classes.push({ areaM2: 0, sums: settings.species.map(() => 0) });
      const one = classes[number]!;
      one.areaM2 += areaM2;
      for (let index = 0; index < banks.length; index++) one.sums[index]! += banks[index]!.bankPerM2[piece]! * areaM2;
      classOfPiece[piece] = number;
    }
    const areaM2 = classes.reduce((sum, one) => sum + one.areaM2, 0);
    return done({
      species: settings.species,
      classes: classes.map((one) => ({
        areaM2: one.areaM2,
        bankPerM2: one.sums.map((sum) => sum / one.areaM2),
      })),
      classOfCell: patchwork.isCells ? classOfPiece : null,
      classOfStratum: patchwork.isCells ? null : classOfPiece,
      areaM2,
      leftPerM2: banks.map((one) => one.leftSeeds / areaM2),
      enteredPerM2: banks.map((one) => one.enteredSeeds / areaM2),
    });
  },
});

interface SpeciesBank {
  /** Viable seeds/m² in each piece. */
  readonly bankPerM2: Float64Array;
  /** Size class of each piece, 0 where there is no bank. */
  readonly size: Uint16Array;
  readonly leftSeeds: number;
  readonly enteredSeeds: number;
}

function speciesBank(of: {
  areaM2: Float64Array;
  plantsPerM2: Float64Array;
  leftPerPlant: number;
  seeds: Float64Array;
  entering: number;
}): SpeciesBank {
  const { areaM2, plantsPerM2, leftPerPlant, seeds, entering } = of;
  const bankPerM2 = new Float64Array(areaM2.length);
  const size = new Uint16Array(areaM2.length);
  let [leftSeeds, enteredSeeds] = [0, 0];
  let [last, lastSize] = [0, 0];
  for (let piece = 0; piece < areaM2.length; piece++) {
    const area = areaM2[piece]!;
    if (area === 0) continue;
    const left = plantsPerM2[piece]! * leftPerPlant;
    const entered = (seeds[piece]! / area) * entering;
    leftSeeds += left * area;
    enteredSeeds += entered * area;
    const bank = left + entered;
    if (!(bank > LEAST_PER_M2)) continue;
    bankPerM2[piece] = bank;
    if (bank !== last) {
      last = bank;
      lastSize = Math.min(1023, 1 + Math.round(CLASSES_A_DECADE * Math.log10(bank / LEAST_PER_M2)));
    }
    size[piece] = lastSize;
  }
  return { bankPerM2, size, leftSeeds, enteredSeeds };
}

/** Numbers pieces by the sizes of their banks, one a species: 0, 1, … in the order of their first coming. */
function sizeClasses(sizes: readonly Uint16Array[]): (piece: number) => number {
  const branches = new Map<number, number>();
  const numbers = new Map<number, number>();
  let [last, lastNumber] = [-1, 0];
  return (piece) => {
    let node = 0;
    for (const size of sizes) {
      // Many species would outgrow the whole numbers: what was met so far is then numbered anew.
      if (node > 2 ** 40) {
        if (!branches.has(node)) branches.set(node, branches.size + 1);
        node = branches.get(node)!;
      }
      node = 1024 * node + size[piece]!;
    }
    if (node === last) return lastNumber;
    last = node;
    lastNumber = numbers.get(node) ?? numbers.size;
    numbers.set(node, lastNumber);
    return lastNumber;
  };
}

export const CONTROL_PARAMETERS: readonly string[] = [
  'control.excellent',
  'control.good',
  'control.fair',
  'control.poor',
];

export function tillageOf(farm: Farm, field: string, year: number): 'tilled' | 'no-till' {
  return cropOf(farm, field, year)?.tillage === 'no-till' ? 'no-till' : 'tilled';
}

/** species → ingredient → share of the population that it still controls. */
export function susceptibilities(
  farm: Farm,
  species: readonly string[],
  programs: readonly Program[],
): Record<string, Record<string, number>> {
  const ingredients = [
    ...new Set(programs.flatMap((one) => one.passes.flatMap((pass) => pass.parts.map((part) => part.ingredient)))),
  ];
  return Object.fromEntries(
    species.map((one) => [
      one,
      Object.fromEntries(ingredients.map((ingredient) => [ingredient, susceptibleFraction(farm, one, ingredient)])),
    ]),
  );
}

/** Plants that lived to this season's count per seedling that emerged: residuals as sprayed, passes as now as rated. */
function survivorFraction(
  settings: Settings,
  season: FieldSeason,
  species: string,
  p: Readonly<Record<string, number>>,
): number {
  const mine = season.species.find((one) => one.species === species);
  if (!mine || mine.cohorts.length === 0) return 1;
  const controls = cohortControls(
    {
      program: { ...settings.asNow, passes: settings.asNow.passes.filter((pass) => pass.means !== 'residual') },
      crop: settings.crop,
      species,
      inZone: false,
      emergence: mine.emergence,
      plantedDay: season.plantedDay,
      cropDay: season.cropDay,
      lateFromDay: season.cropDay + p['cohort.lateAfterDays']!,
      susceptible: (ingredient) => settings.susceptible[species]?.[ingredient] ?? 1,
    },
    p,
  );
  return mine.cohorts.reduce((sum, cohort, index) => {
    const lives = (1 - cohort.residualControlFraction) * (1 - controls[index]!.post) * cohort.survivalFraction;
    return sum + cohort.shareFraction * lives;
  }, 0);
}

/** Seeds that came to the ground in each piece; on a rating the field's seed lies where it grew. */
export function seedsOfPieces(
  patchwork: Patchwork,
  index: number,
  landed: FieldLanded,
  seed: FieldSeedReturn,
): Float64Array {
  if (patchwork.isCells) return landed.seeds[index]!;
  const total = landed.seeds[index]!.reduce((a, b) => a + b, 0);
  const { plants } = seed.species[index]!;
  return patchwork.densityPerM2[index]!.map((one, piece) =>
    plants > 0 ? ((total * one) / plants) * patchwork.areaM2[piece]! : 0,
  );
}
