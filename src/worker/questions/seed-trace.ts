import { followSeed, type SeedTraceAsk, type ToldTrace, traceBase } from '../../../shared/analysis/seed-trace.ts';
import type { OpenFarm } from '../open-farm.ts';
import type { Tell } from '../tell.ts';
import type { MapGrid } from './map-grid.ts';

export type ShownTrace = ToldTrace & { readonly map: MapGrid };

/** null where the ground does not touch the field, or another was asked of meanwhile. */
export async function seedTraceQuestion(open: OpenFarm, ask: SeedTraceAsk, tell: Tell): Promise<ShownTrace | null> {
  const mine = ++open.traces;
  const base = await open.inTurns((result) => traceBase(open.farm, ask, result));
  if (!base) return null;
  const isOvertaken = () => open.traces !== mine;
  const trace = await open.drivenUnless(followSeed(base, open.drives), isOvertaken, ([done, total]) =>
    tell({ title: 'Following the seed', done, total }),
  );
  if (!trace) return null;
  const { map, ...told } = trace;
  const { origin, grid, seedsPerM2 } = map;
  const values = Float32Array.from(seedsPerM2, (value, cell) => (base.ground.inside[cell] === 1 ? value : NaN));
  return { ...told, map: { origin, grid, values } };
}
