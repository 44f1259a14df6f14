/** Per field and round: everything that was counted, rated or drawn there, by species, merged by place. */
import { intersect } from '../../geometry/clip.ts';
import { createFrame } from '../../geometry/local-frame.ts';
import { polygonAreaM2, toLocalPolygon } from '../../geometry/polygon.ts';
import { indexPolygon } from '../../geometry/polygon-index.ts';
import type { FlatMultiPolygon, LonLat, MultiPolygon } from '../../geometry/types.ts';
import type { ReadFile } from '../../import/importer.ts';
import { patchSpeciesOf } from '../../import/patch-species.ts';
import type { Field, Round } from '../../model/farm.ts';
import { fieldOf } from '../../model/lookups.ts';
import { done, problem, type Problem } from '../../model/problem.ts';
import type { Observation, Rating } from '../../model/records.ts';
import { defineStep } from '../define-step.ts';
import type { FieldGround } from './field.ts';

/** One place of one round and species: counts and efforts of all observations there added. */
export interface Place {
  readonly xM: number;
  readonly yM: number;
  readonly effortM2: number;
  readonly count: number;
  readonly presenceOnly?: boolean;
  readonly atLeast?: boolean;
}

export type DensityClass = 'thin' | 'medium' | 'thick' | { readonly perM2: number };

export interface SpeciesScouting {
  readonly species: string;
  readonly places: readonly Place[];
  readonly rating: Rating | null;
  readonly patches: readonly { readonly area: FlatMultiPolygon; readonly density: DensityClass }[];
}

export interface FieldScouting {
  readonly from: string;
  readonly to: string;
  /** First and last day on which something was counted in this field; where nothing was, the round's own. */
  readonly firstOn: string;
  readonly lastOn: string;
  readonly species: readonly SpeciesScouting[];
  /** Observations taken, before merging. */
  readonly observations: number;
}

interface Settings {
  readonly name: string;
  readonly fieldId: string;
  readonly round: Round | null;
}

/** Two observations nearer than this are one place (methods-spatial §13: 0.5 m). */
const SAME_PLACE_M = 0.5;
const NEAR_DEG = 1e-5;

export const scoutingStep = defineStep<Settings, FieldScouting>({
  id: 'scouting',
  title: 'Scouting',
  version: 2,
  per: ['field', 'round'],
  key: 'content',
  settings(farm, scope) {
    const round = farm.rounds.find((one) => one.id === scope.round)!;
    const field = fieldOf(farm, scope.field!);
    const isNear = nearTo(field);
    const mine = {
      ...round,
      // Only what may lie in this field: a count typed elsewhere changes nothing here.
      typed: round.typed.filter((one) => isNear(one.at)),
      ratings: round.ratings.filter((one) => one.field === field.id),
      patches: round.patches.filter((one) => one.field === field.id),
    };
    return { name: field.name, fieldId: field.id, round: mine };
  },
  needs(farm, scope) {
    const round = farm.rounds.find((one) => one.id === scope.round)!;
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      files: round.files.map((file) => ({ step: 'records', scope: { file } })),
    };
  },
  optional: ['files'],
  *run({ settings, needs }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const files = (needs['files'] as (ReadFile | null)[]).filter((one) => one !== null);
    const round = settings.round!;
    const frame = createFrame(ground.origin);
    const within = indexPolygon(ground.boundary);
    const bySpecies = new Map<
      string,
      { observations: Located[]; rating: Rating | null; patches: SpeciesScouting['patches'][number][] }
    >();
    const of = (species: string) => {
      const known = bySpecies.get(species) ?? { observations: [], rating: null, patches: [] };
      bySpecies.set(species, known);
      return known;
    };
    const problems: Problem[] = [];
    let observations = 0;
    const days: string[] = [];

    const take = (one: Counted) => {
      const [xM, yM] = frame.toLocal(one.at[0], one.at[1]);
      if (!within.contains(xM, yM)) return;
      observations++;
      days.push(one.on);
      of(one.species).observations.push({ ...one, xM, yM });
    };
    for (const { records } of files) {
      if (records.kind === 'scouting') records.observations.forEach(take);
      if (records.kind === 'ratings') {
        for (const one of records.ratings) if (sameName(one.fieldName, settings)) of(one.species).rating = one.rating;
      }
      if (records.kind === 'drawn patches') {
        for (const feature of records.features) {
          const area = intersect(ground.ground, toLocalPolygon(frame, feature.polygon));
          if (polygonAreaM2(area) <= 0) continue;
          const density = densityOf(feature.properties);
          if (density === null) {
            problems.push(
              problem(
                'warning',
                'density-class',
                `Patch ${feature.feature} in field ${settings.name} has no density class.`,
                {
                  where: { feature: feature.feature },
                  hint: 'Give it a class: thin, medium or thick.',
                },
              ),
            );
            continue;
          }
          const species = patchSpeciesOf(feature.properties);
          if (species === null) {
            problems.push(
              problem(
                'warning',
                'species-unknown',
                `Patch ${feature.feature} in field ${settings.name} names a species that is not known here.`,
                {
                  where: { feature: feature.feature },
                  hint: 'Use an EPPO code, a common or a Latin name.',
                },
              ),
            );
            continue;
          }
          of(species).patches.push({ area, density });
        }
      }
    }
    round.typed.forEach(take);
    for (const one of round.ratings) of(one.species).rating = one.rating;
    for (const one of round.patches) {
      const area = intersect(ground.ground, toLocalPolygon(frame, one.area as MultiPolygon));
      if (polygonAreaM2(area) > 0) of(one.species).patches.push({ area, density: one.density });
    }

    const species = [...bySpecies.entries()]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, one]): SpeciesScouting => {
        const { places, merged } = mergePlaces(one.observations);
        if (merged > 0) {
          problems.push(
            problem(
              'note',
              'places-merged',
              `Field ${settings.name}: ${merged} ${merged === 1 ? 'observation at a place already counted was' : 'observations at a place already counted were'} added to it.`,
            ),
          );
        }
        return { species: name, places, rating: one.rating, patches: one.patches };
      });
    const { from, to } = round;
    days.sort();
    return done({ from, to, firstOn: days[0] ?? from, lastOn: days.at(-1) ?? to, species, observations }, problems);
  },
});

