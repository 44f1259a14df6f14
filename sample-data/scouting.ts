/** Counts as scouts bring them home: places spread over a field, a few more near known trouble, clumped counts, many zeros. */
import { Draws } from './draws.ts';
import { alongRoads, toLonLat } from './ground.ts';
import { FIELDS, ringsOf, type SampleField } from './layout.ts';
import { boxOf, isInside, type Corner } from './outline.ts';
import { laterBy } from './seasons.ts';
import { bellOf, densityPerM2, PATCHES, SPECIES, type Patch, type SpeciesId } from './weeds.ts';

/** Counts at one mean density still differ from place to place: the negative binomial's k. */
export const CLUMPING_K = 0.8;

const SPECIES_WORDS: Readonly<Record<SpeciesId, string>> = {
  AMATU: 'waterhemp',
  AMAPA: 'Palmer amaranth',
  SETFA: 'giant foxtail',
};
const FOXTAIL_TOO = new Set(['long-side', 'both-sides', 'north-flat', 'home']);

/** Places as far from each other as chance allows: each the farthest of a dozen tries from those before. */
function places(field: SampleField, count: number, nearPatches: number, draws: Draws): Corner[] {
  const rings = ringsOf(field);
  const box = boxOf(rings);
  const inside = (): Corner => {
    for (;;) {
      const [x, y] = [draws.between(box.minX, box.maxX), draws.between(box.minY, box.maxY)];
      if (isInside(rings, x, y)) return [x, y];
    }
  };
  const found: Corner[] = [];
  while (found.length < count - nearPatches) {
    let best = inside();
    let farthest = -1;
    for (let tries = 0; tries < 12; tries++) {
      const [x, y] = inside();
      let nearest = Infinity;
      for (const [fx, fy] of found) nearest = Math.min(nearest, (x - fx) * (x - fx) + (y - fy) * (y - fy));
      if (nearest > farthest) [best, farthest] = [[x, y], nearest];
    }
    found.push(best);
  }
  const wide = (PATCHES[field.id] ?? []).filter((patch) => patch.species !== 'SETFA' && patch.acrossM > 20);
  // Where Palmer amaranth was seen from the road, that is where the scout walks in.
  const palmer = wide.filter((patch) => patch.species === 'AMAPA');
  const patches = palmer.length > 0 ? palmer : wide;
  const spread = palmer.length > 0 ? 0.7 : 1.3;
  for (let k = 0; found.length < count; k++) {
    const patch = patches[k % Math.max(1, patches.length)];
    if (!patch) {
      found.push(inside());
      continue;
    }
    const [px, py] = alongRoads(patch.at);
    const at: Corner = [px + spread * patch.longM * draws.normal(), py + spread * patch.longM * draws.normal()];
    if (isInside(rings, at[0], at[1])) found.push(at);
  }
  return found;
}

/** Bells of 2025: the same places, fewer plants, smaller. */
const lastYear = (patch: Patch): Patch => ({
  ...patch,
  peakPerM2: 0.55 * patch.peakPerM2,
  longM: 0.85 * patch.longM,
  acrossM: 0.85 * patch.acrossM,
});

/** @returns Plants/m² at a place of a field in 2025 or 2026. */
export function fieldDensity(
  field: SampleField,
  year: 2025 | 2026,
): (species: SpeciesId, x: number, y: number) => number {
  const patches = PATCHES[field.id] ?? [];
  const bells = new Map(
    SPECIES.map((species) => [
      species,
      patches
        .filter((one) => one.species === species && !(year === 2025 && species === 'AMAPA'))
        .map((one) => bellOf(year === 2025 ? lastYear(one) : one)),
    ]),
  );
  return (species, x, y) => densityPerM2(field.id, species, bells.get(species)!, x, y);
}

const position = ([x, y]: Corner, draws: Draws): string => {
  const [lon, lat] = toLonLat(x + 1.5 * draws.normal(), y + 1.5 * draws.normal());
  return `${lon.toFixed(6)},${lat.toFixed(6)}`;
};

