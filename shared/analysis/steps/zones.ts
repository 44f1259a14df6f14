/** Per field and season: the zones that a machine can treat, from what is known of any weed. A proposal until a person accepts it. */
import { parameter } from '../../agronomy/parameter.ts';
import { buffer, intersect } from '../../geometry/clip.ts';
import { createFrame } from '../../geometry/local-frame.ts';
import { polygonAreaM2, toLonLatPolygon, toLocalPolygon } from '../../geometry/polygon.ts';
import { maskInside } from '../../geometry/grid.ts';
import type { FlatMultiPolygon, MultiPolygon } from '../../geometry/types.ts';
import { fieldOf, speciesOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { missedStripFraction } from '../../zones/edge-error.ts';
import { type Phrase, phrase } from '../../zones/phrase.ts';
import { letterOf, zoneId } from '../../zones/letters.ts';
import { boomWidthOf, machineLimits } from '../../zones/machine-limits.ts';
import { proposeZones } from '../../zones/propose.ts';
import { defineStep } from '../define-step.ts';
import type { WeedEvidence } from './evidence.ts';
import type { FieldGround } from './field.ts';
import type { FieldInfestation } from './infestation.ts';

export interface FieldZone {
  readonly id: string;
  readonly letter: string;
  readonly area: MultiPolygon;
  readonly areaM2: number;
  readonly why: string;
}

export interface FieldZones {
  readonly zones: readonly FieldZone[];
  /** By cell, the place of the zone that holds its centre, from 1; 0 where none does. */
  readonly zoneOfCell: Uint16Array;
  readonly from: 'accepted' | 'proposed';
  /** What was widened, merged or dropped. */
  readonly told: readonly Phrase[];
  readonly rules: ZoneRules;
}

export interface ZoneRules {
  readonly level: number;
  readonly minWidthM: number;
  readonly minAreaM2: number;
  readonly bufferM: number;
  readonly simplifyToleranceM: number;
  readonly unknownIsInfested: boolean;
}

interface ZoneSettings {
  readonly field: string;
  readonly thresholds: readonly number[];
  readonly boomWidthM: number | null;
  readonly accepted: readonly { id: string; letter: string; area: MultiPolygon }[] | null;
}

/** Treat where the weed is likelier than not (methods-spatial §10: p* = 0.5 where cost and loss are not known). */
export const USUAL_LEVEL = 0.5;
/** A count speaks for the ground within this distance where no surface can be drawn (methods-spatial §4). */
const POINT_REACH_M = 15;
/** Strip inside an edge that the told share is of, m. */
const EDGE_STRIP_M = 10;
/** 95 % one-sided normal quantile of the buffer formula (methods-season §10). */
const ONE_SIDED_95 = 1.645;

export const zonesStep = defineStep<ZoneSettings, FieldZones>({
  id: 'zones',
  title: 'Zones',
  version: 3,
  per: ['field', 'season'],
  key: 'inputs',
  settings(farm, scope) {
    const set = farm.zoneSets.find((one) => one.field === scope.field && one.season === scope.season! + 1);
    return {
      field: fieldOf(farm, scope.field!).id,
      thresholds: speciesOf(farm).map((one) => farm.thresholdPerM2[one]!),
      boomWidthM: boomWidthOf(farm),
      accepted: set ? set.zones.map(({ id, letter, area }) => ({ id, letter, area: area as MultiPolygon })) : null,
    };
  },
  needs(farm, scope) {
    const weeds = speciesOf(farm).map((species) => ({ field: scope.field!, season: scope.season!, species }));
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      infestation: weeds.map((weed) => ({ step: 'infestation', scope: weed })),
      // Not all that was scouted: a round that says nothing of a field must not draw its zones anew.
      evidence: weeds.map((weed) => ({ step: 'evidence', scope: weed })),
    };
  },
  *run({ settings, needs }) {
    yield [0, 1];
    const ground = needs['field'] as FieldGround;
    const frame = createFrame(ground.origin);
    const rules = rulesFor(ground, settings.boomWidthM);

    if (settings.accepted) {
      const zones = settings.accepted.map((zone): FieldZone => {
        const area = intersect(ground.ground, toLocalPolygon(frame, zone.area));
        return { ...zone, areaM2: polygonAreaM2(area), why: 'drawn or accepted by a person' };
      });
      const areas = settings.accepted.map((zone) => toLocalPolygon(frame, zone.area));
      return done({ zones, zoneOfCell: cellsIn(ground, areas), from: 'accepted', told: [], rules });
    }

    const evidence = needs['evidence'] as WeedEvidence[];
    const weeds = (needs['infestation'] as FieldInfestation[]).map(({ map }, index) => ({
      map,
      seen: evidence[index]!.seen,
      thresholdPerM2: settings.thresholds[index]!,
    }));
    return done(proposedAt(rules.level, { ...settings, ground, weeds }));
  },
});

export interface ProposalInput {
  readonly field: string;
  readonly boomWidthM: number | null;
  readonly ground: FieldGround;
  readonly weeds: readonly {
    readonly map: FieldInfestation['map'];
    readonly seen: WeedEvidence['seen'];
    readonly thresholdPerM2: number;
  }[];
}

