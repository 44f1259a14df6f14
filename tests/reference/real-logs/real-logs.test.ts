/**
 * Real logs, weather and counts that others measured and published, read by our importers. Every expected number was computed
 * outside our code with R 4.2 (base, sf), as listed in the README of the open data beside the repository: gartner-corn (University
 * of Minnesota, through agridat), sec1west-2014, henrys-2018, sec1west-2019-part2 and millview-seeding-2019 (On-Farm Precision
 * Experiments, Montana State University 2020), iowa-coop (US cooperative stations), bjertorp (Guillot, Lorén, Rudemo 2009).
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { openTable } from '../../../shared/import/csv.ts';
import { harvestLogImporter } from '../../../shared/import/harvest-log.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadFile, ReadingWishes } from '../../../shared/import/importer.ts';
import { scoutingImporter } from '../../../shared/import/scouting.ts';
import { weatherImporter } from '../../../shared/import/weather.ts';
import type { Outcome } from '../../../shared/model/problem.ts';
import type { HarvestLogRecords } from '../../../shared/model/records.ts';
import { dateOf, dayNumber, instantText } from '../../../shared/units/calendar.ts';
import { fromSI, toSI } from '../../../shared/units/units.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { bundleOf, codes, drive, readText, recordsOf, told } from '../../support/import-text.ts';
import { realDataPath } from '../../support/real-data.ts';

const bytesOf = (path: string) => new Uint8Array(readFileSync(path));
const file = (relative: string) => ({ path: realDataPath(relative), name: relative.split('/').at(-1)! });

/** Reads as the program does: recognized, then read. */
function take(path: string, name: string, wishes: ReadingWishes = {}): Outcome<ReadFile> {
  return drive(readBundle(bundleOf(name, bytesOf(path)), wishes));
}

/** Numbers of one column, straight from the table. */
function column(path: string, header: string): Float64Array {
  const opened = openTable(bundleOf('table.csv', bytesOf(path)).parts[0]!);
  if (!opened.ok) throw new Error('no table');
  const index = opened.value.header.indexOf(header);
  const values: number[] = [];
  for (const { cells } of opened.value.blocks())
    for (let row = 0; row < cells.rows; row++) values.push(cells.number(row, index));
  return Float64Array.from(values);
}
const sum = (values: Iterable<number>) => {
  let total = 0;
  for (const value of values) total += value;
  return total;
};
const mean = (values: ArrayLike<number> & Iterable<number>) => sum(values) / values.length;
const median = (values: Iterable<number>) => {
  const sorted = Float64Array.from(values).sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
};
const sumOf = (log: HarvestLogRecords, each: (i: number) => number) => {
  let total = 0;
  for (let i = 0; i < log.count; i++) total += each(i);
  return total;
};
/** Checks a number to its printed digits and notes the difference. */
function agrees(
  what: string,
  actual: number,
  expected: number,
  within: number,
  unit: string,
  because = 'half of the last printed digit',
): void {
  recordAgreement('real-logs', what, Math.abs(actual - expected), within, unit);
  closeTo(actual, expected, { within, because: `${what}: ${because}` });
}
function boxAgrees(log: HarvestLogRecords, box: readonly number[], digits: number): void {
  log.bounds.forEach((value, i) =>
    closeTo(value, box[i]!, { within: 0.5000001 * 10 ** -digits, because: 'half of the last printed digit' }),
  );
}

describe('gartner-corn: maize in Minnesota, a record every 3 s', () => {
  const { path, name } = file('yield/gartner-corn.csv');
  test.skipIf(!path)('rows, box, times and the field’s yield are those of R', () => {
    const outcome = take(path!, name);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(4949);
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 4949, unusedRows: 0 });
    expect(codes(outcome)).toEqual(['mass-or-flow', 'no-date', 'no-header-state', 'speed-from-distance', 'no-width']);
    boxAgrees(log, [-93.978422, 43.920994, -93.973494, 43.927265], 6);
    expect(log.timeS.at(-1)).toBe(16359);
    const counts = new Map<number, number>();
    for (const seconds of log.durationS) counts.set(seconds, (counts.get(seconds) ?? 0) + 1);
    expect([...counts].sort()).toEqual([
      [3, 4936],
      [4, 13],
    ]);
    agrees('gartner mean moisture', 100 * mean(log.moistureFraction), 16.814, 0.0005, '%');
    const headerM = toSI(360, 'in');
    const areaM2 = sumOf(log, (i) => headerM * log.speedMS[i]! * log.durationS[i]!);
    agrees('gartner area, width × distance', fromSI(areaM2, 'ac'), 67.6368, 0.00005, 'ac');
    const dryKg = sumOf(
      log,
      (i) => (log.flowKgS[i]! * log.durationS[i]! * (1 - log.moistureFraction[i]!)) / (1 - 0.155),
    );
    const bushels = dryKg / toSI(56, 'lb');
    agrees('gartner dry grain', bushels, 9027.15, 0.005, 'bu');
    agrees('gartner field mean', bushels / fromSI(areaM2, 'ac'), 133.465, 0.0005, 'bu/ac');
    const yields = Array.from({ length: log.count }, (_, i) => {
      const dry = (log.flowKgS[i]! * (1 - log.moistureFraction[i]!)) / 0.845 / toSI(56, 'lb');
      return dry / fromSI(headerM * log.speedMS[i]!, 'ac');
    });
    agrees('gartner median of records', median(yields), 136.64, 0.0005, 'bu/ac');
  });
});

