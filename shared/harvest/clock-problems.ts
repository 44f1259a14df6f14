/** What a person is told about the clock of a harvest log. */
import { ASSUMED_SPEED_MS, type TimesMade } from '../model/records.ts';
import { SLACK_S, STAYED_M } from './clock-jumps.ts';
import type { Findings, Telling } from './harvest-findings.ts';
import { spanText } from './span-text.ts';

const MADE_FROM: Readonly<Record<TimesMade, string>> = {
  duration: 'the order of its records and the seconds that each covers',
  speed: 'the order of its records, the distance between them and the speed logged',
  'a second a record': 'the order of its records, a second each (assumed)',
  distance: `the order of its records and the distance between them, at an assumed ${ASSUMED_SPEED_MS} m/s`,
};

/** Records further apart than this were thinned, or logged by distance, s. *Assumed*. */
const COARSE_S = 5;

export function tellMadeTimes({ input }: Findings, { warn }: Telling): void {
  const { timesMade } = input.log;
  if (timesMade === undefined) return;
  warn(
    'times-made',
    `The log has no clock: its times are made from ${MADE_FROM[timesMade]}. Order and distance hold; hours, pauses and the flow delay in seconds are as good as that.`,
    'Export the log with its times, if the terminal has them.',
  );
}

/** What counts as a clock that was set: said wherever one is. */
const SET_RULE = `Assumed of a jump of whole quarters of an hour (to ${SLACK_S} s) over which the machine came no farther than ${STAYED_M} m.`;

export function tellClock({ input, set, path }: Findings, { note, warn }: Telling): void {
  const { row } = input.log;
  for (const { record, byS } of set.back) {
    warn(
      'clock-set-back',
      `Row ${row[record]}: the clock goes back by ${spanText(-byS)} while the machine drives on; times from there on are moved on by it. ${SET_RULE}`,
      'Was the clock set, or did summer time end?',
      row[record]!,
    );
  }
  for (const { record, byS } of set.forward) {
    note(
      'clock-set-forward',
      `Row ${row[record]}: the clock goes on by ${spanText(byS)} and the machine stands where it stood: a pause, or a clock that was set. ${SET_RULE}`,
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
