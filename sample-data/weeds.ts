/**
 * Where the weeds were planted: surviving plants per m² at maturity, patch by patch, and what they mean for seed and yield.
 * Patches are bells stretched along one direction; a strip is a very long one along the passes. Values inside the ranges of
 * biology.json (seeds per plant, lateness, retention, yield loss); patches and dates are invented.
 */
import { cos, exp, PI, sin } from './elementary.ts';
import { alongRoads } from './ground.ts';
import type { CropId } from './layout.ts';

export const SPECIES = ['AMATU', 'AMAPA', 'SETFA'] as const;
export type SpeciesId = (typeof SPECIES)[number];

export interface Patch {
  readonly species: SpeciesId;
  /** Metres along the roads. */
  readonly at: readonly [number, number];
  readonly peakPerM2: number;
  readonly longM: number;
  readonly acrossM: number;
  /** Clockwise from the roads' up. */
  readonly alongDeg: number;
}

type Row = [SpeciesId, right: number, up: number, peak: number, long: number, across: number, deg: number];

const ROWS: Record<string, Row[]> = {
  home: [
    ['AMATU', 170, 190, 9, 85, 58, 40],
    ['AMATU', 560, 600, 4.5, 62, 44, 110],
    ['SETFA', 600, 120, 5, 70, 60, 0],
  ],
  'long-side': [
    ['AMATU', 840, 300, 3.4, 64, 46, 10],
    ['SETFA', 1030, 760, 8, 90, 55, 0],
  ],
  waterway: [
    ['AMATU', 1330, 470, 7.5, 190, 46, 21],
    ['AMATU', 1520, 930, 3.2, 70, 50, 0],
    ['AMATU', 1208, 760, 3.0, 230, 13, 0],
  ],
  'both-sides': [
    ['AMATU', -900, 1180, 2.6, 52, 42, 90],
    ['SETFA', -1380, 1160, 9, 95, 70, 60],
  ],
  'the-point': [['AMATU', -150, 1440, 3.4, 54, 42, 120]],
  elbow: [
    ['AMATU', -1380, 300, 5.2, 74, 50, 60],
    ['AMATU', -860, 210, 2.8, 56, 44, 0],
    ['AMATU', -1455, 640, 2.6, 170, 12, 0],
  ],
  creek: [
    ['AMATU', -480, 400, 2.4, 50, 42, 70],
    ['AMAPA', -250, 560, 1.3, 34, 26, 80],
  ],
  'north-flat': [['SETFA', 300, 1200, 4, 80, 60, 30]],
  tower: [
    ['AMATU', 230, -560, 2.6, 66, 52, 30],
    ['AMAPA', 430, -210, 2.1, 56, 44, 0],
  ],
  'sand-hill': [['AMATU', 760, -380, 6.4, 70, 52, 150]],
  twenty: [['AMATU', 1240, -210, 2.4, 44, 36, 0]],
  corner: [['AMATU', -300, -320, 3.0, 60, 46, 75]],
  'old-lane': [
    ['AMATU', -1300, -270, 3.4, 66, 44, 90],
    ['SETFA', -980, -180, 6, 60, 50, 0],
  ],
  'far-piece': [['AMATU', -1250, -1160, 5.5, 84, 58, 50]],
};

export const PATCHES: Readonly<Record<string, readonly Patch[]>> = Object.fromEntries(
  Object.entries(ROWS).map(([id, rows]) => [
    id,
    rows.map(([species, right, up, peakPerM2, longM, acrossM, alongDeg]) => ({
      species,
      at: [right, up] as const,
      peakPerM2,
      longM,
      acrossM,
      alongDeg,
    })),
  ]),
);

/** Thinly everywhere, plants/m². */
const BACKGROUND: Readonly<Record<SpeciesId, number>> = { AMATU: 0.006, AMAPA: 0, SETFA: 0.02 };
const CLEANER: Readonly<Record<string, number>> = { 'north-flat': 0.2, twenty: 0.5, creek: 0.5 };

