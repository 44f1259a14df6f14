/** Rows of a harvest log as its records: flow and speed settled, header sections merged, what is missing told. */
import { problem, type ProblemList } from '../model/problem.ts';
import type { HarvestLogRecords } from '../model/records.ts';
import { boundsOfPlaces } from './bounds-of-places.ts';
import { listed } from './columns.ts';
import type { Table } from './csv.ts';
import type { Numbers } from './growing.ts';
import { flowOf, type RawLog, speedOf } from './harvest-log-flow.ts';
import type { HarvestLogRows, RowRules, ValueId } from './harvest-log-rows.ts';
import type { LogTimes } from './harvest-log-times.ts';
import { firstRows, groupSections, mergeSections, type SectionColumns } from './header-sections.ts';

export function recordsOfRows(
  table: Table,
  rules: RowRules,
  rows: HarvestLogRows,
  times: LogTimes,
  problems: ProblemList,
): HarvestLogRecords {
  const file = table.name;
  const { found } = rules;
  const column = (id: ValueId) => rows.values[id]?.done() ?? null;
  const crop = cropOf(rows, table, problems);
  const { timeS, made } = times;
  const durationS = column('duration') ?? (made && made.by !== 'a second a record' ? made.durationS : null);
  const sections = rows.section.count > 0 ? groupSections(timeS, rows.section.done()) : null;
  const steps = sections ? Float64Array.from(firstRows(sections.record, sections.count), (row) => timeS[row]!) : timeS;
  const log: RawLog = {
    count: timeS.length,
    timeS: steps,
    swath: column('swath'),
    distance: column('distance') ?? (made && made.by !== 'duration' ? made.wayM : null),
    speed: column('speed'),
    duration: durationS,
    flow: column('flow'),
    mass: column('mass'),
    yield: column('yield'),
    yieldVolume: column('yieldVolume'),
  };
  const { speed, notes } = speedOf(log, file);
  problems.addAll(notes);
  const flow = flowOf(log, speed, found, crop, file);
  problems.addAll(flow.notes);
  let merged: SectionColumns = {
    timeS,
    lon: rows.lon.done(),
    lat: rows.lat.done(),
    flow: flow.flow,
    swath: log.swath,
    moisture: column('moisture'),
  };
  let pick: Uint32Array | null = null;
  if (sections) {
    pick = firstRows(sections.record, sections.count);
    merged = mergeSections(merged, sections.record, sections.count);
    problems.add(
      problem(
        'note',
        'sections-merged',
        `${timeS.length} rows of ${sections.sections} header sections make ${sections.count} records: widths and flows of one time add up.`,
        { where: { file, column: found.section!.column } },
      ),
    );
  }
  if (!log.swath)
    problems.add(
      problem('note', 'no-width', 'The log has no cut width: the header width of the machine is used.', {
        where: { file },
        hint: 'Or say one width for all rows (swath: "=30 ft").',
      }),
    );
  if (!found.moisture)
    problems.add(
      problem(
        'note',
        'no-moisture',
        'The log has no moisture: its grain is taken to be as moist as the crop is traded.',
        {
          where: { file },
          hint: 'Or say one moisture for all rows (moisture: "=17 %").',
        },
      ),
    );
  const count = merged.timeS.length;
  const whole = (values: Numbers | null) => (values ? Float32Array.from(values) : new Float32Array(count).fill(NaN));
  const single = (values: Numbers | null) => {
    if (!values) return new Float32Array(count).fill(NaN);
    return pick ? Float32Array.from(pick, (row) => values[row]!) : whole(values);
  };
  const lines = rows.row.done();
  const down = rows.headerDown.done();
  return {
    kind: 'harvest log',
    count,
    timeS: merged.timeS,
    lon: merged.lon,
    lat: merged.lat,
    flowKgS: whole(merged.flow),
    moistureFraction: whole(merged.moisture),
    swathM: whole(merged.swath),
    headerDown: pick && sections ? anyDown(down, sections.record, count) : down,
    headingDeg: single(column('heading')),
    speedMS: single(speed),
    durationS: single(durationS),
    row: pick ? Uint32Array.from(pick, (row) => lines[row]!) : lines,
    ...(times.machine && !pick ? { machine: times.machine } : {}),
    ...(made ? { timesMade: made.by } : {}),
    bounds: boundsOfPlaces(merged.lon, merged.lat),
    crop,
  };
}

function anyDown(down: Uint8Array, record: Uint32Array, count: number): Uint8Array {
  const any = new Uint8Array(count);
  for (let i = 0; i < record.length; i++) if (down[i] === 1) any[record[i]!] = 1;
  return any;
}

function cropOf(rows: HarvestLogRows, table: Table, problems: ProblemList): string | null {
  const known = new Set<string>();
  const unknown: string[] = [];
  for (const [text, crop] of rows.crops) {
    if (crop) known.add(crop);
    else unknown.push(text);
  }
  const where = { file: table.name };
  if (unknown.length > 0)
    problems.add(
      problem('note', 'crop-unknown', `The crop ${listed(unknown)} is not known here.`, {
        where,
        hint: 'The crop comes from the season then.',
      }),
    );
  if (known.size > 1)
    problems.add(
      problem('warning', 'several-crops', `The log names several crops: ${listed([...known])}.`, {
        where,
        hint: 'Split the file by crop.',
      }),
    );
  return known.size === 1 && unknown.length === 0 ? [...known][0]! : null;
}