describe('sec1west-2014: winter wheat in Montana, 1 s, three days', () => {
  const { path, name } = file('yield/sec1west-2014.csv');
  test.skipIf(!path)('rows, box, days, yield and area are those of R', () => {
    const outcome = take(path!, name);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(47_872);
    expect(log.crop).toBe('wheat');
    boxAgrees(log, [-109.1883734, 46.03212852, -109.1731141, 46.04449675], 7);
    const [first, last] = [Math.min(...log.timeS), Math.max(...log.timeS)];
    expect(instantText(first)).toBe('2014-08-01T13:51:42Z');
    expect(instantText(last)).toBe('2014-08-29T11:27:43Z');
    const days = new Map<number, number>();
    for (const time of log.timeS) days.set(Math.floor(time / 86_400), (days.get(Math.floor(time / 86_400)) ?? 0) + 1);
    expect([...days.values()].sort((a, b) => b - a)).toEqual([27_895, 19_436, 541]);
    expect(told(outcome, 'serial-days').text).toContain('0.864 s');
    agrees('sec1west-2014 mean yield', mean(column(path!, 'yield')), 42.904, 0.0005, 'bu/ac');
    const [swath, distance] = [column(path!, 'swth_w_'), column(path!, 'dist_in')];
    const areaM2 = sum(swath.map((width, i) => toSI(width, 'in') * toSI(distance[i]!, 'in')));
    agrees('sec1west-2014 swath × distance', fromSI(areaM2, 'ha'), 95.3096, 0.00005, 'ha');
    let zero = 0;
    let full = 0;
    for (let i = 0; i < log.count; i++) {
      if (log.swathM[i] === 0) zero++;
      if (Math.abs(log.swathM[i]! - 12.192) < 1e-5) full++;
    }
    expect([zero, full]).toEqual([3969, 41_520]);
  });
  test.skipIf(!path)('yield × 60 lb a bushel equals flow over area at one second a row', () => {
    const log = recordsOf(take(path!, name), 'harvest log');
    const [yields, distance] = [column(path!, 'yield'), column(path!, 'dist_in')];
    const seconds: number[] = [];
    for (let i = 0; i < log.count; i++) {
      const areaM2 = log.swathM[i]! * toSI(distance[i]!, 'in');
      const kg = (toSI(yields[i]!, 'bu/ac 60 lb') * areaM2) / 10_000;
      if (kg > 0 && log.flowKgS[i]! > 0) seconds.push(kg / log.flowKgS[i]!);
    }
    const sorted = seconds.sort((a, b) => a - b);
    agrees('sec1west-2014 seconds a row', median(sorted), 1.0001, 0.00005, 's', 'printed to four decimals');
    closeTo(sorted[Math.floor(0.05 * sorted.length)]!, 0.994, { within: 0.0005, because: 'printed quantile' });
    closeTo(sorted[Math.floor(0.95 * sorted.length)]!, 1.006, { within: 0.0005, because: 'printed quantile' });
  });
});