/** Late round 2026 by quadrat; quadrats of 0.5, 1 and 2 m². */
export function lateQuadrats(): string {
  const size: Readonly<Record<string, readonly number[]>> = {
    home: [1],
    waterway: [1],
    'the-point': [0.5, 0.5, 0.25, 1],
    elbow: [0.5, 1],
    creek: [1],
    tower: [2],
    'sand-hill': [1],
    twenty: [1],
  };
  const lines = ['date,field,point,longitude,latitude,species,count,quadrat_m2,height_cm'];
  FIELDS.filter((field) => field.evidence === 'quadrats').forEach((field, f) => {
    const draws = new Draws(`late quadrats ${field.id}`);
    const density = fieldDensity(field, 2026);
    const near = field.places >= 30 ? 3 : field.places >= 20 ? 2 : 0;
    places(field, field.places, near, draws).forEach((at, p) => {
      const sizes = size[field.id]!;
      const effort = sizes[p % sizes.length]!;
      const where = position(at, draws);
      for (const species of SPECIES) {
        if (species === 'SETFA' && !FOXTAIL_TOO.has(field.id)) continue;
        const count = draws.clumpedCount(density(species, at[0], at[1]) * effort, CLUMPING_K);
        const height =
          count > 0 ? `${draws.whole(species === 'SETFA' ? 60 : 70, species === 'SETFA' ? 130 : 190)}` : '';
        const on = laterBy('2026-08-26', Math.floor(f / 1.5));
        lines.push(`${on},${field.name},${p + 1},${where},${SPECIES_WORDS[species]},${count},${effort},${height}`);
      }
    });
  });
  return `${lines.join('\n')}\n`;
}

/** Late round 2026 in corn, plants along a length of row. */
export function lateRows(): string {
  const lines = ['date,field,point,longitude,latitude,species,plants,row_length_m,row_spacing_m'];
  FIELDS.filter((field) => field.evidence === 'row length').forEach((field, f) => {
    const draws = new Draws(`late rows ${field.id}`);
    const density = fieldDensity(field, 2026);
    places(field, field.places, field.places >= 30 ? 2 : 0, draws).forEach((at, p) => {
      const lengthM = p % 4 === 3 ? 5.3 : 3;
      const where = position(at, draws);
      for (const species of SPECIES) {
        const count = draws.clumpedCount(density(species, at[0], at[1]) * lengthM * 0.762, CLUMPING_K);
        lines.push(
          `${laterBy('2026-08-31', f)},${field.name},${p + 1},${where},${SPECIES_WORDS[species]},${count},${lengthM.toFixed(1)},0.762`,
        );
      }
    });
  });
  return `${lines.join('\n')}\n`;
}

/** Fall 2025, in feet and inches, waterhemp only, seven fields. */
export function fall2025(): string {
  const looked: Readonly<Record<string, number>> = {
    home: 20,
    waterway: 24,
    elbow: 16,
    'the-point': 10,
    tower: 12,
    'long-side': 12,
    creek: 8,
  };
  const lines = ['Date,Field,Lon,Lat,Species,Plants,Quadrat (ft2),Height (in)'];
  FIELDS.filter((field) => looked[field.id] !== undefined).forEach((field, f) => {
    const draws = new Draws(`fall 2025 ${field.id}`);
    const density = fieldDensity(field, 2025);
    places(field, looked[field.id]!, 1, draws).forEach((at) => {
      const effortFt2 = draws.share() < 0.75 ? 10 : 20;
      const count = draws.clumpedCount(density('AMATU', at[0], at[1]) * effortFt2 * 0.09290304, CLUMPING_K);
      const height = count > 0 ? `${draws.whole(30, 76)}` : '';
      lines.push(
        `${laterBy('2025-09-02', f)},${field.name},${position(at, draws)},waterhemp,${count},${effortFt2},${height}`,
      );
    });
  });
  return `${lines.join('\n')}\n`;
}
