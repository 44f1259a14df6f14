/** A zone drawn anew to its fresh numbers: the sums over cells alone, on a field as large as the sample's largest. Seeded, warmed, repeated. */
import { FigureBook } from '../../shared/analysis/formula.ts';
import { zoneNumbers } from '../../shared/analysis/zone-numbers.ts';
import type { ZoneBasis } from '../../shared/analysis/zone-sums.ts';
import { cellAreasInside, gridOver, maskInside } from '../../shared/geometry/grid.ts';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import { polygonAreaM2, polygonBounds, toLonLatPolygon } from '../../shared/geometry/polygon.ts';
import type { FlatMultiPolygon, LonLat } from '../../shared/geometry/types.ts';
import { CASES } from '../../shared/model/range.ts';
import { growZone, type EditedZone } from '../../shared/zones/edit.ts';
import { type Row, row } from './row.ts';

const ORIGIN: LonLat = [-93.5, 42];
const SIDE_M = 1000;
const CLASSES = 400;

export function run(): { rows: Row[] } {
  const frame = createFrame(ORIGIN);
  const field = square(0, 0, SIDE_M);
  const basis = inventedBasis(field);
  const zones = Array.from({ length: 6 }, (_, index): EditedZone => {
    const letter = String.fromCharCode(65 + index);
    return { id: `home-${letter}`, letter, area: square(20 + 160 * index, 100, 120), degrees: null };
  });
  const ground = {
    field: 'home',
    name: 'Home',
    frame,
    ground: field,
    minWidthM: 27,
    minAreaM2: 1000,
    display: 'us',
  } as const;
  const took: number[] = [];
  for (let k = 0; k < 24; k++) {
    const start = performance.now();
    const outcome = growZone(zones, ground, 'home-C', 3 + k);
    if (!outcome.ok) throw new Error('zone-edit: the edit was refused');
    const areas = outcome.value.zones.map(({ id, area }) => ({ id, area: toLonLatPolygon(frame, area) }));
    zoneNumbers(basis, areas, new FigureBook());
    if (k >= 4) took.push(performance.now() - start);
  }
  const medianMs = took.sort((a, b) => a - b)[took.length >> 1]!;
  console.log(
    `an edge moved and six zones counted anew, ${basis.ground.inside.length} cells: ${medianMs.toFixed(1)} ms`,
  );
  return { rows: [row('a zone edit to fresh numbers', medianMs, 'ms', { atMost: 150 })] };
}

function square(x: number, y: number, sideM: number): FlatMultiPolygon {
  return [[Float64Array.of(x, y, x + sideM, y, x + sideM, y + sideM, x, y + sideM)]];
}

/** Results as a study has them, of two weeds on every cell. */
function inventedBasis(field: FlatMultiPolygon): ZoneBasis {
  const grid = gridOver(polygonBounds(field), 5);
  const inside = maskInside(grid, field);
  const wave = (scale: number) => Float64Array.from(inside, (one, cell) => one * (1 + Math.sin(cell / scale)));
  const species = ['giant-foxtail', 'waterhemp'];
  const by = <T>(value: T) => ({ mild: value, central: value, harsh: value });
  const perClass = Float64Array.from({ length: CLASSES }, (_, at) => at / 1000);
  const bank = {
    lossPresentValuePerM2: { inZone: perClass, outside: perClass },
    costPresentValuePerM2: { inZone: 0.02, outside: 0.01 },
    costPerM2: { inZone: 0.004, outside: 0.002 },
  };
  return {
    field: 'home',
    ground: {
      origin: ORIGIN,
      boundary: field,
      ground: field,
      boundaryAreaM2: polygonAreaM2(field),
      areaM2: polygonAreaM2(field),
      grid,
      inside,
      cellAreaM2: cellAreasInside(grid, field),
    },
    infestations: species.map((name, index) => ({
      species: name,
      strata: null,
      densityPerM2: Object.fromEntries(CASES.map((which) => [which, wave(700 + index)])),
      map: { basis: 'surface', method: '', notes: [], known: inside, unknownAreaM2: 0 },
    })),
    loss: by({ lossByCell: wave(900), expectedYieldKgHa: 3500, expectedYieldFrom: '', priceKg: 0.4 }),
    seed: by({ species: [] }),
    landed: by({ species, seeds: species.map(() => wave(500)) }),
    start: by({
      species,
      classes: Array.from({ length: CLASSES }, (_, at) => ({ areaM2: 1, bankPerM2: [at, 2 * at] })),
      classOfCell: Uint16Array.from(inside, (_, cell) => cell % CLASSES),
      classOfStratum: null,
    }),
    asNow: by(bank),
    program: { id: 'full', name: 'Full', by: by(bank) },
  } as unknown as ZoneBasis;
}