describe('henrys-2018: winter wheat in Montana, three recordings of at least two machines', () => {
  const { path, name } = file('yield/henrys-2018.csv');
  test.skipIf(!path)('rows, box, area, grain and moisture are those of R', () => {
    const outcome = take(path!, name);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(31_276);
    boxAgrees(log, [-110.558088, 47.878821, -110.547327, 47.89679], 6);
    const area = (i: number) => log.swathM[i]! * toSI(distance[i]!, 'ft');
    const distance = column(path!, 'dstnc_f');
    agrees('henrys-2018 swath × distance', fromSI(sumOf(log, area), 'ha'), 74.6116, 0.00005, 'ha');
    const listed = 'the list prints 11.6943; the plain mean of the column is 11.694433 in Python 3.11 too';
    agrees('henrys-2018 mean moisture', 100 * mean(log.moistureFraction), 11.6943, 0.00015, '%', listed);
    closeTo(100 * mean(log.moistureFraction), 11.694433431384804, { within: 1e-6, because: '32-bit floats' });
    let narrow = 0;
    for (const width of log.swathM) if (Math.abs(width - 35 * 0.3048) < 0.01) narrow++;
    expect(narrow).toBe(8193);
    const dry = column(path!, 'yld_mss_d');
    const kg = sumOf(log, (i) => (toSI(dry[i]!, 'lb/ac') * area(i)) / 10_000);
    agrees('henrys-2018 dry wheat', kg / 1000, 265.981, 0.0005, 't');
    agrees('henrys-2018 dry wheat in bushels', kg / toSI(60, 'lb'), 9773.11, 0.005, 'bu');
    agrees(
      'henrys-2018 area-weighted yield',
      kg / toSI(60, 'lb') / fromSI(sumOf(log, area), 'ac'),
      53.0084,
      0.00005,
      'bu/ac',
    );
  });
  test.skipIf(!path)('flow × duration over area equals the file’s own wet yield', () => {
    const log = recordsOf(take(path!, name), 'harvest log');
    const [distance, wet] = [column(path!, 'dstnc_f'), column(path!, 'yld_mss_w')];
    const [flow, width] = [column(path!, 'crp_flw_m'), column(path!, 'swth_w_')];
    const differences: number[] = [];
    for (let i = 0; i < log.count; i++) {
      const areaM2 = log.swathM[i]! * toSI(distance[i]!, 'ft');
      const made = fromSI((log.flowKgS[i]! * log.durationS[i]! * 10_000) / areaM2, 'lb/ac');
      if (!(wet[i]! > 0 && areaM2 > 0)) continue;
      const difference = Math.abs(made / wet[i]! - 1);
      differences.push(difference);
      const digits = 5e-5 * (1 / flow[i]! + 1 / distance[i]! + 1 / width[i]! + 1 / wet[i]!);
      closeTo(difference, 0, {
        within: digits + 1e-5,
        because: `row ${log.row[i]}: listed as 1e-5, and all four are printed to four decimals`,
      });
    }
    agrees(
      'henrys-2018 flow against wet yield, median record',
      median(differences),
      0,
      1e-5,
      'relative',
      'printed digits',
    );
  });
  test.skipIf(!path)(
    'made times, overlapping recordings and unused columns are told; one recording can be read alone',
    () => {
      const outcome = take(path!, name);
      expect(codes(outcome)).toEqual(expect.arrayContaining(['times-made', 'recordings-overlap']));
      const alone = take(path!, name, { columns: { recording: 'dataset=18/07/18-13:08:34 (233342)' } });
      const log = recordsOf(alone, 'harvest log');
      expect(log.count).toBe(11_171);
      expect(instantText(Math.min(...log.timeS))).toBe('2018-07-18T13:08:34Z');
      expect(codes(alone)).not.toContain('recordings-overlap');
    },
  );
});

