/**
 * Emergence of one species over a season, day by day, from the best evidence at hand: an observed first emergence moves the
 * curve and overrides all else; then daily air temperature; then a calendar band. Where none of them can carry a curve it
 * is refused, not guessed. North of the equator unless the caller gives other days to count from.
 */
import { dayNumberOf, dayText } from '../units/calendar.ts';
import { done, problem, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import { degreeDaysAverage } from './degree-days.ts';
import { logisticEmergence } from './emergence-curve.ts';
import { fillDailyAir } from './daily-air.ts';
import type { DailyAir } from './daily-air.ts';
import { hasParameter, parameterIds, valueOf } from './parameter.ts';
import type { ParameterId, Values } from './parameter.ts';
import { speciesOf } from './species.ts';
import type { SpeciesId } from './species.ts';

export type EmergenceBasis = 'sighting' | 'air temperature' | 'calendar band';

export interface SeasonEmergence {
  /** Day number of element 0. */
  readonly firstDay: number;
  /** Share of the season's emergence out before the start of each day; one longer than the season has days. */
  readonly cumulative: Float64Array;
  /** Day number of the first seedlings. */
  readonly firstEmergenceDay: number;
  readonly basis: EmergenceBasis;
  /** The basis in words, for screens. */
  readonly basisText: string;
}

export interface SeasonWindow {
  readonly firstDay: number;
  readonly days: number;
  /** Day from which degree days are counted: 1 March in the published rules. */
  readonly countFromDay: number;
}

/** The calendar year, counted from 1 March. */
export function northernSeason(year: number): SeasonWindow {
  const firstDay = dayNumberOf(year, 1, 1);
  return { firstDay, days: dayNumberOf(year + 1, 1, 1) - firstDay, countFromDay: dayNumberOf(year, 3, 1) };
}

/** What the curve of a species reads: name these in a step. */
export function emergenceParameters(species: SpeciesId): ParameterId[] {
  return [
    ...parameterIds().filter((id) => id.startsWith(`${species}.emergence.`)),
    'emergence.soilAboveAirC',
    'emergence.airBaseC',
    'emergence.durationWeeks',
  ];
}

/** Logistic in days: 2.5 % out on the first day, 97.5 % after the whole period (*assumed* shape). */
const EDGE = Math.log(39);

/** Where the record stops, later days are taken as warm as the mean of its last days; told. */
const LAST_DAYS = 14;

interface Curve {
  firstEmergenceDay: number;
  /** F before the start of a day, counted from first emergence. */
  shareBefore(day: number): number;
}

function inDays(firstEmergenceDay: number, weeks: number): Curve {
  const rate = (2 * EDGE) / (7 * weeks);
  const t50 = EDGE / rate;
  return {
    firstEmergenceDay,
    shareBefore: (day) => (day <= firstEmergenceDay ? 0 : logisticEmergence(day - firstEmergenceDay, rate, t50)),
  };
}

/** Degree days of one day of the record, held at the mean of the last days beyond its end. */
function warmthByDay(air: DailyAir, addC: number, baseC: number): (day: number) => number {
  const one = (i: number) => degreeDaysAverage(air.minC[i]! + addC, air.maxC[i]! + addC, baseC);
  const last = air.minC.length;
  let beyond = 0;
  const tail = Math.min(LAST_DAYS, last);
  for (let i = last - tail; i < last; i++) beyond += one(i) / tail;
  return (day) => (day - air.firstDay < last ? one(day - air.firstDay) : beyond);
}

/** First day at whose end the sum of degree days from `from` has reached `need`; null within the record. */
function dayReaching(warmth: (day: number) => number, from: number, need: number, lastDay: number): number | null {
  let sum = 0;
  for (let day = from; day <= lastDay; day++) {
    sum += warmth(day);
    if (sum >= need) return day;
  }
  return null;
}

/** Pace of the fitted logistic in soil degree days after first emergence. */
function inDegreeDays(
  firstEmergenceDay: number,
  warmth: (day: number) => number,
  k: number,
  t50: number,
  lastDay: number,
): Curve {
  const shares: number[] = [];
  let sum = 0;
  for (let day = firstEmergenceDay; day <= lastDay + 1; day++) {
    shares.push(logisticEmergence(sum, k, t50));
    sum += warmth(day);
  }
  // Before its start the first day holds nothing: its own share appears on it.
  return {
    firstEmergenceDay,
    shareBefore: (day) =>
      day <= firstEmergenceDay ? 0 : shares[Math.min(day - firstEmergenceDay, shares.length - 1)]!,
  };
}

/** Straight lines through the shares still to emerge on calendar days (memory; Corn Belt, 40–42° N). */
function byCalendar(species: SpeciesId, values: Values, window: SeasonWindow, year: number): Curve | null {
  const known = (['06-15', '07-01', '08-01'] as const).filter((day) =>
    hasParameter(`${species}.emergence.remainingAfter.${day}`),
  );
  if (known.length === 0) return null;
  // First and last seedlings: 1 May (15 April to 9 May at Urbana, Schutte and Davis 2014) and 15 September (*assumed*).
  const points: [day: number, share: number][] = [[dayNumberOf(year, 5, 1), 0]];
  for (const day of known) {
    const [month, date] = day.split('-').map(Number) as [number, number];
    const remaining = valueOf(values, `${species}.emergence.remainingAfter.${day}`);
    points.push([dayNumberOf(year, month, date), 1 - remaining]);
  }
  points.push([dayNumberOf(year, 9, 15), 1]);
  return {
    firstEmergenceDay: Math.max(points[0]![0], window.firstDay),
    shareBefore(day) {
      for (let i = 1; i < points.length; i++) {
        const [d0, f0] = points[i - 1]!;
        const [d1, f1] = points[i]!;
        if (day <= d0) return f0;
        if (day < d1) return f0 + ((f1 - f0) * (day - d0)) / (d1 - d0);
      }
      return 1;
    },
  };
}

/** The rule by which air temperature dates the first seedlings of a species, or null where the science has none. */
function firstByAir(
  species: SpeciesId,
  values: Values,
  air: DailyAir,
  window: SeasonWindow,
): { day: number | null; text: string; from: number } | null {
  const id = (name: string) => `${species}.emergence.${name}`;
  const lastDay = air.firstDay + air.minC.length - 1;
  const soilAdd = valueOf(values, 'emergence.soilAboveAirC');
  if (hasParameter(id('firstEmergenceGDD'))) {
    const need = valueOf(values, id('firstEmergenceGDD'));
    const warmth = warmthByDay(air, soilAdd, valueOf(values, id('modelBaseC')));
    return {
      day: dayReaching(warmth, window.countFromDay, need, lastDay),
      text: `first seedlings at ${need.toFixed(0)} °C d of soil warmth (air + ${soilAdd} °C)`,
      from: window.countFromDay,
    };
  }
  const tenth = (day: number | null) => {
    if (day === null || !hasParameter(id('durationWeeks'))) return day;
    // 10 % lies ln 9/rate before the middle, the first seedlings ln 39/rate before it.
    const rate = (2 * EDGE) / (7 * valueOf(values, id('durationWeeks')));
    return day - Math.round((EDGE - Math.log(9)) / rate);
  };
  if (hasParameter(id('airDegreeDaysToFirst'))) {
    const need = valueOf(values, id('airDegreeDaysToFirst'));
    const warmth = warmthByDay(air, 0, valueOf(values, id('baseC')));
    return {
      day: dayReaching(warmth, window.firstDay, need, lastDay),
      text: `first seedlings at ${need.toFixed(0)} °C d of air from 1 January`,
      from: window.firstDay,
    };
  }
  if (hasParameter(id('airDegreeDaysTo10Percent'))) {
    const need = valueOf(values, id('airDegreeDaysTo10Percent'));
    const warmth = warmthByDay(air, 0, valueOf(values, 'emergence.airBaseC'));
    return {
      day: tenth(dayReaching(warmth, window.countFromDay, need, lastDay)),
      text: `a tenth out at ${need.toFixed(0)} °C d of air`,
      from: window.countFromDay,
    };
  }
  if (hasParameter(id('soilDegreeDaysTo10Percent'))) {
    const need = valueOf(values, id('soilDegreeDaysTo10Percent'));
    const warmth = warmthByDay(air, soilAdd, valueOf(values, id('baseC')));
    return {
      day: tenth(dayReaching(warmth, window.countFromDay, need, lastDay)),
      text: `a tenth out at ${need.toFixed(0)} °C d of soil warmth (air + ${soilAdd} °C)`,
      from: window.countFromDay,
    };
  }
  return null;
}

/**
 * Cumulative emergence over a season.
 * @param air daily air temperature in date order; null without a record
 * @param firstSeenDay day number of an observed first emergence; null where nobody looked
 * @param values resolved `emergenceParameters(species)`
 * @cost O(days)
 */
export function emergenceOfSeason(
  species: SpeciesId,
  year: number,
  {
    air,
    firstSeenDay,
    window = northernSeason(year),
  }: { air: DailyAir | null; firstSeenDay: number | null; window?: SeasonWindow },
  values: Values,
): Outcome<SeasonEmergence> {
  const name = speciesOf(species).name;
  const problems: Problem[] = [];
  const id = (what: string) => `${species}.emergence.${what}`;
  const lastDay = window.firstDay + window.days - 1;
  const weeks = () =>
    valueOf(values, hasParameter(id('durationWeeks')) ? id('durationWeeks') : 'emergence.durationWeeks');

  let record: DailyAir | null = null;
  if (air !== null && air.minC.length > 0) {
    const filled = fillDailyAir(air);
    problems.push(...filled.problems);
    if (filled.ok) record = filled.value;
  }

  const finish = (curve: Curve, basis: EmergenceBasis, basisText: string): Outcome<SeasonEmergence> => {
    const cumulative = new Float64Array(window.days + 1);
    for (let i = 0; i <= window.days; i++) cumulative[i] = curve.shareBefore(window.firstDay + i);
    return done(
      { firstDay: window.firstDay, cumulative, firstEmergenceDay: curve.firstEmergenceDay, basis, basisText },
      problems,
    );
  };
  const paced = (first: number): { curve: Curve; text: string } => {
    const canPace = record !== null && hasParameter(id('logisticK')) && record.firstDay <= first;
    const recordEnd = record === null ? 0 : record.firstDay + record.minC.length - 1;
    if (!canPace || recordEnd < first)
      return { curve: inDays(first, weeks()), text: `over ${weeks().toFixed(0)} weeks (assumed shape)` };
    if (recordEnd < lastDay && recordEnd < first + 120)
      problems.push(
        problem(
          'note',
          'emergence-beyond-record',
          `The weather record ends on ${dayText(recordEnd)}; later days are taken as warm as its last ${LAST_DAYS}.`,
          { hint: 'Bring in newer weather to replace this.' },
        ),
      );
    const warmth = warmthByDay(record!, valueOf(values, 'emergence.soilAboveAirC'), valueOf(values, id('modelBaseC')));
    const curve = inDegreeDays(
      first,
      warmth,
      valueOf(values, id('logisticK')),
      valueOf(values, id('logisticT50')),
      lastDay,
    );
    return { curve, text: 'then at the pace of air temperature' };
  };

  if (firstSeenDay !== null) {
    const { curve, text } = paced(firstSeenDay);
    return finish(curve, 'sighting', `first ${name} seen on ${dayText(firstSeenDay)}, ${text}`);
  }

  if (record !== null) {
    const rule = firstByAir(species, values, record, window);
    if (rule !== null && record.firstDay > rule.from)
      problems.push(
        problem(
          'warning',
          'weather-starts-late',
          `The weather record starts on ${dayText(record.firstDay)}; warmth is counted from ${dayText(rule.from)}.`,
          { hint: 'Bring in weather from that day on, or enter the day the first seedlings were seen.' },
        ),
      );
    else if (rule !== null && rule.day !== null) {
      const { curve, text } = paced(rule.day);
      return finish(curve, 'air temperature', `${rule.text}, ${text}`);
    } else if (rule !== null)
      problems.push(
        problem('note', 'no-emergence-yet', `By the last day of weather the first ${name} was not yet due.`, {
          hint: 'The calendar band stands in until newer weather is brought in.',
        }),
      );
  }

  const calendar = byCalendar(species, values, window, year);
  if (calendar !== null)
    return finish(calendar, 'calendar band', 'a calendar band for 40–42° N (from memory, no trial): wide on purpose');
  return refused(
    ...problems,
    problem('warning', 'emergence-unknown', `When ${name} emerges cannot be told from what is here.`, {
      hint: 'Enter the day on which the first seedlings were seen, or bring in daily weather from 1 March.',
    }),
  );
}
