/** The times of a harvest log's rows: as they stand in the file, or made from the order of logging; what was made is told. */
import { problem, type ProblemList } from '../model/problem.ts';
import { ASSUMED_SPEED_MS, type TimesMade } from '../model/records.ts';
import { instantText } from '../units/calendar.ts';
import { listed } from './columns.ts';
import type { HarvestLogRows, RowRules } from './harvest-log-rows.ts';
import type { ReadingWishes } from './importer.ts';
import { JUMP, type MadeTimes, makeTimes, PAUSE_S, SECOND_STEP_M, startsInNames } from './made-times.ts';

export interface LogTimes {
  readonly timeS: Float64Array;
  /** Where times are made: what they are made from, with the seconds that each record then covers. */
  readonly made: MadeTimes | null;
  /** Of each row, where recordings run at the same time; null where the log is of one machine. */
  readonly machine: Uint8Array | null;
}

export function timesOf(
  rows: HarvestLogRows,
  rules: RowRules,
  wishes: ReadingWishes,
  file: string,
  problems: ProblemList,
): LogTimes {
  const recording = rows.recording.count > 0 ? rows.recording.done() : new Uint32Array(rows.lon.count);
  const names = rows.recordings.length > 0 ? rows.recordings : [''];
  if (!rules.timesAreMade) {
    const timeS: Float64Array = rows.timeS.done();
    return { timeS, made: null, machine: machineOf(timeS) };
  }
  const made = makeTimes(
    {
      lon: rows.lon.done(),
      lat: rows.lat.done(),
      recording,
      startS: rules.recording ? startsInNames(names, { file, column: rules.recording.column.column }) : [],
      day: rules.day ? rows.day.done() : null,
      sequence: rows.values.sequence?.done() ?? null,
      durationS: rows.values.duration?.done() ?? null,
      speedMS: rows.values.speed?.done() ?? null,
    },
    wishes.utcOffsetMinutes ?? 0,
  );
  tellMadeTimes(made, rules, file, problems);
  return { timeS: made.timeS, made, machine: made.from === 'recordings' ? machineOf(made.timeS) : null };

  function machineOf(timeS: Float64Array): Uint8Array | null {
    if (!rules.recording || names.length < 2) return null;
    const overlap = tellRecordings(names, recording, timeS, rules.recording.column.column, file, problems);
    return overlap ? Uint8Array.from(recording) : null;
  }
}

const MADE_BY: Readonly<Record<TimesMade, string>> = {
  duration: 'by the seconds each record covers',
  speed: 'by distance over the speed logged',
  'a second a record': `one second a record (assumed: its steps are those of a second, ${SECOND_STEP_M.least} to ${SECOND_STEP_M.most} m)`,
  distance: `by distance at ${ASSUMED_SPEED_MS} m/s (assumed)`,
};

function tellMadeTimes(made: MadeTimes, rules: RowRules, file: string, problems: ProblemList): void {
  const { sequence } = rules.found;
  const order = sequence ? `the order of logging ("${sequence.column}")` : 'the order of its rows';
  const from = {
    recordings: 'from the start in each recording’s name',
    days: 'from noon of each day',
    nothing: 'from 1970 on',
  }[made.from];
  const pauses =
    made.jumps > 0 && made.by !== 'duration'
      ? ` ${made.jumps === 1 ? '1 way between rows was' : `${made.jumps} ways between rows were`} not logged: a pause of ${PAUSE_S} s is put there (assumed of a step over ${JUMP.leastM} m and ${JUMP.usual} times the usual one).`
      : '';
  problems.add(
    problem(
      'warning',
      'times-made',
      `The log has no time of day: times are made ${from} and ${order}, ${MADE_BY[made.by]}.${pauses}`,
      { where: { file }, hint: 'Order and distance hold; hours and pauses mean nothing in it.' },
    ),
  );
}

/** Recordings that run at the same time come from several machines: told, and each is followed by itself. */
function tellRecordings(
  names: readonly string[],
  recording: Uint32Array,
  timeS: Float64Array,
  column: string,
  file: string,
  problems: ProblemList,
): boolean {
  const spans = names.map((name) => ({ name, from: Infinity, to: -Infinity }));
  for (let i = 0; i < recording.length; i++) {
    const span = spans[recording[i]!]!;
    span.from = Math.min(span.from, timeS[i]!);
    span.to = Math.max(span.to, timeS[i]!);
  }
  spans.sort((a, b) => a.from - b.from);
  const overlapping = spans.filter((span, i) =>
    spans.some((other, j) => j !== i && span.from < other.to && other.from < span.to),
  );
  if (overlapping.length === 0) return false;
  const seen = overlapping.map(({ name, from, to }) => `${name} (${instantText(from)} to ${instantText(to)})`);
  problems.add(
    problem(
      'warning',
      'recordings-overlap',
      `${overlapping.length} recordings run at the same time: ${listed(seen)}. They are of more than one machine; each is followed by itself.`,
      {
        where: { file, column },
        hint: `To read one alone, say recording = "${column}=${overlapping[0]!.name}".`,
      },
    ),
  );
  return names.length < 256;
}
