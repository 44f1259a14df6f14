/** The facts of one file before it is taken in: what it is, how much of it is usable, and for a log its path and yield. */
import { USUAL_HEADER_M } from '../harvest/machine-parameters.ts';
import { createFrame, frameOriginOf } from '../geometry/local-frame.ts';
import { FLAG_NAMES } from '../model/log-flags.ts';
import { retraceHarvest } from '../harvest/harvest-path.ts';
import { cropIdOf } from '../import/crop-names.ts';
import { readBundle } from '../import/importers.ts';
import type { Bundle, ReadingWishes } from '../import/importer.ts';
import { problem, type Problem } from '../model/problem.ts';
import type { ColumnReading, HarvestLogRecords, Records } from '../model/records.ts';
import { daysOfTrack, trackLengthM } from '../scouting/walked.ts';
import { dayText, instantText } from '../units/calendar.ts';

export interface FileCheck {
  readonly file: string;
  /** null where it could not be read. */
  readonly takenFor: string | null;
  readonly why: string;
  readonly columns?: Readonly<Record<string, ColumnReading>>;
  readonly rows?: number;
  readonly unusedRows?: number;
  readonly problems: readonly Problem[];
  /** Facts by kind of file; names as in the published JSON Schema. */
  readonly [fact: string]: unknown;
}

export interface CheckWishes extends ReadingWishes {
  readonly crop?: string;
  readonly headerWidthM?: number;
}

export function* checkFile(bundle: Bundle, wishes: CheckWishes): Generator<readonly [number, number], FileCheck, void> {
  const outcome = yield* readBundle(bundle, wishes);
  if (!outcome.ok) {
    const worst = outcome.problems.find((one) => one.level === 'error') ?? outcome.problems[0];
    return {
      file: bundle.name,
      takenFor: null,
      why: worst?.text ?? 'It could not be read.',
      problems: outcome.problems,
    };
  }
  const { reading, records } = outcome.value;
  const facts =
    records.kind === 'harvest log'
      ? yield* logFacts(records, bundle.name, wishes)
      : { facts: factsOf(records), problems: [] };
  return {
    file: bundle.name,
    takenFor: reading.takenFor,
    why: reading.why,
    ...(reading.crs === undefined ? {} : { crs: reading.crs }),
    ...facts.facts,
    rows: reading.rows,
    unusedRows: reading.unusedRows,
    columns: reading.columns,
    problems: [...outcome.problems, ...facts.problems],
  };
}

function factsOf(records: Exclude<Records, HarvestLogRecords>): Record<string, unknown> {
  switch (records.kind) {
    case 'boundaries':
    case 'drawn patches':
      return {
        features: records.features.length,
        areaM2: records.features.reduce((sum, one) => sum + one.areaM2, 0),
        // Of no features at all there are no bounds.
        bounds: records.features.length === 0 ? null : records.bounds,
        names: records.features.map((one) => one.name),
      };
    case 'scouting': {
      const bySpecies: Record<string, { observations: number; withWeed: number; effortM2: number }> = {};
      for (const one of records.observations) {
        const of = (bySpecies[one.species] ??= { observations: 0, withWeed: 0, effortM2: 0 });
        of.observations++;
        of.effortM2 += one.effortM2;
        const found = typeof one.count === 'number' ? one.count > 0 : 'present' in one.count ? one.count.present : true;
        if (found) of.withWeed++;
      }
      const days = records.observations.map((one) => one.on).sort();
      return {
        observations: records.observations.length,
        bySpecies,
        bounds: records.bounds,
        firstDay: days[0] ?? null,
        lastDay: days.at(-1) ?? null,
      };
    }
    case 'ratings':
      return { ratings: records.ratings.length };
    case 'weather':
      return {
        days: records.day.length,
        station: records.station,
        firstDay: records.day.length > 0 ? dayText(records.day[0]!) : null,
        lastDay: records.day.length > 0 ? dayText(records.day.at(-1)!) : null,
      };
    case 'crops':
      return { crops: records.crops.length };
    case 'track': {
      const { lines, waypoints, widthM, bounds } = records;
      const days = daysOfTrack(records, 0);
      return {
        stretches: lines.length,
        lengthM: trackLengthM(records),
        waypoints: waypoints.length,
        stops: waypoints.filter((one) => one.isStop).length,
        widthM,
        bounds,
        firstDay: days === null ? null : dayText(days.first),
        lastDay: days === null ? null : dayText(days.last),
      };
    }
    case 'sprayings':
      return { sprayings: records.sprayings.length };
  }
}

function* logFacts(
  log: HarvestLogRecords,
  file: string,
  wishes: CheckWishes,
): Generator<readonly [number, number], { facts: Record<string, unknown>; problems: Problem[] }, void> {
  const problems: Problem[] = [];
  const named = cropInName(file);
  const crop = wishes.crop ?? log.crop ?? named;
  if (wishes.crop === undefined && log.crop === null && named !== null) {
    problems.push(
      problem('note', 'crop-from-name', `The crop is taken to be ${named}, from the file's name.`, {
        where: { file },
        hint: 'Say otherwise with --crop.',
      }),
    );
  }
  if (crop === null) {
    problems.push(
      problem('note', 'crop-not-known', 'The crop is not known: mass and yield at standard moisture cannot be told.', {
        where: { file },
        hint: 'Say the crop: --crop corn.',
      }),
    );
  }
  const noWidth = log.swathM.every((width) => Number.isNaN(width));
  if (noWidth && wishes.headerWidthM === undefined) {
    problems.push(
      problem(
        'note',
        'width-assumed',
        'The log has no swath width: a header of 30 ft is assumed (common practice, no source).',
        {
          where: { file },
          hint: 'Say the width: --header-width 9.14.',
        },
      ),
    );
  }
  const path = yield* retraceHarvest({
    log,
    frame: createFrame(frameOriginOf(log.bounds)),
    boundary: null,
    headerWidthM: wishes.headerWidthM ?? USUAL_HEADER_M,
    antennaForwardM: 0,
    crop,
    scaleTotalKg: null,
    cellM: 5,
    grid: null,
  });
  let [first, last] = [Infinity, -Infinity];
  for (const time of log.timeS) {
    if (time < first) first = time;
    if (time > last) last = time;
  }
  const facts = {
    records: log.count,
    flagged: Object.fromEntries(FLAG_NAMES.map((name) => [name, path.flagged[name]])),
    flowDelayS: path.delay.valueS,
    flowDelayDecided: path.delay.decided,
    flowDelayWhy: path.delay.why,
    coveredAreaM2: path.coveredAreaM2 + path.coveredOutsideM2,
    standardMassKg: path.standardMassKg,
    meanYieldKgHa: path.meanYieldKgHa,
    crop,
    bounds: log.bounds,
    firstTime: instantText(first),
    lastTime: instantText(last),
    hasClock: log.timesMade === undefined,
  };
  return { facts, problems: [...problems, ...path.problems] };
}

/** A crop's name among the words of a file's name: "north40-corn-2026.csv". */
function cropInName(file: string): string | null {
  for (const word of file.toLowerCase().split(/[^a-z]+/)) {
    const crop = word.length > 2 ? cropIdOf(word) : null;
    if (crop !== null) return crop;
  }
  return null;
}