/** The zones where the chance of the weed reaches a level, and where it was drawn, counted or rated throughout. @param level above 0 up to 1 */
export function proposedAt(level: number, { field, boomWidthM, ground, weeds }: ProposalInput): FieldZones {
  const frame = createFrame(ground.origin);
  const size = ground.grid.columns * ground.grid.rows;
  const probability = new Float64Array(size).fill(NaN);
  let mapped = false;
  const patches: FlatMultiPolygon[] = [];
  let everywhere = false;
  for (const { map, seen, thresholdPerM2 } of weeds) {
    if (map.basis === 'surface' || map.basis === 'sketch') {
      mapped = true;
      for (let cell = 0; cell < size; cell++) {
        const p = map.probabilityAbove?.[cell] ?? sketchProbability(map.densityPerM2[cell]!, thresholdPerM2);
        if (!Number.isNaN(p) && !(probability[cell]! >= p)) probability[cell] = p;
      }
    } else if (map.basis === 'drawn patches') {
      for (const patch of seen?.patches ?? []) patches.push(patch.area);
    } else if (map.basis === 'points') {
      for (const place of seen?.places ?? []) {
        if (place.count / place.effortM2 < thresholdPerM2) continue;
        patches.push(intersect(ground.ground, circle(place.xM, place.yM, POINT_REACH_M)));
      }
    } else if (map.basis === 'rating' && seen?.rating === 'throughout') everywhere = true;
  }
  const known = mapped
    ? Uint8Array.from(probability, (p, cell) => (Number.isNaN(p) || ground.inside[cell] !== 1 ? 0 : 1))
    : null;
  const rules: ZoneRules = { ...rulesFor(ground, boomWidthM), level, unknownIsInfested: mapped };
  const proposed = proposeZones({
    field: ground.ground,
    probability: mapped ? { ...ground.grid, values: probability } : null,
    level,
    unknownIsInfested: mapped,
    known,
    patches: everywhere ? [ground.ground] : patches,
    bufferM: rules.bufferM,
    minWidthM: rules.minWidthM,
    minAreaM2: rules.minAreaM2,
    simplifyToleranceM: rules.simplifyToleranceM,
  });
  const zones = proposed.zones.map((zone, index): FieldZone => {
    const letter = letterOf(index);
    return {
      id: zoneId(field, letter),
      letter,
      area: toLonLatPolygon(frame, zone.area, 9),
      areaM2: zone.areaM2,
      why: everywhere ? 'rated throughout' : zone.why,
    };
  });
  return {
    zones,
    zoneOfCell: cellsIn(
      ground,
      proposed.zones.map((zone) => zone.area),
    ),
    from: 'proposed',
    told: [...proposed.told, ...edgeInWords(rules, proposed.zones.length)],
    rules,
  };
}

/** The only buffer formula (methods-season §10), without a timing misfit: none is known before the machine is measured. */
function rulesFor(ground: FieldGround, boomWidthM: number | null): ZoneRules {
  const scout = parameter('application.positionSdM.phone').value;
  const machine = parameter('application.positionSdM.rtk').value;
  const { cellM } = ground.grid;
  return {
    level: USUAL_LEVEL,
    ...machineLimits(boomWidthM),
    bufferM: ONE_SIDED_95 * Math.sqrt(scout ** 2 + machine ** 2 + cellM ** 2 / 12),
    simplifyToleranceM: cellM / 2,
    unknownIsInfested: false,
  };
}

/** How much of the outermost strip position error misses, with the buffer and without it. */
function edgeInWords(rules: ZoneRules, zones: number): Phrase[] {
  if (zones === 0) return [];
  const sdM = rules.bufferM / ONE_SIDED_95;
  const percent = (bufferM: number) => `${(100 * missedStripFraction(EDGE_STRIP_M, sdM, bufferM)).toFixed(1)} %`;
  return [
    phrase`Position error misses about ${percent(rules.bufferM)} of the outermost ${{ lengthM: EDGE_STRIP_M }} of a zone with the buffer, ${percent(0)} without it.`,
  ];
}

/** A sketch has no probability; this stands at one half where its density meets the threshold, and orders as the density does. */
function sketchProbability(densityPerM2: number, thresholdPerM2: number): number {
  return densityPerM2 / (densityPerM2 + thresholdPerM2);
}

function circle(x: number, y: number, radiusM: number): FlatMultiPolygon {
  const half = 0.05;
  const dot = Float64Array.of(x - half, y - half, x + half, y - half, x + half, y + half, x - half, y + half);
  return buffer([[dot]], radiusM, { join: 'round', outside: true });
}

function cellsIn(ground: FieldGround, zones: readonly FlatMultiPolygon[]): Uint16Array {
  const zoneOfCell = new Uint16Array(ground.inside.length);
  zones.forEach((zone, index) => {
    const within = maskInside(ground.grid, zone);
    for (let cell = 0; cell < within.length; cell++)
      if ((within[cell]! & ground.inside[cell]!) === 1) zoneOfCell[cell] = index + 1;
  });
  return zoneOfCell;
}
