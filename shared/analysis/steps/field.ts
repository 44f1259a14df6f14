/** Per field: boundary → frame, area, exclusions taken out, the cells of its maps. */
import { geodesicAreaM2 } from '../../geometry/geodesic.ts';
import { cellAreasInside, gridOver, maskInside } from '../../geometry/grid.ts';
import { groundOf } from '../../geometry/ground.ts';
import { createFrame } from '../../geometry/local-frame.ts';
import { polygonAreaM2, polygonBounds, toLocalPolygon, toLonLatPolygon } from '../../geometry/polygon.ts';
import type { FlatMultiPolygon, GridShape, LonLat, MultiPolygon } from '../../geometry/types.ts';
import { done, problem, refused } from '../../model/problem.ts';
import { fieldOf } from '../../model/lookups.ts';
import { defineStep } from '../define-step.ts';

export interface FieldGround {
  readonly origin: LonLat;
  /** Metres of the frame at `origin`; exclusions still in. */
  readonly boundary: FlatMultiPolygon;
  /** The boundary less its exclusions and their buffers. */
  readonly ground: FlatMultiPolygon;
  /** Geodesic area of the boundary on WGS 84, and the same less exclusions. */
  readonly boundaryAreaM2: number;
  readonly areaM2: number;
  readonly grid: GridShape;
  /** 1 where the cell's centre is on the ground. */
  readonly inside: Uint8Array;
  /** Area of the ground in each cell; sums to the ground's area. */
  readonly cellAreaM2: Float64Array;
}

interface Settings {
  readonly name: string;
  readonly origin: LonLat;
  readonly boundary: MultiPolygon;
  readonly exclusions: readonly { id: string; area: MultiPolygon; bufferM: number }[];
}

/** 5 m cells; 10 m above 100 ha. */
const LARGE_FIELD_M2 = 1_000_000;

export const fieldStep = defineStep<Settings, FieldGround>({
  id: 'field',
  title: 'Fields',
  version: 1,
  per: ['field'],
  key: 'inputs',
  settings(farm, scope) {
    const { name, frameOrigin, boundary, exclusions } = fieldOf(farm, scope.field!);
    return {
      name,
      origin: frameOrigin,
      boundary: boundary as MultiPolygon,
      exclusions: exclusions.map(({ id, area, bufferM }) => ({ id, area: area as MultiPolygon, bufferM })),
    };
  },
  needs: () => ({}),
  *run({ settings }) {
    yield [0, 1];
    const frame = createFrame(settings.origin);
    const boundary = toLocalPolygon(frame, settings.boundary);
    const { ground, taken } = groundOf(
      boundary,
      settings.exclusions.map(({ area, bufferM }) => ({ area: toLocalPolygon(frame, area), bufferM })),
    );
    const excludedM2 = taken.reduce((sum, area) => sum + geodesicAreaM2(toLonLatPolygon(frame, area)), 0);
    if (polygonAreaM2(ground) <= 0) {
      return refused(
        problem('error', 'field-empty', `Field ${settings.name} has no ground left after its exclusions.`),
      );
    }
    const boundaryAreaM2 = geodesicAreaM2(settings.boundary);
    const areaM2 = boundaryAreaM2 - excludedM2;
    const grid = gridOver(polygonBounds(boundary), areaM2 > LARGE_FIELD_M2 ? 10 : 5);
    return done({
      origin: settings.origin,
      boundary,
      ground,
      boundaryAreaM2,
      areaM2,
      grid,
      inside: maskInside(grid, ground),
      cellAreaM2: cellAreasInside(grid, ground),
    });
  },
});
