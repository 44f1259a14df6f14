/** What a person is told about a harvest log: nothing is filled in, left out or kept as a default in silence. */
import type { FlagName } from '../model/log-flags.ts';
import { type Problem, problem, ProblemList } from '../model/problem.ts';
import { FLAG } from './clean-log.ts';
import { tellClock, tellMadeTimes } from './clock-problems.ts';
import { tellDoubts } from './doubt-problems.ts';
import { tellFlow, tellMoisture } from './grain-problems.ts';
import type { Findings, Tell, Telling } from './harvest-findings.ts';
import { tellMachine } from './machine-problems.ts';
import { tellPlace } from './place-problems.ts';

/** @source methods-season §1.1: S04 removed 13–20 % of records, V19 about 30 %; warn above 40 % */
const MANY_FLAGGED = 0.4;

export function tellProblems(findings: Findings): Problem[] {
  const { input, path } = findings;
  const told = new ProblemList();
  const tell = (level: Problem['level'], code: string, text: string, hint?: string, row?: number) =>
    told.add(
      problem(level, code, text, {
        ...(hint === undefined ? {} : { hint }),
        ...(row === undefined ? {} : { where: { row } }),
      }),
    );
  const note: Tell = (code, text, hint, row) => tell('note', code, text, hint, row);
  const warn: Tell = (code, text, hint, row) => tell('warning', code, text, hint, row);
  const telling: Telling = { note, warn, add: (one) => told.add(one) };
  if (path.count < 2) {
    told.add(
      problem(
        'error',
        'log-without-path',
        `The log has ${path.count} records with a time and a place; a path needs 2.`,
      ),
    );
    return told.list();
  }
  tellMadeTimes(findings, telling);
  tellRecords(findings, telling);
  tellClock(findings, telling);
  tellDoubts(findings, telling);
  tellMachine(findings, telling);
  tellMoisture(findings, telling);
  tellFlow(findings, telling);
  tellRamp(findings, telling);
  tellFlagShare(findings, telling);
  if (input.boundary !== null) tellPlace(input.boundary, findings, telling);
  return told.list();
}

function tellRecords(
  { input: { log }, order, path, sweep, flags, flagged, farAway }: Findings,
  { note, warn }: Telling,
): void {
  if (farAway > 0) {
    warn('far-away', `${farAway} records lie more than 25 km from the rest and are left out of the path.`);
  }
  const subCellM = sweep.owner.grid.cellM;
  if (subCellM > 1.5) {
    note(
      'coarse-raster',
      `The log spans so much ground that newly cut area is counted in sub-cells of ${subCellM.toFixed(1)} m instead of 1 m.`,
      'Look at it field by field.',
    );
  }
  if (order.placeless > farAway) {
    warn(
      'record-without-place',
      `${order.placeless - farAway} records have no time or no position and are left out of the path.`,
    );
  }
  if (order.machines > 1) {
    warn(
      'several-machines',
      `The log holds up to ${order.machines} machines at work at the same time; they were told apart by ${log.machine ? 'what the log says of them' : 'where each could have driven'}, and follow one another in the path.`,
      "A log for each machine is safer: the delay and the seed aboard are then each machine's own.",
    );
  }
  const tellFlag = (flag: FlagName, text: (count: number, firstRow: number) => string) => {
    if (flagged[flag] === 0) return;
    const row = log.row[flags.findIndex((bits) => (bits & FLAG[flag]) !== 0)]!;
    note(flag, text(flagged[flag], row), undefined, row);
  };
  tellFlag(
    'time-order',
    (count, row) => `${count} records stand out of time order, the first in row ${row}; each is used in its place.`,
  );
  tellFlag(
    'duplicate-time',
    (count, row) => `${count} records repeat a time, the first in row ${row}; the first of each is used.`,
  );
  tellFlag(
    'position-jump',
    (count, row) => `${count} positions jump away and back, the first in row ${row}, and are left out of the path.`,
  );
  if (path.undrivable > 0) {
    warn(
      'undrivable-step',
      `${path.undrivable} steps are faster than 10 m/s; the path breaks off there and nothing is cut between.`,
      'Two machines in one file, or a receiver that lost its place?',
    );
  }
  if (path.clock.coarse) {
    note(
      'coarse-times',
      `Times are too coarse to tell steps apart; a record stands for the mean step of ten about it (usually ${path.clock.intervalS.toFixed(2)} s).`,
    );
  }
  if (flagged.bridged > 0) {
    note('bridged', `${flagged.bridged} pauses of the log with the header down were bridged by a straight swath.`);
  }
}

function tellRamp({ ramp }: Findings, { note }: Telling): void {
  if (!ramp.fromData) {
    note(
      'ramp-default',
      `Fewer than 8 passes show how the machine fills: the usual ${ramp.startS} s at the start is flagged.`,
    );
  }
}

function tellFlagShare({ input, flags }: Findings, { warn }: Telling): void {
  let any = 0;
  for (const bits of flags) if ((bits & ~FLAG['time-order']) !== 0) any++;
  if (any > MANY_FLAGGED * input.log.count) {
    warn(
      'many-flagged',
      `${Math.round((100 * any) / input.log.count)} % of the records carry a flag; 13 to 30 % is usual.`,
      'Look at which flags: header state, speed or moisture may be read in a wrong unit.',
    );
  }
}
