/**
 * What a person is told about a harvest log: nothing is filled in, left out or kept as a default in silence.
 */
import type { FlatMultiPolygon } from '../geometry/types.ts';
import { polygonBounds } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import { type Problem, problem, ProblemList } from '../model/problem.ts';
import type { FlagName } from '../model/log-flags.ts';
import { FLAG, type RecordOrder } from './clean-log.ts';
import type { FollowedClock } from './clock-jumps.ts';
import type { Delay } from './delay.ts';
import type { FollowedPath } from './followed-path.ts';
import type { TimesMade } from '../model/records.ts';
import type { HarvestInput } from './harvest-path.ts';
import { doubtsOf } from './log-doubts.ts';
import type { LogMass } from './log-mass.ts';
import type { Sweep } from './sweep.ts';
import { STANDARD_MOISTURE } from './yield-map.ts';

/** @source methods-season §1.1: S04 removed 13–20 % of records, V19 about 30 %; warn above 40 % */
const MANY_FLAGGED = 0.4;

const MADE_FROM: Readonly<Record<TimesMade, string>> = {
  duration: 'the order of its records and the seconds that each covers',
  speed: 'the order of its records, the distance between them and the speed logged',
  'a second a record': 'the order of its records, a second each (assumed)',
  distance: 'the order of its records and the distance between them, at an assumed speed',
};

export interface Findings {
  readonly input: HarvestInput;
  readonly crop: string | null;
  readonly order: RecordOrder;
  readonly path: FollowedPath;
  readonly sweep: Sweep;
  readonly delay: Delay;
  readonly mass: LogMass;
  readonly ramp: { readonly startS: number; readonly fromData: boolean };
  readonly flags: Uint16Array;
  readonly flagged: Readonly<Record<FlagName, number>>;
  /** Records too far from the rest to have a place. */
  readonly farAway: number;
  /** Jumps of the clock while the machine drove on. */
  readonly set: FollowedClock;
}

export function tellProblems(findings: Findings): Problem[] {
  const { input, crop, order, path, sweep, delay, mass, ramp, flags, flagged, farAway } = findings;
  const { log } = input;
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
  /** Row of the first record with a flag. */
  const firstOf = (flag: FlagName) => log.row[flags.findIndex((bits) => (bits & FLAG[flag]) !== 0)];

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
  if (log.timesMade !== undefined) {
    warn(
      'times-made',
      `The log has no clock: its times are made from ${MADE_FROM[log.timesMade]}. Order and distance hold; hours, pauses and the flow delay in seconds are as good as that.`,
      'Export the log with its times, if the terminal has them.',
    );
  }
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
  if (flagged['time-order'] > 0) {
    const row = firstOf('time-order');
    const text = `${flagged['time-order']} records stand out of time order, the first in row ${row}; each is used in its place.`;
    note('time-order', text, undefined, row);
  }
  if (flagged['duplicate-time'] > 0) {
    const row = firstOf('duplicate-time');
    const text = `${flagged['duplicate-time']} records repeat a time, the first in row ${row}; the first of each is used.`;
    note('duplicate-time', text, undefined, row);
  }
  if (flagged['position-jump'] > 0) {
    const row = firstOf('position-jump');
    const text = `${flagged['position-jump']} positions jump away and back, the first in row ${row}, and are left out of the path.`;
    note('position-jump', text, undefined, row);
  }
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
  tellClock(findings, note, warn);
  tellDoubts(findings, note, warn);
  tellMachine(findings, note, warn, (one) => told.add(one));
  tellMoisture(findings, (one) => told.add(one));

  if (log.flowKgS.every((flow) => flow !== flow)) {
    warn('no-flow', 'The log has no grain flow: path and ground cut are known, yield is not.');
  } else {
    if (!delay.decided) {
      note('delay-default', `Grain-flow delay: ${delay.why}.`, 'Enter the delay if the machine has been calibrated.');
    }
    if (crop === null || STANDARD_MOISTURE[crop] === undefined) {
      const what = crop === null ? 'The crop is not known' : `No trade moisture is known for ${crop}`;
      warn('no-standard-moisture', `${what}: mass and yield at standard moisture are not given.`);
    }
    if (mass.scaleFactor !== 1) {
      const text = `Flow was multiplied by ${mass.scaleFactor.toFixed(3)} to meet the scale total.`;
      if (mass.scaleFactor < 0.75 || mass.scaleFactor > 1.33) {
        warn('scale-far-off', text, 'Is the scale total that of this log alone?');
      } else note('scaled', text);
    }
  }
  if (!ramp.fromData) {
    note(
      'ramp-default',
      `Fewer than 8 passes show how the machine fills: the usual ${ramp.startS} s at the start is flagged.`,
    );
  }
  tellFlagShare(findings, warn);
  if (input.boundary !== null) tellPlace(input.boundary, findings, note, warn);
  return told.list();
}

