import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import type { FieldHarvestPath } from '../../../shared/analysis/steps/harvest-path.ts';
import type { HarvestPath } from '../../../shared/harvest/harvest-path.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Points in time order; every array has one element a point. */
export interface ShownPath {
  /** Origin of the field's metre frame. */
  readonly origin: LonLat;
  /** True where there is no log: strips from boundary, header width and heading. */
  readonly assumed: boolean;
  readonly headerWidthM: number;
  /** Unix seconds; on an assumed path only their differences mean something. */
  readonly timeS: Float64Array;
  /** Middle of the cutter bar, metres of the frame. */
  readonly xM: Float32Array;
  readonly yM: Float32Array;
  readonly headingDeg: Float32Array;
  /** 1 where the segment from this point to the next cuts; 0 for the last point. */
  readonly cutting: Uint8Array;
  /** 0 where the log has a gap after this point. */
  readonly running: Uint8Array;
  /** −1 outside a pass. */
  readonly pass: Int32Array;
  readonly swathM: Float32Array;
  /** At standard moisture; NaN where unusable or assumed. */
  readonly yieldKgHa: Float32Array;
  /** Bits in the order of FLAG_NAMES. */
  readonly flags: Uint16Array;
  /** Share of the field that the swaths covered; null without a boundary or a log. */
  readonly coverageFraction: number | null;
  /** Share of the field's cells with a yield of records that count; null where no yield is mapped. */
  readonly mappedFraction: number | null;
  /** How the delay of the flow sensor was decided; null on an assumed path. */
  readonly delay: HarvestPath['delay'] | null;
}

/** null where the field has no ground. A copy made for the screen. */
export function harvestPathQuestion(
  open: OpenFarm,
  ask: { readonly field: string; readonly season: number },
): ShownPath | null {
  const ground = open.outcome<FieldGround>('field', { field: ask.field });
  const harvest = open.outcome<FieldHarvestPath>('harvest-path', { field: ask.field, season: ask.season });
  if (!ground || !harvest) return null;
  const { path, headerWidthM } = harvest;
  return {
    origin: ground.origin,
    assumed: path.assumed,
    headerWidthM,
    timeS: path.timeS.slice(),
    xM: Float32Array.from(path.xM),
    yM: Float32Array.from(path.yM),
    headingDeg: Float32Array.from(path.headingDeg),
    cutting: path.cutting.slice(),
    running: path.running.slice(),
    pass: path.pass.slice(),
    swathM: path.swathM.slice(),
    yieldKgHa: path.yieldKgHa.slice(),
    flags: path.assumed ? new Uint16Array(path.count) : Uint16Array.from(path.record, (record) => path.flags[record]!),
    coverageFraction: path.assumed ? null : path.coverageFraction,
    mappedFraction: mappedFraction(path, ground),
    delay: path.assumed ? null : path.delay,
  };
}

function mappedFraction({ yieldGrid }: HarvestPath, { inside }: FieldGround): number | null {
  if (!yieldGrid) return null;
  let [cells, mapped] = [0, 0];
  for (let cell = 0; cell < inside.length; cell++) {
    if (inside[cell] !== 1) continue;
    cells++;
    if (!Number.isNaN(yieldGrid.values[cell])) mapped++;
  }
  return cells === 0 ? null : mapped / cells;
}
