/** An invented farm of three square fields in a row, small enough for a study in a second, and the files that a person brings. */
import { createFrame } from '../../shared/geometry/local-frame.ts';
import type { LonLat } from '../../shared/geometry/types.ts';
import { dayNumber } from '../../shared/units/calendar.ts';

const ORIGIN: LonLat = [-93.5, 42];
const frame = createFrame(ORIGIN);

/** West edges of the fields, m east of the origin; each is a square of this side. */
export const SIDE_M = 120;
export const FIELDS = { West: 0, Middle: 160, East: 320 } as const;
export type FieldName = keyof typeof FIELDS;

/** A place given in metres from a field's south-west corner. */
export function placeIn(field: FieldName, x: number, y: number): LonLat {
  return frame.toLonLat(FIELDS[field] + x, y);
}

export function ring(field: FieldName, x0: number, y0: number, x1: number, y1: number): LonLat[] {
  const corners: [number, number][] = [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
    [x0, y0],
  ];
  return corners.map(([x, y]) => placeIn(field, x, y));
}

export function boundaries(names: readonly FieldName[] = ['West', 'Middle', 'East']): string {
  return JSON.stringify({
    type: 'FeatureCollection',
    features: names.map((name) => ({
      type: 'Feature',
      properties: { name },
      geometry: { type: 'Polygon', coordinates: [ring(name, 0, 0, SIDE_M, SIDE_M)] },
    })),
  });
}

/** Rows of counts on a grid of so many by so many places, each up to `strayM` off it; every second place of the south has the weed. */
export function counts(
  field: FieldName,
  [columns, rows]: readonly [number, number],
  countAt: (x: number, y: number, n: number) => number | string = southOnly,
  day = '2026-08-28',
  strayM = 0,
): string[] {
  return Array.from({ length: columns * rows }, (_, n) => {
    const x = ((n % columns) + 0.5) * (SIDE_M / columns) + strayM * Math.sin(13 * n);
    const y = (Math.floor(n / columns) + 0.5) * (SIDE_M / rows) + strayM * Math.cos(7 * n);
    const [lon, lat] = placeIn(field, x, y);
    return `${day},${field},${lon.toFixed(7)},${lat.toFixed(7)},waterhemp,${countAt(x, y, n)},1`;
  });
}

export function southOnly(_x: number, y: number, n: number): number {
  return y < SIDE_M / 2 ? 2 + (n % 3) * 3 : 0;
}

export const SCOUTING_HEADER = 'date,field,longitude,latitude,species,count,quadrat_m2';
export function scouting(...rows: readonly string[][]): string {
  return `${[SCOUTING_HEADER, ...rows.flat()].join('\n')}\n`;
}

/** Up and down a field in strips of 9 m, one record a second at 2 m/s: about 800 records. */
export function harvestLog(
  field: FieldName,
  day = '2026-10-03',
  startS = 50_000,
  flowKgS = (x: number, y: number) => 6.5 + 1.5 * Math.sin(y / 11 + x / 17),
): string {
  const rows = ['time,longitude,latitude,flow_kg_s,moisture_pct,swath_m,header'];
  let second = dayNumber(day)! * 86_400 + startS;
  for (let strip = 0; strip < 13; strip++) {
    const x = 4.5 + 9 * strip;
    for (let step = 0; step < 70; step++) {
      const along = Math.min(step, 60) * 2;
      const y = strip % 2 === 0 ? along : SIDE_M - along;
      const [lon, lat] = placeIn(field, step > 60 ? x + (step - 60) * 0.9 : x, y);
      const flow = step > 60 ? 0 : flowKgS(x, y);
      const time = new Date(second++ * 1000).toISOString().replace('.000', '');
      rows.push(`${time},${lon.toFixed(7)},${lat.toFixed(7)},${flow.toFixed(3)},15.0,9,${step > 60 ? 0 : 1}`);
    }
  }
  return `${rows.join('\n')}\n`;
}

export const crops = [
  'field,year,crop,planted,emerged,mature,row spacing (in),expected yield (bu/ac),tolerates',
  'West,2026,soybean,2026-05-08,2026-05-16,2026-09-15,15,55,S-metolachlor; glufosinate',
  'Middle,2026,soybean,2026-05-09,2026-05-17,2026-09-16,15,55,S-metolachlor; glufosinate',
  'East,2026,corn,2026-05-01,2026-05-11,2026-09-17,30,190,',
  'West,2025,corn,2025-05-01,2025-05-11,2025-09-17,30,190,S-metolachlor',
  '',
].join('\n');

export const ratings = [
  'field,species,rating,date',
  'West,waterhemp,patches,2026-09-03',
  'Middle,waterhemp,few,2026-09-03',
  '',
].join('\n');

export const sprayings = [
  'field,date,ingredient,share_of_full_label_rate',
  'West,2026-05-10,S-metolachlor,1',
  'Middle,2026-05-11,S-metolachlor,0.5',
  '',
].join('\n');

/** Two patches in West, as drawn. */
export const patches = JSON.stringify({
  type: 'FeatureCollection',
  features: [
    {
      type: 'Feature',
      properties: { species: 'waterhemp', density: 'medium' },
      geometry: { type: 'Polygon', coordinates: [ring('West', 10, 10, 50, 40)] },
    },
    {
      type: 'Feature',
      properties: { species: 'waterhemp', density: 'thick' },
      geometry: { type: 'Polygon', coordinates: [ring('West', 70, 70, 100, 110)] },
    },
  ],
});

/** Warm, now and then a rain: a whole year of days. */
export function weather(year: number): string {
  const first = dayNumber(`${year}-01-01`)!;
  const rows = Array.from({ length: 365 }, (_, n) => {
    const mean = 9 - 16 * Math.cos((2 * Math.PI * (n - 15)) / 365);
    const day = new Date((first + n) * 86_400_000).toISOString().slice(0, 10);
    return `${day},${(mean + 6).toFixed(1)},${(mean - 6).toFixed(1)},${n % 6 === 0 ? 12 : 0}`;
  });
  return `${['date,max_temp_C,min_temp_C,rain_mm', ...rows].join('\n')}\n`;
}

/** Files of the whole farm under the names that a person gives them. */
export function wholeFarm(): Record<string, string> {
  return {
    'west-soybean-harvest.csv': harvestLog('West', '2026-10-03'),
    'middle-soybean-harvest.csv': harvestLog('Middle', '2026-10-04'),
    'rounds.csv': scouting(counts('West', [5, 5]), counts('Middle', [3, 2])),
    'sprayings.csv': sprayings,
    'crops.csv': crops,
    'weather.csv': weather(2026),
    'boundaries.geojson': boundaries(),
  };
}
