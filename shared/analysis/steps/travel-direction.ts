/** Per field and season: the main direction of the combine's passes, along which strips of its seed would lie; null where no log tells it. */
import { createFrame } from '../../geometry/local-frame.ts';
import { mainDirection } from '../../geometry/main-direction.ts';
import type { LonLat } from '../../geometry/types.ts';
import type { ReadFile } from '../../import/importer.ts';
import type { Farm } from '../../model/farm.ts';
import { fieldOf, harvestOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import type { HarvestLogRecords } from '../../model/records.ts';
import { defineStep } from '../define-step.ts';
import { logsOnField, type SharedLog, sharedLogs } from '../field-logs.ts';

export interface TravelDirection {
  /** Radians from x (east) towards y (north), 0 to π. */
  readonly direction: number | null;
}

interface Settings {
  readonly origin: LonLat;
  readonly shared: readonly (SharedLog | null)[];
}

/** Farther apart than this two records are no piece of one pass; nearer than a hand's breadth they have no direction. */
const LONGEST_M = 30;
const SHORTEST_M = 0.1;

/**
 * Of this season's log, else of the one before: a field is mostly driven the same way (common practice, no source). From the places as
 * logged, header down: a direction needs no retraced path, and so hangs on none of its settings.
 */
export const travelDirectionStep = defineStep<Settings, TravelDirection>({
  id: 'travel-direction',
  title: 'Direction of the passes',
  version: 1,
  per: ['field', 'season'],
  key: 'inputs',
  settings(farm, scope) {
    const { season } = logsOf(farm, scope.field!, scope.season!);
    return { origin: fieldOf(farm, scope.field!).frameOrigin, shared: sharedLogs(farm, scope.field!, season) };
  },
  needs: (farm, scope) => ({
    logs: logsOf(farm, scope.field!, scope.season!).files.map((file) => ({ step: 'records', scope: { file } })),
  }),
  optional: ['logs'],
  *run({ settings, needs }) {
    const headings: number[] = [];
    const lengths: number[] = [];
    const logs = logsOnField(needs['logs'] as (ReadFile | null)[], settings.shared);
    for (const [n, log] of logs.entries()) {
      yield [n, logs.length];
      addPieces(log, settings.origin, headings, lengths);
    }
    return done({ direction: mainDirection(headings, lengths) });
  },
});

function logsOf(farm: Farm, field: string, season: number): { files: readonly string[]; season: number } {
  const { files } = harvestOf(farm, field, season);
  return files.length > 0 ? { files, season } : { files: harvestOf(farm, field, season - 1).files, season: season - 1 };
}

function addPieces(log: HarvestLogRecords, origin: LonLat, headings: number[], lengths: number[]): void {
  const frame = createFrame(origin);
  let [x, y] = [NaN, NaN];
  for (let i = 0; i < log.count; i++) {
    const [toX, toY] = frame.toLocal(log.lon[i]!, log.lat[i]!);
    const lengthM = Math.hypot(toX - x, toY - y);
    if (log.headerDown[i] === 1 && lengthM > SHORTEST_M && lengthM < LONGEST_M) {
      headings.push((Math.atan2(toX - x, toY - y) * 180) / Math.PI);
      lengths.push(lengthM);
    }
    [x, y] = [toX, toY];
  }
}
