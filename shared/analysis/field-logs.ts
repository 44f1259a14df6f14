/** The logs of a field's harvest: whole where a log is of this field alone, else the part of it that lies on the field. */
import type { MultiPolygon } from '../geometry/types.ts';
import { partOfLog, partsOfLog } from '../harvest/log-parts.ts';
import type { ReadFile } from '../import/importer.ts';
import type { Farm } from '../model/farm.ts';
import { fieldOf, seasonOf } from '../model/lookups.ts';
import type { HarvestLogRecords } from '../model/records.ts';

/** A log that is of several fields: their boundaries, and which of them is this one. */
export interface SharedLog {
  readonly boundaries: readonly MultiPolygon[];
  readonly mine: number;
}

/** Of each of the field's logs, in the order of `harvestOf`; null where the log is this field's alone. */
export function sharedLogs(farm: Farm, field: string, season: number): (SharedLog | null)[] {
  const visits = seasonOf(farm, season)?.visits ?? [];
  return visits
    .filter((one) => one.field === field && one.file !== undefined)
    .map(({ file, part }): SharedLog | null => {
      if (part !== true) return null;
      const fields = [...new Set(visits.filter((one) => one.file === file).map((one) => one.field))];
      return {
        boundaries: fields.map((id) => fieldOf(farm, id).boundary as MultiPolygon),
        mine: fields.indexOf(field),
      };
    });
}

/** @param read of each log; null where it could not be read */
export function logsOnField(
  read: readonly (ReadFile | null)[],
  shared: readonly (SharedLog | null)[],
): HarvestLogRecords[] {
  return read.flatMap((one, n) => {
    if (one?.records.kind !== 'harvest log') return [];
    const log = one.records;
    const part = shared[n];
    return [part ? partOfLog(log, partsOfLog(log, part.boundaries), part.mine) : log];
  });
}