/** A patch ready to be asked for many places in local metres. */
export interface Bell {
  readonly x: number;
  readonly y: number;
  readonly peak: number;
  readonly ux: number;
  readonly uy: number;
  readonly longM: number;
  readonly acrossM: number;
}

export function bellOf(patch: Patch): Bell {
  const angle = (patch.alongDeg * PI) / 180;
  const [x, y] = alongRoads(patch.at);
  const [ux, uy] = alongRoads([sin(angle), cos(angle)]);
  return { x, y, peak: patch.peakPerM2, ux, uy, longM: patch.longM, acrossM: patch.acrossM };
}

/** Surviving plants/m² of a species at a place, given its bells. */
export function densityPerM2(
  fieldId: string,
  species: SpeciesId,
  bells: readonly Bell[],
  x: number,
  y: number,
): number {
  let sum = BACKGROUND[species] * (CLEANER[fieldId] ?? 1);
  for (const bell of bells) {
    const along = (x - bell.x) * bell.ux + (y - bell.y) * bell.uy;
    const across = (x - bell.x) * bell.uy - (y - bell.y) * bell.ux;
    const half = (along * along) / (bell.longM * bell.longM) + (across * across) / (bell.acrossM * bell.acrossM);
    if (half < 60) sum += bell.peak * exp(-half / 2);
  }
  return sum;
}

export interface Biology {
  /** Days from the crop's emergence to that of most survivors. */
  readonly lateDays: number;
  /** Seeds per average plant at low density when emerging with the crop, and the most per m². */
  readonly seedsPerPlant: number;
  readonly mostSeedsPerM2: number;
  readonly latenessPerDay: number;
  readonly keptAtMaturityFraction: number;
  readonly lostPerDay: number;
  /** Yield loss by hyperbola: % per plant/m² and most %, and its lateness. */
  readonly lossI: number;
  readonly lossA: number;
  readonly lossPerDay: number;
}

const row = (
  lateDays: number,
  seedsPerPlant: number,
  mostSeedsPerM2: number,
  latenessPerDay: number,
  keptAtMaturityFraction: number,
  lostPerDay: number,
  lossI: number,
  lossA: number,
  lossPerDay: number,
): Biology => ({
  lateDays,
  seedsPerPlant,
  mostSeedsPerM2,
  latenessPerDay,
  keptAtMaturityFraction,
  lostPerDay,
  lossI,
  lossA,
  lossPerDay,
});

/** The farm's own biology, central where nothing speaks against it. */
export const BIOLOGY: Readonly<Record<CropId, Readonly<Record<SpeciesId, Biology>>>> = {
  soybean: {
    AMATU: row(13, 110000, 280000, 0.115, 0.94, 0.006, 11, 62, 0.11),
    AMAPA: row(12, 125000, 320000, 0.11, 0.98, 0.001, 42, 83, 0.09),
    SETFA: row(10, 700, 20000, 0.06, 0.55, 0.02, 2.6, 65, 0.07),
  },
  corn: {
    AMATU: row(11, 19000, 95000, 0.14, 0.94, 0.006, 1.3, 60, 0.09),
    AMAPA: row(10, 190000, 600000, 0.11, 0.98, 0.001, 26, 92, 0.1),
    SETFA: row(9, 600, 20000, 0.06, 0.55, 0.02, 1.5, 40, 0.07),
  },
};

/** Seeds/m² grown by plants of a density: levels off where they crowd. */
export function seedsPerM2(biology: Biology, plantsPerM2: number): number {
  const single = biology.seedsPerPlant * exp(-biology.latenessPerDay * biology.lateDays) * plantsPerM2;
  return single / (1 + single / biology.mostSeedsPerM2);
}

/** Share of the yield lost. */
export function yieldLossFraction(biology: Biology, plantsPerM2: number): number {
  const loss = biology.lossI * exp(-biology.lossPerDay * biology.lateDays) * plantsPerM2;
  return loss / (1 + loss / biology.lossA) / 100;
}
