/** Per field and season: the log retraced, or an assumed path where there is none. */
import { USUAL_HEADER_M } from '../../harvest/machine-parameters.ts';
import { createFrame } from '../../geometry/local-frame.ts';
import { assumePath } from '../../harvest/assumed-path.ts';
import { type HarvestPath, retraceHarvest } from '../../harvest/harvest-path.ts';
import { joinLogs, overlapsOf } from '../../harvest/join-logs.ts';
import type { ReadFile } from '../../import/importer.ts';
import { cropOf, fieldOf, harvestOf, machineOf } from '../../model/lookups.ts';
import type { LiftableFlag } from '../../model/log-flags.ts';
import { done, problem, type Problem } from '../../model/problem.ts';
import type { HarvestLogRecords } from '../../model/records.ts';
import { dateOf, dayNumber, instantText } from '../../units/calendar.ts';
import { defineStep } from '../define-step.ts';
import { logsOnField, type SharedLog, sharedLogs } from '../field-logs.ts';
import type { FieldGround } from './field.ts';

export interface FieldHarvestPath {
  readonly path: HarvestPath;
  /** The same strips driven the other way; only where the path is assumed, since the direction is then unknown. */
  readonly reversed: HarvestPath | null;
  readonly headerWidthM: number;
  /** Where the header width came from, in words. */
  readonly headerWidthFrom: string;
  /** Unix seconds of the start: from the log, else noon of the day given; null where neither is known. */
  readonly startS: number | null;
}

interface Settings {
  readonly name: string;
  readonly crop: string | null;
  readonly startedOn: string | null;
  readonly headingDeg: number | null;
  readonly headlandLaps: number | null;
  readonly scaleTotalKg: number | null;
  readonly flowDelayS: number | null;
  readonly liftedFlags: readonly LiftableFlag[];
  readonly headerWidthM: number | null;
  readonly antennaForwardM: number;
  readonly utcOffsetMinutes: number;
  readonly shared: readonly (SharedLog | null)[];
  /** Of the logs, in their order. */
  readonly files: readonly string[];
}

const NOON_S = 43200;

export const harvestPathStep = defineStep<Settings, FieldHarvestPath>({
  id: 'harvest-path',
  title: 'Harvest paths',
  version: 2,
  per: ['field', 'season'],
  key: 'inputs',
  settings(farm, scope) {
    const harvest = harvestOf(farm, scope.field!, scope.season!);
    const machine = machineOf(farm, harvest.machine);
    return {
      name: fieldOf(farm, scope.field!).name,
      crop: cropOf(farm, scope.field!, scope.season!)?.crop ?? null,
      startedOn: harvest.startedOn,
      headingDeg: harvest.headingDeg,
      headlandLaps: harvest.headlandLaps,
      scaleTotalKg: harvest.scaleTotalKg,
      flowDelayS: harvest.flowDelayS,
      liftedFlags: harvest.liftedFlags,
      headerWidthM: machine?.headerWidthM ?? null,
      antennaForwardM: machine?.antennaForwardM ?? 0,
      utcOffsetMinutes: farm.utcOffsetMinutes,
      shared: sharedLogs(farm, scope.field!, scope.season!),
      files: harvest.files.map((id) => farm.files.find((one) => one.id === id)?.name ?? id),
    };
  },
  needs(farm, scope) {
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      logs: harvestOf(farm, scope.field!, scope.season!).files.map((file) => ({ step: 'records', scope: { file } })),
    };
  },
  optional: ['logs'],
  *run({ settings, needs }) {
    const ground = needs['field'] as FieldGround;
    const read = needs['logs'] as (ReadFile | null)[];
    const logs = logsOnField(read, settings.shared);
    const names = settings.files.filter((_, n) => read[n]?.records.kind === 'harvest log');
    const problems: Problem[] = [];
    const headerWidthM = settings.headerWidthM ?? USUAL_HEADER_M;
    const headerWidthFrom =
      settings.headerWidthM === null
        ? 'no machine is described: 30 ft is assumed (common practice, no source)'
        : 'the machine’s header';
    const noonS = noonOf(settings.startedOn, settings.utcOffsetMinutes);
    if (logs.length > 0) {
      if (logs.length > 1) {
        problems.push(...overlapProblems(settings.name, names, logs));
        problems.push(
          problem('note', 'logs-joined', `Field ${settings.name}: ${logs.length} logs are read as one, in time order.`),
        );
      }
      const path = yield* retraceHarvest({
        log: joinLogs(logs),
        frame: createFrame(ground.origin),
        boundary: ground.ground,
        headerWidthM,
        antennaForwardM: settings.antennaForwardM,
        crop: settings.crop,
        scaleTotalKg: settings.scaleTotalKg,
        delayS: settings.flowDelayS,
        lifted: settings.liftedFlags,
        cellM: ground.grid.cellM,
        grid: ground.grid,
      });
      return done(
        { path, reversed: null, headerWidthM, headerWidthFrom, startS: isDated(path.timeS[0]) ? path.timeS[0] : noonS },
        [...problems, ...path.problems.map((one) => ofField(one, settings.name))],
      );
    }
    yield [0, 1];
    const assumed = {
      boundary: ground.ground,
      headerWidthM,
      headingDeg: settings.headingDeg,
      ...(settings.headlandLaps === null ? {} : { headlandLaps: settings.headlandLaps }),
      grid: ground.grid,
      startS: noonS ?? 0,
    };
    return done({
      path: assumePath(assumed),
      reversed: assumePath({ ...assumed, reverse: true }),
      headerWidthM,
      headerWidthFrom,
      startS: noonS,
    });
  },
});

/** Two logs of one field at the same time: the same work twice, or two machines. */
function overlapProblems(name: string, files: readonly string[], logs: readonly HarvestLogRecords[]): Problem[] {
  return overlapsOf(logs).map(({ first, second, fromS, toS, row, records }) =>
    problem(
      'warning',
      'logs-overlap',
      `Field ${name}: ${files[first]!} and ${files[second]!} overlap in time, from ${instantText(fromS)} to ${instantText(toS)} (${records} records, from row ${row} on): of records with the same time the first is used, unless two machines are seen.`,
      {
        where: { file: files[second]!, row },
        hint: 'Was the same work exported twice? Then take one of the files out.',
      },
    ),
  );
}

/** Unix seconds of noon on a day, by the farm's clock. */
export function noonOf(day: string | null, utcOffsetMinutes: number): number | null {
  const number = day === null ? null : dayNumber(day);
  return number === null ? null : number * 86400 + NOON_S - utcOffsetMinutes * 60;
}

/** A log that counts seconds from a start it does not give is read as of 1970: its day is the visit's. */
function isDated(timeS: number | undefined): timeS is number {
  return timeS !== undefined && dateOf(Math.floor(timeS / 86400)).year > 1970;
}

/** Names the field in a problem that a lone log could not name. */
function ofField(one: Problem, name: string): Problem {
  return { ...one, text: `Field ${name}: ${one.text}`, where: { ...one.where, id: name } };
}
