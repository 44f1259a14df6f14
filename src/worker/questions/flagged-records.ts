/** Where the records of a log that carry a flag lie, for marks on the map. */
import type { FieldHarvestPath } from '../../../shared/analysis/steps/harvest-path.ts';
import { FLAG } from '../../../shared/harvest/clean-log.ts';
import { joinLogs } from '../../../shared/harvest/join-logs.ts';
import type { ReadFile } from '../../../shared/import/importer.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { harvestOf } from '../../../shared/model/lookups.ts';
import type { FlagName } from '../../../shared/model/log-flags.ts';
import type { HarvestLogRecords } from '../../../shared/model/records.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface FlaggedRecords {
  /** Of those with a place, in file order. */
  readonly at: readonly LonLat[];
  /** Row in its file of each; where several files are read as one, in their order. */
  readonly rows: Uint32Array;
  /** Without a place. */
  readonly placeless: number;
}

/** null where the field has no log. */
export function flaggedRecordsQuestion(
  open: OpenFarm,
  { field, season, flag }: { readonly field: string; readonly season: number; readonly flag: FlagName },
): FlaggedRecords | null {
  const harvest = open.outcome<FieldHarvestPath>('harvest-path', { field, season });
  const logs = harvestOf(open.farm, field, season).files.flatMap((file) => {
    const records = open.outcome<ReadFile>('records', { file })?.records;
    return records?.kind === 'harvest log' ? [records as HarvestLogRecords] : [];
  });
  if (!harvest || harvest.path.assumed || logs.length === 0) return null;
  const { lon, lat, row } = joinLogs(logs);
  const at: LonLat[] = [];
  const rows: number[] = [];
  let placeless = 0;
  harvest.path.flags.forEach((bits, record) => {
    if ((bits & FLAG[flag]) === 0) return;
    const place: LonLat = [lon[record]!, lat[record]!];
    if (!place.every(Number.isFinite)) return void placeless++;
    at.push(place);
    rows.push(row[record]!);
  });
  return { at, rows: Uint32Array.from(rows), placeless };
}
