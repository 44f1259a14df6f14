import type { CellGeometry, ModelCells } from './cell-geometry.ts';
import { cellGeometry } from './cell-geometry.ts';
import type { PlaceGeometry } from './place-geometry.ts';
import { placeGeometry } from './place-geometry.ts';
import type { ModelPlaces } from './places.ts';
import { RANGES_M, rangeOf, RATIOS, ratioOf } from './priors.ts';

interface Spots {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
}

/**
 * What hangs on where places and cells lie and on the range, not on what was counted: worked out when first asked for,
 * then kept. Two chains on one thread share it.
 */
export class RangeGeometries {
  private readonly atPlaces: (PlaceGeometry | undefined)[] = [];
  private readonly atCells: (CellGeometry | undefined)[] = [];

  /** @param direction of the machine's path, radians from x towards y; without it likeness reaches equally far every way */
  constructor(
    readonly places: ModelPlaces,
    readonly cells: ModelCells,
    readonly direction?: number,
  ) {}

  /** Correlations that the sampler moves over. */
  get correlations(): number {
    return RANGES_M.length * (this.direction === undefined ? 1 : RATIOS.length);
  }

  ofPlaces(index: number): PlaceGeometry {
    return (this.atPlaces[index] ??= placeGeometry(this.stretched(this.places, index), RANGES_M[rangeOf(index)]!));
  }

  ofCells(index: number): CellGeometry {
    return (this.atCells[index] ??= cellGeometry(
      this.stretched(this.places, index),
      { ...this.stretched(this.cells, index), coarse: this.cells.coarse },
      this.ofPlaces(index),
    ));
  }

  /** Along the path as it is, across it `ratio` times as far: there likeness reaches equally far every way. */
  private stretched({ xM, yM }: Spots, index: number): Spots {
    const ratio = RATIOS[ratioOf(index)]!;
    if (this.direction === undefined || ratio === 1) return { xM, yM };
    const [c, s] = [Math.cos(this.direction), Math.sin(this.direction)];
    return {
      xM: xM.map((x, i) => c * x + s * yM[i]!),
      yM: yM.map((y, i) => ratio * (c * y - s * xM[i]!)),
    };
  }
}