type Tell = (code: string, text: string, hint?: string, row?: number) => void;

function tellClock({ input, set, path }: Findings, note: Tell, warn: Tell): void {
  const { row } = input.log;
  for (const { record, byS } of set.back) {
    warn(
      'clock-set-back',
      `Row ${row[record]}: the clock goes back by ${spanText(-byS)} while the machine drives on; times from there on are moved on by it.`,
      'Was the clock set, or did summer time end?',
      row[record]!,
    );
  }
  for (const { record, byS } of set.forward) {
    note(
      'clock-set-forward',
      `Row ${row[record]}: the clock goes on by ${spanText(byS)} and the machine stands where it stood: a pause, or a clock that was set.`,
      undefined,
      row[record]!,
    );
  }
  if (path.clock.intervalS >= COARSE_S) {
    note(
      'log-coarse',
      `The log has a record every ${path.clock.intervalS.toFixed(0)} s: turns and row ends are drawn by straight lines, and the delay of the grain is hardly seen in it.`,
      'Export every record, if the terminal has them.',
    );
  }
}

/** Records further apart than this were thinned, or logged by distance, s. *Assumed*. */
const COARSE_S = 5;

function spanText(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  const rest = minutes % 60;
  if (minutes < 60) return `${minutes} min`;
  return rest === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}

function tellDoubts({ input, path }: Findings, note: Tell, warn: Tell): void {
  const { log } = input;
  const all = doubtsOf(log, path);
  for (const code of ['flow-constant', 'header-stuck-up', 'header-stuck-down', 'standing'] as const) {
    const found = all.filter((one) => one.code === code);
    if (found.length === 0) continue;
    const longest = found.reduce((a, b) => (b.seconds > a.seconds ? b : a));
    const row = log.row[path.record[longest.at]!]!;
    const more = found.length === 1 ? '' : ` (the longest of ${found.length} such stretches)`;
    const from = `for ${spanText(longest.seconds)} from row ${row} on, ${longest.records} records${more}`;
    switch (code) {
      case 'flow-constant':
        warn(
          code,
          `The grain flow is ${longest.value.toFixed(2)} kg/s to the last digit ${from}: no sensor says that.`,
          'Yield there is a set value, not a measured one.',
          row,
        );
        break;
      case 'header-stuck-up':
        warn(
          code,
          `The header is up and grain flows as in the crop ${from}: the header's flag may stick.`,
          'Its ground counts as not cut. If it was cut, lift the flag.',
          row,
        );
        break;
      case 'header-stuck-down':
        warn(
          code,
          `The header stays down through turns ${from}: the header's flag may stick.`,
          'Turns and ways there count as cut.',
          row,
        );
        break;
      case 'standing':
        note(code, `The machine stands still ${from}.`, undefined, row);
    }
  }
}

function tellMachine({ input, path, flagged }: Findings, note: Tell, warn: Tell, add: (one: Problem) => void): void {
  if (!path.headerKnown) {
    note('no-header-state', 'The log never says header up: only passes (found by heading and pauses) count as cut.');
  } else if (flagged['header-up'] > 0.7 * input.log.count) {
    const share = Math.round((100 * flagged['header-up']) / input.log.count);
    warn(
      'mostly-header-up',
      `${share}% of the records have the header up.`,
      'Is the header state the wrong way round?',
    );
  }
  if (path.headings === 'from positions') note('no-heading', 'The log has no heading: it is taken from the positions.');
  if (path.headings === 'logged, not believed') {
    warn(
      'heading-not-believed',
      'The logged heading does not point where the machine goes: positions are used instead.',
    );
  }
  if (path.swathMissing > 0) {
    add(
      problem(
        'error',
        'no-swath',
        `${path.swathMissing} records with the header down have no cut width: what they cut is not known.`,
        { hint: "Enter the machine's header width." },
      ),
    );
  }
  let narrow = 0;
  for (let k = 0; k < path.count; k++) {
    if (path.headerDown[k] === 1 && path.swathM[k]! < 0.95 * path.usualSwathM) narrow++;
  }
  if (narrow > 0) {
    note(
      'narrow-swaths',
      `${narrow} records cut narrower than usual; the log does not say on which side, so their swaths are centered.`,
    );
  }
  if (path.swathFromMachine > 0) {
    note(
      'swath-from-machine',
      `${path.swathFromMachine} records have no cut width: the header's ${input.headerWidthM} m is used.`,
    );
  }
}

