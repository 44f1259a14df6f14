import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import type { ZoneFeature } from '../../../shared/export/exporter.ts';

export function ring(lon: number, lat: number, size: number, clockwise = false): LonLat[] {
  const corners: LonLat[] = [
    [lon, lat],
    [lon + size, lat],
    [lon + size, lat + size],
    [lon, lat + size],
    [lon, lat],
  ];
  return clockwise ? corners.reverse() : corners;
}

/** Simple, with a hole, two parts, an island in a hole, and a corner with digits to the last bit. */
export const shapes: MultiPolygon[] = [
  [[ring(-93.62, 42.031, 0.004)]],
  [[ring(-93.61, 42.031, 0.004), ring(-93.609, 42.032, 0.001, true)]],
  [[ring(-93.6, 42.031, 0.002)], [ring(-93.597, 42.031, 0.002)]],
  [[ring(-93.59, 42.03, 0.008), ring(-93.589, 42.031, 0.006, true)], [ring(-93.588, 42.032, 0.002)]],
  [[ring(-93.1234567890123 - 1 / 3e7, 42.000000000000014, 0.0012345678901234)]],
];

export const zones: ZoneFeature[] = shapes.map((polygon, i) => ({
  polygon,
  properties: {
    zone: 'ABCDE'.charAt(i),
    name: ['Home quarter', 'Señor Núñez – östlich 東', 'Two, "quoted"', null, ''][i]!,
    rate: [15, 20.5, 0, null, 12.125][i]!,
    passes: [1, 2, 3, -4, null][i]!,
    plants: [1e-7, 123456.789, -0.5, null, 3e9][i]!,
  },
}));
