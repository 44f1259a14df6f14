/** What no file tells: machines, prices, visits, neighbors, products typed from invented labels, programs to choose from, a budget. */
import { alongRoads, toLonLat } from './ground.ts';
import { FIELDS, HARVEST_ORDER } from './layout.ts';
import { LOCAL_MINUS_UTC_MINUTES } from './harvest-log.ts';
import { logPath, US_LOG } from './log-names.ts';
import { POPULATION, PRODUCTS, PROGRAMS } from './programs.ts';

const at = (right: number, up: number): [number, number] => {
  const [lon, lat] = toLonLat(...alongRoads([right, up]));
  return [Number(lon.toFixed(7)), Number(lat.toFixed(7))];
};

export const NOTE =
  'Invented from end to end: no real farm, person, label or price. Thistlewend Farm grows corn and soybean on 14 fields along a creek. ' +
  'Waterhemp came in with a bought combine some years ago; in 2026 the first Palmer amaranth was counted in Tower and seen from the headland in Creek. ' +
  'Rates have been cut for years and one post pass is left that works. The question on the kitchen table: where does the money for better programs go first?';

/** Which kind of file each name is, and what a person would say against a guess. */
const FILES = [
  { name: 'boundaries.geojson', kind: 'boundaries' },
  { name: 'south-fields.zip', kind: 'boundaries' },
  { name: 'scouting-2025-fall.csv', kind: 'scouting' },
  { name: 'scouting-2026-late.csv', kind: 'scouting' },
  { name: 'scouting-2026-late-rows.csv', kind: 'scouting' },
  { name: 'ratings-2026.csv', kind: 'ratings' },
  { name: 'patches-2026.geojson', kind: 'drawn patches' },
  { name: 'weather-2024-2026.csv', kind: 'weather' },
  { name: 'crops.csv', kind: 'crops' },
  { name: 'sprayings.csv', kind: 'sprayings' },
];

const PRICES = {
  2024: { corn: 0.168, soybean: 0.41 },
  2025: { corn: 0.162, soybean: 0.385 },
  2026: { corn: 0.17, soybean: 0.4 },
} as const;

/**
 * The document but for what its files hold, with three things of its own beside the schema: `fileNames` where the document has
 * file ids, `fieldIds` (name → id), and `sampleFiles` (kind of each file, wishes for its reading).
 */
export function sampleSettings() {
  return {
    schema: 1 as const,
    id: 'thistlewend',
    name: 'Thistlewend Farm (invented)',
    invented: true,
    note: NOTE,
    seed: 7,
    display: 'us' as const,
    currency: 'USD',
    utcOffsetMinutes: LOCAL_MINUS_UTC_MINUTES,
    yard: at(-70, -60),
    fieldIds: Object.fromEntries(FIELDS.map((field) => [field.name, field.id])),
    sampleFiles: [
      ...FILES,
      ...HARVEST_ORDER.filter((field) => field.harvest.log).map((field) => ({
        name: logPath(field),
        kind: 'harvest log',
        ...(field.name === US_LOG ? { utcOffsetMinutes: LOCAL_MINUS_UTC_MINUTES } : {}),
      })),
    ],
    neighbors: [
      {
        id: 'neighbor-home',
        kind: 'home' as const,
        note: 'House and garden across the road from Elbow (invented).',
        at: at(-1650, 240),
      },
      {
        id: 'neighbor-hives',
        kind: 'hives' as const,
        note: 'Six hives at the end of the lane by Both Sides (invented).',
        at: at(-1098, 1450),
      },
      { id: 'neighbor-creek', kind: 'water' as const, note: 'The creek north of Creek (invented).', at: at(-360, 740) },
      { id: 'neighbor-pond', kind: 'water' as const, note: 'The pond in Home (invented).', at: at(456, 450) },
      {
        id: 'neighbor-tomatoes',
        kind: 'sensitive-crop' as const,
        note: 'A tomato plot east of Twenty (invented).',
        at: at(1640, -200),
      },
    ],
    machines: [
      {
        id: 'combine',
        kind: 'combine' as const,
        name: 'Combine (invented)',
        headerWidthM: 9.144,
        antennaForwardM: 0,
        chaffWidthM: 6.4,
        strawWidthM: 8.2,
        residue: 'spread' as const,
        arrivesDirty: false,
      },
      {
        id: 'sprayer',
        kind: 'sprayer' as const,
        name: 'Sprayer (invented)',
        boom: { widthM: 27.432, sections: 9, delayOnS: 0.6, delayOffS: 0.4, lookAheadS: 0.5 },
        tankL: 3785,
      },
    ],
    seasons: ([2024, 2025, 2026] as const).map((year) => ({
      year,
      weather: [],
      prices: PRICES[year],
      crops: [],
      visits:
        year !== 2026
          ? []
          : HARVEST_ORDER.map((field) => ({
              id: `harvest-2026-${field.id}`,
              field: field.id,
              machine: 'combine',
              startedOn: field.harvest.on,
              ...(field.harvest.log ? { fileName: logPath(field) } : { headingDeg: 1.2 + field.passesDeg }),
              done: true,
            })),
      sprayed: [],
      sightings:
        year !== 2026
          ? []
          : [
              { field: 'home', species: 'AMATU', on: '2026-05-04', what: 'first emergence' as const },
              { field: 'waterway', species: 'AMATU', on: '2026-06-12', what: 'tallest' as const, heightMm: 140 },
            ],
    })),
    rounds: [
      {
        id: 'fall-2025',
        season: 2025,
        from: '2025-09-02',
        to: '2025-09-08',
        fileNames: ['scouting-2025-fall.csv'],
        typed: [],
        patches: [],
        ratings: [],
      },
      {
        id: 'late-2026',
        season: 2026,
        from: '2026-08-26',
        to: '2026-09-04',
        fileNames: [
          'scouting-2026-late.csv',
          'scouting-2026-late-rows.csv',
          'ratings-2026.csv',
          'patches-2026.geojson',
        ],
        typed: [],
        patches: [],
        ratings: [],
      },
    ],
    products: PRODUCTS,
    programs: PROGRAMS,
    thresholdPerM2: { AMATU: 1, AMAPA: 1, SETFA: 5 },
    population: POPULATION,
    planning: { horizonYears: 6, discountFraction: 0.05, budget: 18000, mustTreat: [] as string[] },
  };
}