function tellMoisture({ input, mass, path }: Findings, add: (one: Problem) => void): void {
  const { log } = input;
  let tenths = 0;
  let first = -1;
  let most = 0;
  for (let i = 0; i < log.count; i++) {
    const m = log.moistureFraction[i]!;
    if (!(m >= 1)) continue;
    if (first < 0) first = i;
    most++;
    if (m <= 4) tenths++;
  }
  if (first >= 0) {
    const percent = Math.round(100 * log.moistureFraction[first]!);
    add(
      problem(
        'warning',
        'moisture-in-tenths',
        `Row ${log.row[first]}: moisture is ${percent}%; ${most} records lie at 100% or above, ${tenths} of them between 100 and 400%.`,
        { where: { row: log.row[first]!, column: 'moisture' }, hint: 'Is the column in tenths of a percent?' },
      ),
    );
  }
  if (mass.moistureFilled > 0) {
    add(
      problem(
        'note',
        'moisture-stand-in',
        `${mass.moistureFilled} of ${path.count} records have no plausible moisture; their mass is taken at ${(100 * mass.moistureStandIn).toFixed(1)} %.`,
      ),
    );
  }
}

function tellFlagShare({ input, flags }: Findings, warn: Tell): void {
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

/** Whether the log lies on this field at all. */
function tellPlace(boundary: FlatMultiPolygon, { input, path, sweep }: Findings, note: Tell, warn: Tell): void {
  const { count, xM, yM, headerDown } = path;
  const index = indexPolygon(boundary);
  let down = 0;
  let inside = 0;
  let nearest2 = Infinity;
  for (let k = 0; k < count; k++) {
    if (headerDown[k] === 0) continue;
    down++;
    if (index.contains(xM[k]!, yM[k]!)) inside++;
  }
  if (down === 0) return;
  const sideM = narrowSideM(boundary);
  let [wide, first] = [0, -1];
  for (let k = 0; k < count; k++) {
    if (!(path.swathM[k]! > sideM)) continue;
    wide++;
    if (first < 0) first = k;
  }
  if (wide > 0) {
    const row = input.log.row[path.record[first]!]!;
    warn(
      'swath-wider-than-field',
      `Row ${row}: the cut width is ${path.swathM[first]!.toFixed(1)} m, the field is ${sideM.toFixed(1)} m wide (${wide} records).`,
      'Is the width in another unit, or is this another field?',
      row,
    );
  }
  const share = inside / down;
  if (share < 0.5) {
    const stride = Math.max(1, Math.floor(count / 500));
    for (let k = 0; k < count; k += stride) nearest2 = Math.min(nearest2, distance2(boundary, xM[k]!, yM[k]!));
    const away = inside > 0 ? 'it touches the field' : `it comes no nearer than ${Math.round(Math.sqrt(nearest2))} m`;
    warn(
      'log-of-another-field',
      `${Math.round(100 * share)} % of the cutting lies inside this field; ${away}.`,
      'Is this the log of another field?',
    );
  } else if (sweep.coveredOutsideM2 > 0.02 * sweep.coveredAreaM2) {
    note(
      'cut-outside',
      `${(sweep.coveredOutsideM2 / 1e4).toFixed(2)} ha were cut outside the boundary and are kept apart.`,
    );
  }
}

/** The shorter side of the field's box. */
function narrowSideM(boundary: FlatMultiPolygon): number {
  const [west, south, east, north] = polygonBounds(boundary);
  return Math.min(east - west, north - south);
}

function distance2(boundary: FlatMultiPolygon, x: number, y: number): number {
  let best = Infinity;
  for (const rings of boundary) {
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        const dx = ring[i]! - ring[j]!;
        const dy = ring[i + 1]! - ring[j + 1]!;
        const size2 = dx * dx + dy * dy;
        const share = size2 > 0 ? ((x - ring[j]!) * dx + (y - ring[j + 1]!) * dy) / size2 : 0;
        const t = Math.min(1, Math.max(0, share));
        best = Math.min(best, (ring[j]! + t * dx - x) ** 2 + (ring[j + 1]! + t * dy - y) ** 2);
      }
    }
  }
  return best;
}