describe('sec1west-2019-part2: eight header sections, one row each', () => {
  const { path, name } = file('yield/sec1west-2019-part2.csv');
  test.skipIf(!path)('times, area and mean yield are those of R', () => {
    const outcome = take(path!, name);
    const log = recordsOf(outcome, 'harvest log');
    expect(outcome.ok && outcome.value.reading.rows).toBe(18_400);
    expect(log.count).toBe(2429);
    expect(told(outcome, 'sections-merged').text).toContain('8 header sections make 2429 records');
    expect(log.timeS[0]).toBe(dayNumber('2019-08-16')! * 86_400 + 18 * 3600 + 52 * 60 + 48);
    closeTo(log.timeS.at(-1)!, dayNumber('2019-08-16')! * 86_400 + 19 * 3600 + 39 * 60 + 3.97, {
      within: 1e-6,
      because: 'doubles of Unix seconds resolve 2e-7 s',
    });
    const [swath, distance, yields] = [
      column(path!, 'SWATHWIDTH'),
      column(path!, 'DISTANCE'),
      column(path!, 'VRYIELDVOL'),
    ];
    agrees(
      'sec1west-2019 area',
      fromSI(sum(swath.map((width, i) => toSI(width, 'ft') * toSI(distance[i]!, 'ft'))), 'ha'),
      3.53308,
      0.000005,
      'ha',
    );
    agrees('sec1west-2019 mean yield', mean(yields), 69.7124, 0.00005, 'bu/ac');
  });
  test.skipIf(!path)('merging the sections keeps their area and grain', () => {
    const log = recordsOf(take(path!, name), 'harvest log');
    const perSection = recordsOf(take(path!, name, { columns: { section: '-' } }), 'harvest log');
    const area = (records: HarvestLogRecords) => sumOf(records, (i) => records.swathM[i]! * records.speedMS[i]!);
    const flow = (records: HarvestLogRecords) => sumOf(records, (i) => records.flowKgS[i]!);
    expect(perSection.count).toBe(18_400);
    agrees(
      'sec1west-2019 grain, merged against sections',
      flow(log) / flow(perSection),
      1,
      1e-6,
      'relative',
      '32-bit floats',
    );
    agrees(
      'sec1west-2019 area, merged against sections',
      area(log) / area(perSection),
      1,
      1e-6,
      'relative',
      '32-bit floats; sections of one time log the same distance',
    );
  });
});

describe('millview-seeding-2019: a seeder’s log', () => {
  const { path, name } = file('yield/millview-seeding-2019.csv');
  test.skipIf(!path)('its path is read, and that it gives no grain is told', () => {
    const outcome = readText(harvestLogImporter, bytesOf(path!), {}, name);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(23_047);
    expect(codes(outcome)).toContain('flow-missing');
    closeTo(Math.min(...log.timeS), dayNumber('2019-05-05')! * 86_400 + 4 * 3600 + 19 * 60 + 4.2, {
      within: 1e-6,
      because: 'doubles of Unix seconds',
    });
    closeTo(Math.max(...log.timeS), dayNumber('2019-05-06')! * 86_400 + 17 * 3600 + 19 * 60 + 42.709, {
      within: 1e-6,
      because: 'doubles of Unix seconds',
    });
    const distance = column(path!, 'DISTANC');
    agrees(
      'millview swath × distance',
      fromSI(
        sumOf(log, (i) => log.swathM[i]! * toSI(distance[i]!, 'ft')),
        'ha',
      ),
      75.3352,
      0.00005,
      'ha',
    );
    const widths = new Set([...log.swathM].map((width) => fromSI(width, 'ft').toFixed(3)));
    expect([...widths].sort()).toEqual(['31.500', '43.307']);
  });
});

test.skipIf(!file('yield/lasrosas-corn.csv').path)(
  'lasrosas-corn: a yield map without times is no log, and says what is lacking',
  () => {
    const { path, name } = file('yield/lasrosas-corn.csv');
    expect(told(take(path!, name), 'kind-unknown').text).toContain('"nitro"');
    const asLog = take(path!, name, { as: 'harvest log' });
    expect(told(asLog, 'columns-lacking').text).toContain('no column gives the time');
    const [years, yields] = [column(path!, 'year'), column(path!, 'yield')];
    for (const [year, rows, expected] of [
      [1999, 1738, 64.5583],
      [2001, 1705, 75.2003],
    ] as const) {
      const ofYear = yields.filter((_, i) => years[i] === year);
      expect(ofYear).toHaveLength(rows);
      agrees(`lasrosas mean ${year}`, mean(ofYear), expected, 0.00005, 'q/ha');
    }
  },
);

test.skipIf(!file('yield/henrys-nitrogen-2018.csv').path)(
  'henrys-nitrogen-2018: positions in a projection are refused, its numbers are read',
  () => {
    const { path, name } = file('yield/henrys-nitrogen-2018.csv');
    expect(take(path!, name).ok).toBe(false);
    const rate = column(path!, 'rate_appld');
    expect(rate).toHaveLength(13_990);
    expect(rate.filter((value) => value === 0)).toHaveLength(621);
    agrees('henrys-nitrogen mean rate', mean(rate), 63.4765, 0.00005, 'lb/ac');
    const [x, y] = [column(path!, 'utm12_x').sort(), column(path!, 'utm12_y').sort()];
    expect([x[0], y[0], x.at(-1), y.at(-1)]).toEqual([533272.834, 5302955.358, 533803.371, 5304900.229]);
  },
);

