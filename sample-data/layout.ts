/** The farm as it lies: 14 invented fields along invented roads, in metres along the roads (right, up) about the farm's centre. */
import { alongRoads } from './ground.ts';
import { ringAreaM2, type Corner, type Ring } from './outline.ts';

export type CropId = 'corn' | 'soybean';
export type Evidence = 'quadrats' | 'row length' | 'rating' | 'drawn' | 'nobody looked';

/** One piece of ground in local metres. The first ring is its outside. */
export interface Part {
  readonly rings: readonly Ring[];
  /** True for the ring of the same place where a machine may drive over it, header up: a grassed waterway, not a pond. */
  readonly crossable: readonly boolean[];
}

export interface SampleField {
  readonly id: string;
  readonly name: string;
  readonly file: 'boundaries.geojson' | 'south-fields.zip';
  readonly parts: readonly Part[];
  readonly areaM2: number;
  readonly crops: Readonly<Record<2024 | 2025 | 2026, CropId>>;
  readonly evidence: Evidence;
  /** Places looked at in the late round of 2026. */
  readonly places: number;
  readonly passesDeg: number;
  readonly harvest: {
    readonly on: string;
    readonly startMinute: number;
    readonly speedMS: number;
    readonly log: boolean;
  };
}

const box = (left: number, low: number, right: number, top: number): [number, number][] => [
  [left, low],
  [right, low],
  [right, top],
  [left, top],
];

type Drawn = readonly (readonly [number, number])[];

function part(outside: Drawn, ...holes: { ring: Drawn; crossable: boolean }[]): Part {
  const outer = outside.map(alongRoads);
  const inner = holes.map(({ ring }) => {
    const corners: Corner[] = ring.map(alongRoads);
    return ringAreaM2(corners) > 0 ? corners.reverse() : corners;
  });
  return { rings: [outer, ...inner], crossable: [false, ...holes.map((hole) => hole.crossable)] };
}

const POND: Drawn = [
  [392, 452],
  [408, 421],
  [436, 402],
  [470, 398],
  [500, 409],
  [518, 434],
  [520, 463],
  [505, 488],
  [477, 501],
  [444, 497],
  [414, 481],
];
const WATERWAY: Drawn = [
  [1228, 236],
  [1241, 228],
  [1302, 402],
  [1372, 566],
  [1413, 742],
  [1468, 905],
  [1455, 912],
  [1398, 748],
  [1357, 573],
  [1288, 409],
];
const CREEK: Drawn = [
  [-684, 12],
  [-12, 12],
  [-12, 748],
  [-78, 726],
  [-140, 672],
  [-214, 655],
  [-292, 690],
  [-368, 702],
  [-437, 655],
  [-498, 577],
  [-571, 552],
  [-640, 580],
  [-684, 566],
];

interface Sketch {
  name: string;
  south?: true;
  parts: Part[];
  /** 2026; corn and soybean alternate. */
  crop: CropId;
  evidence: Evidence;
  places?: number;
  /** Passes along the roads' up (0) or right (90). */
  passes: 0 | 90;
  on: string;
  startMinute: number;
  speedMS: number;
  log?: false;
}