/** Tells points within the box around the boundary, a meter added: degrees and the field's own frame differ by millimeters. Longitudes count by the turn. */
function nearTo({ boundary, frameOrigin }: Field): (at: LonLat) => boolean {
  const eastOfOrigin = (lon: number) => lon - frameOrigin[0] - 360 * Math.round((lon - frameOrigin[0]) / 360);
  const corners = boundary.flat(2);
  const isAlong = (places: readonly number[]) => {
    const low = places.reduce((least, one) => Math.min(least, one), Infinity) - NEAR_DEG;
    const high = places.reduce((most, one) => Math.max(most, one), -Infinity) + NEAR_DEG;
    return (place: number) => place >= low && place <= high;
  };
  const isEast = isAlong(corners.map(([lon]) => eastOfOrigin(lon)));
  const isNorth = isAlong(corners.map(([, lat]) => lat));
  return ([lon, lat]) => isEast(eastOfOrigin(lon)) && isNorth(lat);
}

type Counted = Pick<Observation, 'at' | 'on' | 'species' | 'effortM2' | 'count'>;
type Located = Counted & { xM: number; yM: number };

/** Counts and efforts of one place and species added (methods-spatial §3.2). @cost O(n) */
function mergePlaces(observations: readonly Located[]): { places: Place[]; merged: number } {
  const byCell = new Map<
    string,
    { xM: number; yM: number; effortM2: number; count: number; presenceOnly: boolean; atLeast: boolean }
  >();
  for (const one of observations) {
    const presenceOnly = typeof one.count === 'object' && 'present' in one.count;
    const atLeast = typeof one.count === 'object' && 'atLeast' in one.count;
    const count =
      typeof one.count === 'number'
        ? one.count
        : 'present' in one.count
          ? one.count.present
            ? 1
            : 0
          : one.count.atLeast;
    const cell = `${Math.round(one.xM / SAME_PLACE_M)} ${Math.round(one.yM / SAME_PLACE_M)} ${presenceOnly}`;
    const known = byCell.get(cell);
    if (known) {
      known.effortM2 += one.effortM2;
      known.count += count;
      known.atLeast ||= atLeast;
    } else byCell.set(cell, { xM: one.xM, yM: one.yM, effortM2: one.effortM2, count, presenceOnly, atLeast });
  }
  const places = [...byCell.values()].map(({ presenceOnly, atLeast, ...place }): Place => ({
    ...place,
    ...(presenceOnly ? { presenceOnly } : {}),
    ...(atLeast ? { atLeast } : {}),
  }));
  return { places, merged: observations.length - places.length };
}

function sameName(name: string, settings: Settings): boolean {
  const plain = (text: string) => text.trim().replace(/\s+/g, ' ').toLowerCase();
  return plain(name) === plain(settings.name) || name === settings.fieldId;
}

function densityOf(properties: Readonly<Record<string, unknown>>): DensityClass | null {
  const perM2 = Number(properties['densityPerM2'] ?? properties['density_per_m2']);
  if (Number.isFinite(perM2) && perM2 > 0) return { perM2 };
  const word = Object.values(properties).find((value) => value === 'thin' || value === 'medium' || value === 'thick');
  return word === undefined ? null : (word as 'thin' | 'medium' | 'thick');
}
