/** Per field, season and case: seed produced, shed before harvest, and standing when the combine comes. */
import { lateSeedFactor, retentionOnHarvest, seedsPerM2 } from '../../agronomy/seed-return.ts';
import { cropOf, expectedCrop, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { dayNumber } from '../../units/calendar.ts';
import { defineStep } from '../define-step.ts';
import { casesOf, patchworkOf } from '../patchwork.ts';
import type { FieldGround } from './field.ts';
import type { FieldHarvestPath } from './harvest-path.ts';
import type { FieldInfestation } from './infestation.ts';
import type { FieldSeason } from './season.ts';

export interface SpeciesSeed {
  readonly species: string;
  readonly producedSeeds: number;
  readonly shedBeforeSeeds: number;
  readonly standingSeeds: number;
  /** Plants alive at maturity on the field. */
  readonly plants: number;
  readonly perPlant: number;
  readonly retention: number;
  readonly retentionBasis: 'harvest date' | 'no date';
  /** Seeds/m² on the plant at harvest and produced, per cell; evenly over the field on a rating. */
  readonly standingPerM2: Float64Array;
  readonly shedPerM2: Float64Array;
}

export interface FieldSeedReturn {
  readonly crop: string;
  /** False: nobody looked. Its own seed is then not known and stands at none here, so that what is carried in can be followed. */
  readonly looked: boolean;
  readonly species: readonly SpeciesSeed[];
}

interface Settings {
  readonly crop: string;
  readonly species: readonly string[];
  readonly matureOn: string | null;
  readonly utcOffsetMinutes: number;
}

export const seedReturnStep = defineStep<Settings, FieldSeedReturn>({
  id: 'seed-return',
  title: 'Seed return',
  version: 1,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings(farm, scope) {
    return {
      crop: expectedCrop(farm, scope.field!, scope.season!).crop,
      species: speciesOf(farm),
      matureOn: cropOf(farm, scope.field!, scope.season!)?.matureOn ?? null,
      utcOffsetMinutes: farm.utcOffsetMinutes,
    };
  },
  parameters(farm, scope) {
    const { crop } = expectedCrop(farm, scope.field!, scope.season!);
    return ['seedRetention.undatedFraction', ...speciesOf(farm).flatMap((species) => seedParameters(species, crop))];
  },
  needs(farm, scope) {
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      infestation: speciesOf(farm).map((species) => ({
        step: 'infestation',
        scope: { field: scope.field!, season: scope.season!, species },
      })),
      path: { step: 'harvest-path', scope: { field: scope.field!, season: scope.season! } },
      season: { step: 'season', scope },
    };
  },
  *run({ settings, needs, p, scope }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const path = needs['path'] as FieldHarvestPath;
    const season = needs['season'] as FieldSeason;
    const patchwork = patchworkOf(ground, needs['infestation'] as FieldInfestation[], casesOf(scope));
    if (!patchwork)
      return done({
        crop: settings.crop,
        looked: false,
        species: settings.species.map((name) => unseen(name, ground)),
      });
    const { crop } = settings;
    const harvestDay = path.startS === null ? null : Math.floor((path.startS + settings.utcOffsetMinutes * 60) / 86400);
    const matureDay = settings.matureOn === null ? null : dayNumber(settings.matureOn);
    const size = ground.cellAreaM2.length;

    const species = settings.species.map((name, index): SpeciesSeed => {
      const [perPlant, maxPerArea, lateness, R0, k] = seedParameters(name, crop).map((id) => p[id]!) as [
        number,
        number,
        number,
        number,
        number,
      ];
      const late = lateSeedFactor(season.escapeDelayDays[name] ?? 0, lateness);
      const retention = retentionOnHarvest(matureDay, harvestDay, {
        R0,
        k,
        undatedFraction: p['seedRetention.undatedFraction']!,
      });
      const density = patchwork.densityPerM2[index]!;
      const standingPerM2 = new Float64Array(size);
      const shedPerM2 = new Float64Array(size);
      let [producedSeeds, standingSeeds, plants] = [0, 0, 0];
      for (let piece = 0; piece < density.length; piece++) {
        if (density[piece] === 0) continue;
        const areaM2 = patchwork.areaM2[piece]!;
        const produced = seedsPerM2(density[piece]! * late, perPlant, maxPerArea);
        producedSeeds += produced * areaM2;
        standingSeeds += produced * retention.fraction * areaM2;
        plants += density[piece]! * areaM2;
        if (patchwork.isCells) {
          standingPerM2[piece] = produced * retention.fraction;
          shedPerM2[piece] = produced - standingPerM2[piece]!;
        }
      }
      if (!patchwork.isCells) {
        for (let cell = 0; cell < size; cell++) {
          if (ground.inside[cell] !== 1) continue;
          standingPerM2[cell] = standingSeeds / ground.areaM2;
          shedPerM2[cell] = (producedSeeds - standingSeeds) / ground.areaM2;
        }
      }
      return {
        species: name,
        producedSeeds,
        shedBeforeSeeds: producedSeeds - standingSeeds,
        standingSeeds,
        plants,
        perPlant: perPlant * late,
        retention: retention.fraction,
        retentionBasis: retention.basis,
        standingPerM2,
        shedPerM2,
      };
    });
    return done({ crop, looked: true, species });
  },
});

function unseen(species: string, ground: FieldGround): SpeciesSeed {
  const size = ground.cellAreaM2.length;
  return {
    species,
    producedSeeds: 0,
    shedBeforeSeeds: 0,
    standingSeeds: 0,
    plants: 0,
    perPlant: 0,
    retention: 0,
    retentionBasis: 'no date',
    standingPerM2: new Float64Array(size),
    shedPerM2: new Float64Array(size),
  };
}

/** s, Smax, Cs, R0 and k of a species in a crop. */
function seedParameters(species: string, crop: string): string[] {
  return [
    `${species}.seedProduction.${crop}.perPlant`,
    `${species}.seedProduction.${crop}.maxPerArea`,
    `${species}.seedProduction.${crop}.lateness`,
    `${species}.seedRetention.${crop}.R0`,
    `${species}.seedRetention.${crop}.k`,
  ];
}