const SKETCHES: readonly Sketch[] = [
  {
    name: 'Home',
    parts: [part(box(12, 12, 700, 740), { ring: POND, crossable: false })],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 48,
    passes: 0,
    on: '2026-09-22',
    startMinute: 820,
    speedMS: 2.12,
  },
  {
    name: 'Long Side',
    parts: [part(box(720, 12, 1130, 940))],
    crop: 'corn',
    evidence: 'row length',
    places: 32,
    passes: 0,
    on: '2026-10-08',
    startMinute: 800,
    speedMS: 1.9,
  },
  {
    name: 'Waterway',
    parts: [part(box(1150, 12, 1597, 1180), { ring: WATERWAY, crossable: true })],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 64,
    passes: 0,
    on: '2026-09-24',
    startMinute: 815,
    speedMS: 2.15,
  },
  {
    name: 'Both Sides',
    parts: [part(box(-1597, 900, -1110, 1420)), part(box(-1085, 900, -640, 1420))],
    crop: 'corn',
    evidence: 'row length',
    places: 12,
    passes: 90,
    on: '2026-10-13',
    startMinute: 790,
    speedMS: 1.93,
  },
  {
    name: 'The Point',
    parts: [
      part([
        [-12, 800],
        [-12, 1590],
        [-760, 1590],
      ]),
    ],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 24,
    passes: 0,
    on: '2026-09-30',
    startMinute: 850,
    speedMS: 1.95,
  },
  {
    name: 'Elbow',
    parts: [
      part([
        [-1597, 12],
        [-700, 12],
        [-700, 420],
        [-1130, 420],
        [-1130, 870],
        [-1597, 870],
      ]),
    ],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 40,
    passes: 0,
    on: '2026-09-28',
    startMinute: 805,
    speedMS: 2.16,
  },
  {
    name: 'Creek',
    parts: [part(CREEK)],
    crop: 'corn',
    evidence: 'quadrats',
    places: 14,
    passes: 0,
    on: '2026-10-15',
    startMinute: 830,
    speedMS: 1.86,
  },
  {
    name: 'North Flat',
    parts: [part(box(12, 770, 700, 1597))],
    crop: 'corn',
    evidence: 'row length',
    places: 24,
    passes: 0,
    on: '2026-10-10',
    startMinute: 785,
    speedMS: 1.97,
  },
  {
    name: 'Tower',
    south: true,
    parts: [part(box(12, -812, 560, -12))],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 30,
    passes: 0,
    on: '2026-09-25',
    startMinute: 825,
    speedMS: 2.0,
  },
  {
    name: 'Sand Hill',
    south: true,
    parts: [
      part([
        [580, -812],
        [1030, -700],
        [1030, -12],
        [580, -12],
      ]),
    ],
    crop: 'soybean',
    evidence: 'quadrats',
    places: 6,
    passes: 0,
    on: '2026-09-26',
    startMinute: 840,
    speedMS: 2.0,
    log: false,
  },
  {
    name: 'Twenty',
    south: true,
    parts: [part(box(1050, -412, 1597, -12))],
    crop: 'corn',
    evidence: 'quadrats',
    places: 5,
    passes: 90,
    on: '2026-10-17',
    startMinute: 845,
    speedMS: 1.8,
  },
  {
    name: 'Corner',
    south: true,
    parts: [
      part([
        [-812, -560],
        [-640, -700],
        [-12, -700],
        [-12, -12],
        [-812, -12],
      ]),
    ],
    crop: 'soybean',
    evidence: 'rating',
    passes: 90,
    on: '2026-10-01',
    startMinute: 795,
    speedMS: 2.14,
  },
  {
    name: 'Old Lane',
    south: true,
    parts: [part(box(-1597, -500, -832, -12))],
    crop: 'corn',
    evidence: 'drawn',
    passes: 90,
    on: '2026-10-20',
    startMinute: 835,
    speedMS: 1.92,
  },
  {
    name: 'Far Piece',
    south: true,
    parts: [part(box(-1597, -1400, -950, -900))],
    crop: 'soybean',
    evidence: 'nobody looked',
    passes: 90,
    on: '2026-10-02',
    startMinute: 860,
    speedMS: 2.08,
  },
];

const other = (crop: CropId): CropId => (crop === 'corn' ? 'soybean' : 'corn');

export const FIELDS: readonly SampleField[] = SKETCHES.map((sketch) => ({
  id: sketch.name.toLowerCase().replace(/ /g, '-'),
  name: sketch.name,
  file: sketch.south ? 'south-fields.zip' : 'boundaries.geojson',
  parts: sketch.parts,
  areaM2: sketch.parts.reduce((sum, { rings }) => sum + rings.reduce((of, ring) => of + ringAreaM2(ring), 0), 0),
  crops: { 2024: sketch.crop, 2025: other(sketch.crop), 2026: sketch.crop },
  evidence: sketch.evidence,
  places: sketch.places ?? 0,
  passesDeg: sketch.passes,
  harvest: { on: sketch.on, startMinute: sketch.startMinute, speedMS: sketch.speedMS, log: sketch.log ?? true },
}));

/** Fields as the one combine came to them. */
export const HARVEST_ORDER: readonly SampleField[] = [...FIELDS].sort((a, b) =>
  a.harvest.on < b.harvest.on ? -1 : a.harvest.on > b.harvest.on ? 1 : 0,
);

export function ringsOf(field: SampleField): Ring[] {
  return field.parts.flatMap((each) => [...each.rings]);
}