describe('iowa-coop: three stations, 31 years of days', () => {
  const { path, name } = file('weather/iowa-coop-1988-2018.csv');
  const station = (id: string) => readText(weatherImporter, bytesOf(path!), { columns: { station: id } }, name);
  test.skipIf(!path)('three stations in one file are refused with their names and days', () => {
    expect(told(take(path!, name), 'several-stations').text).toContain(
      '"IA0200 (11323 days)", "IA4228 (11323 days)" and "IA8688 (11323 days)"',
    );
  });
  test.skipIf(!path)('Ames: means, rain and degree days are those of R', () => {
    const outcome = station('IA0200');
    const weather = recordsOf(outcome, 'weather');
    expect(outcome.problems.filter((one) => one.level !== 'note')).toEqual([]);
    expect(weather.day).toHaveLength(11_323);
    agrees('Ames mean high', mean(weather.maxC), 15.4164, 0.00005, '°C');
    agrees('Ames mean low', mean(weather.minC), 4.10308, 0.000005, '°C');
    agrees('Ames rain a year', sum(weather.rainMm) / 31, 906.526, 0.0005, 'mm');
    const of = (year: number, value: (i: number) => number, from = `${year}-01-01`, to = `${year}-12-31`) => {
      let total = 0;
      weather.day.forEach((day, i) => {
        if (dateOf(day).year === year && day >= dayNumber(from)! && day <= dayNumber(to)!) total += value(i);
      });
      return total;
    };
    agrees(
      'Ames rain 2018',
      of(2018, (i) => weather.rainMm[i]!),
      1264.7,
      0.05,
      'mm',
    );
    const degreeDays = (i: number) => Math.max(0, (weather.maxC[i]! + weather.minC[i]!) / 2 - 10);
    agrees('Ames degree days 2012', of(2012, degreeDays, '2012-04-15', '2012-09-30'), 1867.1, 0.005, '°C d');
    agrees('Ames degree days 2018', of(2018, degreeDays, '2018-04-15', '2018-09-30'), 1873.6, 0.005, '°C d');
  });
  test.skipIf(!path)('Washington’s −72.8 °C of 2018-12-13 is left out and told with its row; nothing else is', () => {
    const outcome = station('IA8688');
    const flagged = outcome.problems.filter((one) => one.code === 'weather-range');
    expect(flagged).toHaveLength(1);
    expect(flagged[0]!.text).toContain('-72.8');
    const lines = readFileSync(path!, 'utf8').split('\n');
    expect(lines[flagged[0]!.where!.row! - 1]).toMatch(/^IA8688,2018-12-13,/);
    const weather = recordsOf(outcome, 'weather');
    expect(weather.minC[dayNumber('2018-12-13')! - weather.day[0]!]).toBeNaN();
    expect(weather.minC.filter((low) => !(low > -40))).toHaveLength(1);
  });
  test.skipIf(!path)('low never exceeds high anywhere', () => {
    for (const id of ['IA0200', 'IA4228', 'IA8688']) expect(codes(station(id))).not.toContain('min-over-max');
  });
});

describe('bjertorp: counts without longitude and latitude', () => {
  const { path, name } = file('weeds/bjertorp-counts.csv');
  test.skipIf(!path)('the round is refused because it has no position, and its counts are read exactly', () => {
    const outcome = readText(scoutingImporter, bytesOf(path!), {}, name);
    expect(told(outcome, 'columns-lacking').text).toContain('no column gives the position');
    const counts = column(path!, 'count_exact');
    expect(counts).toHaveLength(100);
    agrees('bjertorp mean count', mean(counts), 81.35, 1e-9, 'weeds');
    const centre = mean(counts);
    agrees('bjertorp variance', sum(counts.map((count) => (count - centre) ** 2)) / 99, 3678.694, 0.0005, 'weeds²');
    expect(Math.max(...counts)).toBe(300);
    expect(Math.min(...counts)).toBeGreaterThan(0);
  });
});

test.skipIf(!file('weeds/iowa-seedbank/ghobs.csv').path)(
  'iowa-seedbank: species columns are found, and the lacking position is told',
  () => {
    const { path, name } = file('weeds/iowa-seedbank/ghobs.csv');
    const outcome = take(path!, name);
    expect(told(outcome, 'columns-lacking').text).toContain('no column gives the position');
    const waterhemp = column(path!, 'AMATU');
    expect(waterhemp).toHaveLength(430);
    expect(sum(waterhemp.filter((count) => count === count))).toBe(4143);
  },
);
