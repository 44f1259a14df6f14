/** One quantity over the cells of a field, as Float32 for the screen; NaN where it is unknown or outside. */
import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import type { BankStart } from '../../../shared/analysis/steps/bank-start.ts';
import type { FieldHarvestPath } from '../../../shared/analysis/steps/harvest-path.ts';
import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';
import type { FieldLanded } from '../../../shared/analysis/steps/landed.ts';
import type { FieldYieldLoss } from '../../../shared/analysis/steps/yield-loss.ts';
import type { GridShape, LonLat } from '../../../shared/geometry/types.ts';
import type { Case } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';

export type MapQuantity =
  /** plants/m² */
  | 'density'
  /** share 0–1: the chance that the ground is above the threshold */
  | 'probability'
  /** kg/ha at standard moisture */
  | 'yield'
  /** share 0–1 of the weed-free yield */
  | 'yield-loss'
  /** seeds/m² that came to the ground this season */
  | 'seed-landed'
  /** viable seeds/m² of the coming spring */
  | 'seedbank';

export interface MapGridAsk {
  readonly quantity: MapQuantity;
  readonly field: string;
  readonly season: number;
  /** For density and probability. */
  readonly species?: string;
  /** Of the quantities that have cases; else central. */
  readonly case?: Case;
}

export interface MapGrid {
  /** Origin of the field's metre frame (shared/geometry/local-frame.ts). */
  readonly origin: LonLat;
  /** Cell (0, 0) is south-west; index = row × columns + column. */
  readonly grid: GridShape;
  readonly values: Float32Array;
}

/** null where the evidence draws no map of it: a rating, a mean of few counts, nobody looked, no log. */
export function mapGridQuestion(open: OpenFarm, ask: MapGridAsk): MapGrid | null {
  const ground = open.outcome<FieldGround>('field', { field: ask.field });
  const values = ground && valuesOf(open, ask, ground);
  return ground && values && gridInside(ground, values);
}

/** null where nothing is known of any cell. */
export function gridInside(ground: FieldGround, values: ArrayLike<number>): MapGrid | null {
  const shown = Float32Array.from(values, (value, cell) => (ground.inside[cell] === 1 ? value : NaN));
  return shown.some((value) => !Number.isNaN(value))
    ? { origin: ground.origin, grid: ground.grid, values: shown }
    : null;
}

function valuesOf(open: OpenFarm, ask: MapGridAsk, ground: FieldGround): ArrayLike<number> | null {
  const { field, season } = ask;
  const scope = { field, season, case: ask.case ?? 'central' } as const;
  switch (ask.quantity) {
    case 'density':
    case 'probability': {
      const species = ask.species ?? Object.keys(open.farm.thresholdPerM2).sort()[0];
      if (species === undefined) return null;
      const map = open.outcome<FieldInfestation>('infestation', { field, season, species })?.map ?? null;
      return map && (ask.quantity === 'density' ? map.densityPerM2 : map.probabilityAbove);
    }
    case 'yield':
      return open.outcome<FieldHarvestPath>('harvest-path', { field, season })?.path.yieldGrid?.values ?? null;
    case 'yield-loss':
      return open.outcome<FieldYieldLoss>('yield-loss', scope)?.lossByCell ?? null;
    case 'seed-landed': {
      const landed = open.outcome<FieldLanded>('landed', scope);
      return landed && perM2(landed.seeds, ground.grid.cellM);
    }
    case 'seedbank': {
      const start = open.outcome<BankStart>('bank-start', scope);
      return start?.classOfCell ? bankByCell(start, start.classOfCell) : null;
    }
  }
}

/** All species together, per m² of the whole cell (what the machine's raster counts). */
function perM2(seeds: readonly Float64Array[], cellM: number): Float64Array {
  const sum = new Float64Array(seeds[0]?.length ?? 0);
  for (const one of seeds) for (let cell = 0; cell < sum.length; cell++) sum[cell]! += one[cell]! / cellM ** 2;
  return sum;
}

function bankByCell(start: BankStart, classOfCell: Uint16Array): Float64Array {
  const byClass = start.classes.map((one) => one.bankPerM2.reduce((a, b) => a + b, 0));
  return Float64Array.from(classOfCell, (at) => byClass[at] ?? NaN);
}
