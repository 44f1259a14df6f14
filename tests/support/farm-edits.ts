/** Edits as the page makes them, each of the last round or of the coming season's zones. */
import type { LonLat } from '../../shared/geometry/types.ts';
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm, Round } from '../../shared/model/farm.ts';

export function rateField(
  farm: Farm,
  field: string,
  species: string,
  rating: Round['ratings'][number]['rating'],
): Edit {
  const kept = lastRound(farm).ratings.filter((one) => one.field !== field || one.species !== species);
  return inLastRound(farm, 'ratings', [...kept, { field, species, rating }]);
}

export function typeCount(farm: Farm, at: LonLat, species: string, count: number): Edit {
  const { typed, to } = lastRound(farm);
  return inLastRound(farm, 'typed', [...typed, { at, on: to, species, effortM2: 1, count }]);
}

export function drawPatch(farm: Farm, field: string, species: string, corner: LonLat, sideDeg: number): Edit {
  const patch = { field, species, density: 'medium', area: square(corner, sideDeg) } as const;
  return inLastRound(farm, 'patches', [...lastRound(farm).patches, patch]);
}

/** One square zone in place of all zones of the field. */
export function drawZone(farm: Farm, field: string, species: string, corner: LonLat, sideDeg: number): Edit {
  const zone = { id: `${field}-drawn`, letter: 'A', area: square(corner, sideDeg), species };
  const season = lastRound(farm).season + 1;
  const others = farm.zoneSets.filter((one) => one.field !== field || one.season !== season);
  const set = { id: `zones-${field}`, field, season, rules: null, zones: [zone] };
  return { label: 'Draw a zone', sets: [{ path: ['zoneSets'], value: [...others, set] }] };
}

function lastRound(farm: Farm): Round {
  return farm.rounds.at(-1)!;
}

function inLastRound(farm: Farm, member: keyof Round, value: unknown): Edit {
  return { label: `Change ${member}`, sets: [{ path: ['rounds', farm.rounds.length - 1, member], value }] };
}

function square([lon, lat]: LonLat, sideDeg: number): [number, number][][][] {
  const [east, north] = [lon + sideDeg, lat + sideDeg];
  return [
    [
      [
        [lon, lat],
        [east, lat],
        [east, north],
        [lon, north],
        [lon, lat],
      ],
    ],
  ];
}
