import { followSeed, type SeedTraceAsk, type ToldTrace, traceBase } from '../../../shared/analysis/seed-trace.ts';
import type { OpenFarm } from '../open-farm.ts';
import type { MapGrid } from './map-grid.ts';

export type ShownTrace = ToldTrace & { readonly map: MapGrid };

/** null where the ground does not touch the field. */
export async function seedTraceQuestion(open: OpenFarm, ask: SeedTraceAsk): Promise<ShownTrace | null> {
  const base = await open.inTurns((result) => traceBase(open.farm, ask, result));
  if (!base) return null;
  const { map, ...told } = await open.driven(followSeed(base));
  const { origin, grid, seedsPerM2 } = map;
  const values = Float32Array.from(seedsPerM2, (value, cell) => (base.ground.inside[cell] === 1 ? value : NaN));
  return { ...told, map: { origin, grid, values } };
}
