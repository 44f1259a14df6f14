import { expect, it } from 'vitest';
import { travelDirectionStep, type TravelDirection } from '../../../shared/analysis/steps/travel-direction.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { closeTo } from '../../support/close-to.ts';
import { run } from '../../support/run.ts';
import { twoFieldFarm } from '../../support/two-field-farm.ts';

const ORIGIN: LonLat = [-93.5, 42];

/** Passes of 300 m, 9 m apart, to and fro at an angle from east, a record every 2 m; the header is up on the way round. */
function logAt(angle: number) {
  const places: [x: number, y: number, down: number][] = [];
  for (let pass = 0; pass < 8; pass++) {
    for (let m = 0; m <= 300; m += 2) places.push([pass % 2 ? 300 - m : m, 9 * pass, 1]);
    for (let m = 2; m < 9; m += 2) places.push([pass % 2 ? 0 : 300, 9 * pass + m, 0]);
  }
  const frame = createFrame(ORIGIN);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const at = places.map(([x, y]) => frame.toLonLat(c * x - s * y, s * x + c * y));
  const records = {
    kind: 'harvest log',
    count: at.length,
    lon: Float64Array.from(at, ([lon]) => lon),
    lat: Float64Array.from(at, ([, lat]) => lat),
    headerDown: Uint8Array.from(places, ([, , down]) => down),
  };
  return { records };
}

function directionOf(logs: readonly unknown[]): number | null {
  const outcome = run(
    travelDirectionStep.run({
      settings: { origin: ORIGIN, shared: [] },
      needs: { logs },
      p: {},
      scope: { field: 'west', season: 2026 },
    }),
  );
  return outcome.ok ? (outcome.value as TravelDirection).direction : NaN;
}

it('is that of the passes, to and fro alike', () => {
  for (const angle of [0.3, 1.2, 2.5])
    closeTo(directionOf([logAt(angle)])!, angle, { within: 1e-3, because: 'degrees of longitude narrow northwards' });
});

it('is not known without a log, with one that cannot be read, or where every direction was driven', () => {
  expect(directionOf([])).toBeNull();
  expect(directionOf([null])).toBeNull();
  expect(directionOf([logAt(0.3), logAt(0.3 + Math.PI / 2)])).toBeNull();
});

it('is that of the season’s log, else of the log of the year before', () => {
  const season = (year: number, file: string) => ({
    year,
    weather: [],
    prices: {},
    crops: [],
    visits: [{ field: 'west', machine: 'combine', file }],
    sprayed: [],
    sightings: [],
  });
  const filesOf = (years: readonly number[]) => {
    const farm = { ...twoFieldFarm(), seasons: years.map((year) => season(year, `log-${year}`)) };
    const { logs } = travelDirectionStep.needs(farm as never, { field: 'west', season: 2026 });
    return (logs as unknown as { scope: { file: string } }[]).map((one) => one.scope.file);
  };
  expect(filesOf([2025, 2026])).toEqual(['log-2026']);
  expect(filesOf([2024, 2025])).toEqual(['log-2025']);
  expect(filesOf([2024])).toEqual([]);
});
