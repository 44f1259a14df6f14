import type { CellGeometry, ModelCells } from './cell-geometry.ts';
import { cellGeometry } from './cell-geometry.ts';
import type { PlaceGeometry } from './place-geometry.ts';
import { placeGeometry } from './place-geometry.ts';
import type { ModelPlaces } from './places.ts';
import { RANGES_M } from './priors.ts';

/**
 * What hangs on where places and cells lie and on the range, not on what was counted: worked out when first asked for,
 * then kept. Two chains on one thread share it.
 */
export class RangeGeometries {
  private readonly atPlaces: (PlaceGeometry | undefined)[] = [];
  private readonly atCells: (CellGeometry | undefined)[] = [];

  constructor(
    readonly places: ModelPlaces,
    readonly cells: ModelCells,
  ) {}

  ofPlaces(rangeIndex: number): PlaceGeometry {
    return (this.atPlaces[rangeIndex] ??= placeGeometry(this.places, RANGES_M[rangeIndex]!));
  }

  ofCells(rangeIndex: number): CellGeometry {
    return (this.atCells[rangeIndex] ??= cellGeometry(this.places, this.cells, this.ofPlaces(rangeIndex)));
  }
}
