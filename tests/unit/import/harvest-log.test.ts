import { describe, expect, test } from 'vitest';
import { harvestLogImporter } from '../../../shared/import/harvest-log.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import type { HarvestLogRecords } from '../../../shared/model/records.ts';
import { dayNumberOf } from '../../../shared/units/calendar.ts';
import { closeTo } from '../../support/close-to.ts';
import { bundleOf, certainty, codes, drive, readText, recordsOf, told } from '../../support/import-text.ts';

const POUND = 0.45359237;
const read = (text: string | Uint8Array, wishes: ReadingWishes = {}) => readText(harvestLogImporter, text, wishes);
const logOf = (text: string, wishes: ReadingWishes = {}): HarvestLogRecords =>
  recordsOf(read(text, wishes), 'harvest log');
const float = { because: 'stored as 32-bit float: 6e-8 of the value' };

const factors = { because: 'three factors stored as 32-bit floats: 6e-8 each, and the product' };

/** Rows 1 s apart going north at 2 m/s. */
function rows(count: number, cells: (i: number) => string, header: string): string {
  return `${header}\n${Array.from({ length: count }, (_, i) => cells(i)).join('\n')}\n`;
}
const north = (i: number) => (43.9 + i * 1.8e-5).toFixed(7);
const clock = (i: number) =>
  `2026-10-03T14:${String(Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')}Z`;
const METRIC = 'time,longitude,latitude,flow_kg_s,moisture_pct,swath_m,header,heading_deg,speed_m_s';
const metric = (i: number) =>
  `${clock(i)},-93.97,${north(i)},${(8 + i / 10).toFixed(1)},17.5,9.144,${i < 2 ? 0 : 1},0.0,2.00`;

describe('what is refused', () => {
  test('a log without positions says so, with the columns seen', () => {
    const outcome = read(rows(5, (i) => `${clock(i)},8,17,9`, 'time,flow_kg_s,moisture,swath_m'));
    expect(outcome.ok).toBe(false);
    expect(told(outcome, 'columns-lacking').text).toContain('no column gives the position');
    expect(told(outcome, 'columns-lacking').text).toContain('"flow_kg_s"');
  });
  test('positions in meters of a projection are not taken for degrees', () => {
    const outcome = read(rows(5, (i) => `${clock(i)},533678.1,${5303771 + i},8`, 'time,x,y,flow_kg_s'));
    expect(told(outcome, 'positions-not-degrees').text).toContain('533678');
  });
  test('a table of positions without times is no log', () => {
    const outcome = read(rows(5, (i) => `-93.97,${north(i)},8`, 'lon,lat,flow_kg_s'));
    expect(told(outcome, 'columns-lacking').text).toContain('no column gives the time');
  });
  test('a wish for a column that is not there is told', () => {
    expect(told(read(rows(5, metric, METRIC), { columns: { flow: 'Flou' } }), 'column-missing').text).toContain(
      '"flow_kg_s"',
    );
  });
  test('a header without rows and rows without any position give no records', () => {
    expect(codes(read(`${METRIC}\n`))).toContain('no-records');
    expect(codes(read(rows(3, (i) => `${clock(i)},,,8,17,9,1,0,2`, METRIC)))).toContain('no-records');
  });
});

test('the usual metric log is read without a doubt', () => {
  const outcome = read(rows(10, metric, METRIC));
  const log = recordsOf(outcome, 'harvest log');
  expect(outcome.problems).toEqual([]);
  expect(log.count).toBe(10);
  expect(log.timeS[0]).toBe(dayNumberOf(2026, 10, 3) * 86_400 + 14 * 3600);
  expect([...log.headerDown]).toEqual([0, 0, 1, 1, 1, 1, 1, 1, 1, 1]);
  expect(log.flowKgS[3]).toBe(Math.fround(8.3));
  expect(log.moistureFraction[0]).toBe(Math.fround(0.175));
  expect([...log.row].slice(0, 2)).toEqual([2, 3]);
  expect(log.bounds).toEqual([-93.97, 43.9, -93.97, Number(north(9))]);
  if (!outcome.ok) return;
  expect(outcome.value.reading).toMatchObject({ takenFor: 'harvest log', rows: 10, unusedRows: 0 });
  for (const column of Object.values(outcome.value.reading.columns)) expect(column.because.length).toBeGreaterThan(5);
});

test('a log in US units with semicolons and local time gives the same records', () => {
  const us = (i: number) =>
    `2026-10-03 10:${String(Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')};-93.97;${north(i)};${((8 + i / 10) / POUND).toFixed(6)};17.5;30.0;${i < 2 ? 'up' : 'down'};0.0;${(2 / 0.44704).toFixed(6)}`;
  const outcome = read(
    rows(
      10,
      us,
      'Local time;Longitude;Latitude;Grain flow (lb/s);Moisture (%);Swath width (ft);Header;Course (deg);Speed (mph)',
    ),
    { utcOffsetMinutes: -240 },
  );
  const log = recordsOf(outcome, 'harvest log');
  const same = logOf(rows(10, metric, METRIC));
  expect(log.timeS).toEqual(same.timeS);
  expect(log.headerDown).toEqual(same.headerDown);
  for (let i = 0; i < 10; i++) {
    closeTo(log.flowKgS[i]!, same.flowKgS[i]!, { within: 1e-6, ...float });
    closeTo(log.swathM[i]!, same.swathM[i]!, { within: 1e-6, ...float });
    closeTo(log.speedMS[i]!, same.speedMS[i]!, { within: 1e-6, ...float });
  }
  expect(codes(outcome)).not.toContain('time-zone');
});

describe('flow', () => {
  const base = 'time,lon,lat';
  const at = (i: number) => `${clock(i)},-93.97,${north(i)}`;
  test('from mass per record over its seconds', () => {
    const outcome = read(rows(20, (i) => `${at(i)},24,3`, `${base},mass_kg,seconds`));
    expect(recordsOf(outcome, 'harvest log').flowKgS[5]).toBe(8);
    expect(codes(outcome)).toContain('flow-from-mass');
  });
  test('from bushels an acre × width × speed, by the bushel of the crop', () => {
    const text = (crop: string) =>
      rows(20, (i) => `${at(i)},180,30,4.5,${crop}`, `${base},Yield (bu/ac),Swath (ft),Speed (mph),Crop`);
    const kgHa = (180 * 56 * POUND) / 0.40468564224;
    const expected = (kgHa / 10_000) * 9.144 * (4.5 * 0.44704);
    closeTo(logOf(text('corn')).flowKgS[0]!, expected, { within: expected * 3e-7, ...factors });
    closeTo(logOf(text('Soybeans')).flowKgS[0]!, (expected * 60) / 56, { within: expected * 3e-7, ...factors });
    const unknown = read(text('lentils'));
    expect(told(unknown, 'flow-missing').hint).toContain('bu/ac 56 lb');
    expect(recordsOf(unknown, 'harvest log').flowKgS[0]).toBeNaN();
    closeTo(logOf(text('lentils'), { units: { yield: 'bu/ac 60 lb' } }).flowKgS[0]!, (expected * 60) / 56, {
      within: expected * 3e-7,
      ...factors,
    });
  });
  test('from yield, width and distance by the usual step where no column gives the seconds', () => {
    const outcome = read(rows(30, (i) => `${at(i)},9000,9,2`, `${base},yield_kg_ha,swath_m,distance_m`));
    closeTo(recordsOf(outcome, 'harvest log').flowKgS[3]!, 16.2, { within: 1e-5, ...float });
    expect(codes(outcome)).toEqual(
      expect.arrayContaining(['speed-from-distance', 'duration-assumed', 'flow-from-yield']),
    );
  });
  test('a bare "mass" is taken as flow, with a warning', () => {
    expect(told(read(rows(20, (i) => `${at(i)},12`, `${base},mass`)), 'mass-or-flow').level).toBe('warning');
  });
  test('negative flow is told and kept', () => {
    const outcome = read(rows(20, (i) => `${at(i)},${i === 3 ? -1 : 8}`, `${base},flow_kg_s`));
    expect(told(outcome, 'negative-flow')).toMatchObject({ where: { row: 5, column: 'flow_kg_s' } });
    expect(recordsOf(outcome, 'harvest log').flowKgS[3]).toBe(-1);
  });
});

describe('times', () => {
  const one = (time: (i: number) => string, wishes: ReadingWishes = {}, header = 'time') =>
    read(
      rows(20, (i) => `${time(i)},-93.97,${north(i)},8`, `${header},lon,lat,flow_kg_s`),
      wishes,
    );
  const start = dayNumberOf(2026, 10, 13) * 86_400 + 14 * 3600;
  const two = (i: number) => String(i).padStart(2, '0');
  const forms: [string, (i: number) => string, string?][] = [
    ['ISO with zone', (i) => `2026-10-13T16:00:${two(i)}+02:00`],
    ['ISO without zone', (i) => `2026-10-13 14:00:${two(i)}`],
    ['ISO with milliseconds', (i) => `2026-10-13T14:00:${two(i)}.000Z`],
    ['Unix seconds', (i) => `${start + i}`],
    ['Unix milliseconds', (i) => `${(start + i) * 1000}`],
    ['year/month/day', (i) => `2026/10/13 14:00:${two(i)}`],
    ['month/day/year with halves of the day', (i) => `10/13/2026 2:00:${two(i)} PM`],
    ['day.month.year', (i) => `13.10.2026 14:00:${two(i)}`],
    ['day/month/two digits', (i) => `13/10/26 14:00:${two(i)}`],
    ['a month in letters', (i) => `13-Oct-2026 14:00:${two(i)}`],
    ['fourteen digits', (i) => `202610131400${two(i)}`],
    ['date and clock apart', (i) => `2026-10-13,14:00:${two(i)}`, 'date,time'],
  ];
  test.each(forms)('%s gives the same seconds', (_, time, header) => {
    const log = recordsOf(one(time, {}, header), 'harvest log');
    expect(log.timeS[0]).toBe(start);
    expect(log.timeS[19]).toBe(start + 19);
  });
  test('days since 1899-12-30 are read to their five decimals, and the coarse step is told', () => {
    const outcome = one((i) => (46308 + (14 * 3600 + i) / 86_400).toFixed(5));
    expect(told(outcome, 'serial-days').text).toContain('0.864 s');
    closeTo(recordsOf(outcome, 'harvest log').timeS[7]!, start + 7, {
      within: 0.45,
      because: 'half a step of the five decimals',
    });
  });
  test('a month that could be a day is told', () => {
    expect(
      told(
        one((i) => `03/04/2026 14:00:${two(i)}`),
        'date-order-unclear',
      ).text,
    ).toContain('03/04/2026');
  });
  test('seconds from an unknown start begin in 1970, told', () => {
    const outcome = one((i) => `${i * 3}`);
    expect(told(outcome, 'no-date').level).toBe('warning');
    expect(recordsOf(outcome, 'harvest log').timeS[2]).toBe(6);
  });
  test('local time is moved to UTC by what the person says, zoned and Unix times are not', () => {
    expect(
      recordsOf(
        one((i) => `2026-10-13 09:00:${two(i)}`, { utcOffsetMinutes: -300 }),
        'harvest log',
      ).timeS[0],
    ).toBe(start);
    expect(
      recordsOf(
        one((i) => `2026-10-13T14:00:${two(i)}Z`, { utcOffsetMinutes: -300 }),
        'harvest log',
      ).timeS[0],
    ).toBe(start);
    expect(
      recordsOf(
        one((i) => `${start + i}`, { utcOffsetMinutes: -300 }),
        'harvest log',
      ).timeS[0],
    ).toBe(start);
    expect(codes(one((i) => `2026-10-13 09:00:${two(i)}`))).toContain('time-zone');
  });
  const METERS = 1.8e-5; // 2.0015 m of latitude
  describe('without a time of day', () => {
    const day = dayNumberOf(2026, 10, 13);
    const noonS = day * 86_400 + 43_200;
    const serial = 46_308;
    test.each([
      ['a whole serial day', `${serial}`],
      ['midnight', '2026-10-13T00:00:00Z'],
      ['midnight in words', '10/13/2026 12:00:00 AM'],
      ['eight digits', '20261013'],
      ['midnight in milliseconds', `${day * 86_400_000}`],
    ])('%s in every row is a day: times start at its noon, in the order of the rows', (_, cell) => {
      const outcome = one(() => cell, {}, 'time');
      const log = recordsOf(
        read(rows(20, (i) => `${cell},-93.97,${north(i)},8,9`, 'time,lon,lat,flow_kg_s,swath_m')),
        'harvest log',
      );
      expect([log.timeS[0], log.timeS[19]]).toEqual([noonS, noonS + 19]);
      expect(log.timesMade).toBe('a second a record');
      expect(told(outcome, 'times-made').text).toContain('noon of each day');
    });
    test('local days stay the day of the field', () => {
      const outcome = one(() => '2026-10-13', { utcOffsetMinutes: -300 });
      expect(recordsOf(outcome, 'harvest log').timeS[0]).toBe(noonS + 5 * 3600);
    });
    test('two days: each starts at its own noon; a day that cannot be read is told and is that of the row before', () => {
      const outcome = one((i) => (i === 4 ? 'lunch' : i < 10 ? '2026-10-13' : '2026-10-15'));
      const { timeS } = recordsOf(outcome, 'harvest log');
      expect([timeS[4], timeS[9], timeS[10]]).toEqual([noonS + 4, noonS + 9, noonS + 2 * 86_400]);
      expect(told(outcome, 'day-missing')).toMatchObject({ where: { row: 6, column: 'time' } });
    });
    test('seconds of a day are not taken for serial days', () => {
      const outcome = one((i) => `${46_308 + i}`);
      expect(codes(outcome)).not.toContain('times-made');
      expect(recordsOf(outcome, 'harvest log').timeS[5]).toBe(46_313);
    });
    const HEAD = 'lon,lat,flow_kg_s,swath_m';
    const cells = (i: number) => `-93.97,${(43.9 + i * METERS).toFixed(7)},8,9`;
    test('no clock at all: order and steps of a second, from 1970 on, said', () => {
      const outcome = read(rows(20, cells, HEAD));
      const log = recordsOf(outcome, 'harvest log');
      expect([...log.timeS].slice(0, 3)).toEqual([0, 1, 2]);
      expect(log.timesMade).toBe('a second a record');
      expect(told(outcome, 'times-made').text).toContain('the order of its rows');
      expect(told(outcome, 'times-made').text).toContain('from 1970 on');
    });
    test('a log by distance goes by distance, at an assumed speed', () => {
      const outcome = read(rows(20, (i) => `-93.97,${(43.9 + 3 * i * METERS).toFixed(7)},8,9`, HEAD));
      const log = recordsOf(outcome, 'harvest log');
      expect(log.timesMade).toBe('distance');
      closeTo(log.timeS[10]!, (10 * 3 * 2.0015) / 2, {
        within: 0.01,
        because: 'positions have seven decimals: 1 cm a step',
      });
    });
    test('yield × width × distance weighs the same whatever the speed was', () => {
      const kgOf = (speed: string) => {
        const text = rows(
          20,
          (i) => `-93.97,${north(i)},9000,9,2.0015${speed}`,
          `lon,lat,yield_kg_ha,swath_m,distance_m${speed === '' ? '' : ',speed_m_s'}`,
        );
        const log = recordsOf(read(text), 'harvest log');
        let kg = 0;
        for (let i = 0; i + 1 < log.count; i++) kg += log.flowKgS[i]! * (log.timeS[i + 1]! - log.timeS[i]!);
        return kg;
      };
      const expected = 19 * 0.9 * 9 * 2.0015;
      closeTo(kgOf(''), expected, { within: 0.5, because: 'steps of seven decimals of a degree' });
      closeTo(kgOf(',1.3'), expected, { within: 0.5, because: 'steps of seven decimals of a degree' });
    });
    test('a way that was not logged is a pause, counted', () => {
      const outcome = read(rows(20, (i) => cells(i < 10 ? i : i + 30), HEAD));
      const { timeS } = recordsOf(outcome, 'harvest log');
      expect(timeS[10]! - timeS[9]!).toBeGreaterThan(60);
      expect(told(outcome, 'times-made').text).toContain('1 way between rows was not logged');
    });
    test('rows that do not follow one another on the ground are refused: the order of driving is lost', () => {
      const shuffled = read(rows(50, (i) => cells((i * 37) % 50), HEAD));
      expect(shuffled.ok).toBe(false);
      expect(told(shuffled, 'order-unknown').hint).toContain('as it was logged');
    });
    test('a header section a row cannot be put together without a clock: refused, said', () => {
      const outcome = read(rows(20, (i) => `${cells(i)},${i % 4}`, `${HEAD},section`));
      expect(told(outcome, 'columns-lacking').text).toContain('rows of one moment');
    });
    test('is known for a log by what a machine logs beside the yield; a yield map is not', () => {
      expect(certainty(harvestLogImporter, rows(20, cells, HEAD))).toBe(0.5);
      expect(
        certainty(
          harvestLogImporter,
          rows(20, (i) => `-93.97,${north(i)},8`, 'lon,lat,yield'),
        ),
      ).toBeLessThan(0.5);
    });
  });
  test('a row whose time cannot be read is not used, and the others are', () => {
    const outcome = one((i) => (i === 4 ? 'lunch' : `2026-10-13T14:00:${two(i)}Z`));
    expect(told(outcome, 'time-missing')).toMatchObject({ where: { row: 6, column: 'time' } });
    expect(outcome.ok && outcome.value.reading.unusedRows).toBe(1);
    expect(recordsOf(outcome, 'harvest log').count).toBe(19);
  });
  test('days without a time of day are filled from the order of logging, with a warning', () => {
    const text = rows(
      20,
      (i) => `2026-10-13,${20 - i},13/10/26-14:00:00 (7),-93.97,${north(i)},8`,
      'date,obj_id,dataset,lon,lat,flow_kg_s',
    );
    const outcome = read(text);
    expect(told(outcome, 'times-made').level).toBe('warning');
    expect(recordsOf(outcome, 'harvest log').timeS[19]).toBe(start);
    expect(recordsOf(outcome, 'harvest log').timeS[0]).toBe(start + 19);
  });
});

describe('header', () => {
  const log = (cell: (i: number) => string, header: string, wishes: ReadingWishes = {}) =>
    read(
      rows(12, (i) => `${clock(i)},-93.97,${north(i)},8,${cell(i)}`, `time,lon,lat,flow_kg_s,${header}`),
      wishes,
    );
  test.each([
    ['down', 'up'],
    ['1', '0'],
    ['working', 'idle'],
    ['In', 'Out'],
    ['TRUE', 'FALSE'],
    ['1.0', '0.0'],
  ])('"%s" is down and "%s" is up', (down, up) => {
    expect([
      ...recordsOf(
        log((i) => (i < 4 ? up : down), 'Header state'),
        'harvest log',
      ).headerDown,
    ]).toEqual([0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1]);
  });
  test('a height needs its limit: without one all records are worked, told', () => {
    const cell = (i: number) => (i < 4 ? '80' : '12');
    expect(codes(log(cell, 'header_height'))).toContain('header-limit-missing');
    expect(
      [
        ...recordsOf(log(cell, 'header_height', { columns: { headerHeight: 'header_height<40' } }), 'harvest log')
          .headerDown,
      ].slice(3, 5),
    ).toEqual([0, 1]);
  });
  test('no column at all is told', () => {
    expect(
      told(
        log(() => '1', 'anything'),
        'no-header-state',
      ).level,
    ).toBe('note');
  });
});

describe('bad cells', () => {
  test('text among numbers is told with row, column and value, and the record stays', () => {
    const outcome = read(rows(10, (i) => (i === 5 ? metric(i).replace('17.5', 'wet') : metric(i)), METRIC));
    expect(told(outcome, 'not-a-number')).toMatchObject({
      text: 'Row 7: moisture is "wet", not a number.',
      where: { row: 7, column: 'moisture_pct' },
    });
    expect(recordsOf(outcome, 'harvest log').moistureFraction[5]).toBeNaN();
    expect(recordsOf(outcome, 'harvest log').count).toBe(10);
  });
  test('moisture of 713 % is left out and told', () => {
    const outcome = read(rows(10, (i) => (i === 5 ? metric(i).replace('17.5', '713') : metric(i)), METRIC));
    expect(told(outcome, 'moisture-range')).toMatchObject({
      where: { row: 7 },
      hint: 'Is the column in tenths of a percent?',
    });
  });
  test('a column of tenths of a percent is seen as such', () => {
    closeTo(
      logOf(rows(10, (i) => metric(i).replace('17.5', '175'), METRIC.replace('moisture_pct', 'moisture')))
        .moistureFraction[0]!,
      0.175,
      { within: 1e-8, ...float },
    );
  });
  test('positions at 0, 0, off the earth or missing are not used and counted', () => {
    const place = ['0,0', '-193.97,43.9', ',', '-93.97,abc'];
    const outcome = read(
      rows(
        20,
        (i) => (i < 4 ? `${clock(i)},${place[i]},8` : `${clock(i)},-93.97,${north(i)},8`),
        'time,lon,lat,flow_kg_s',
      ),
    );
    expect(codes(outcome)).toEqual(
      expect.arrayContaining(['position-zero', 'position-range', 'position-missing', 'not-a-number']),
    );
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 20, unusedRows: 4 });
    expect(recordsOf(outcome, 'harvest log').count).toBe(16);
  });
  test('of many alike at most twenty are listed and the rest are counted', () => {
    const outcome = read(rows(100, (i) => metric(i).replace('17.5', 'x'), METRIC));
    const listed = outcome.problems.filter((one) => one.code === 'not-a-number');
    expect(listed).toHaveLength(21);
    expect(listed.at(-1)!.text).toMatch(/^80 more like this/);
  });
  test('a row with too few cells is told', () => {
    expect(
      told(read(rows(10, (i) => (i === 2 ? '2026-10-03T14:00:02Z,-93.97,43.9' : metric(i)), METRIC)), 'row-width')
        .where,
    ).toMatchObject({ row: 4 });
  });
  test('swapped latitude and longitude are exchanged with a warning', () => {
    const outcome = read(rows(10, (i) => `${clock(i)},${north(i)},-93.97,8`, 'time,lon,lat,flow_kg_s'));
    expect(told(outcome, 'positions-swapped').level).toBe('warning');
    expect(recordsOf(outcome, 'harvest log').lon[0]).toBe(-93.97);
  });
});

describe('header sections', () => {
  const text = `time,lon,lat,section,yield_kg_ha,swath_m,speed_m_s,moisture\n${Array.from({ length: 10 }, (_, i) =>
    [0, 1, 2]
      .map(
        (s) =>
          `${clock(i)},${(-93.97 + s * 2e-5).toFixed(7)},${north(i)},${s},${5000 + 1000 * s},${s === 2 && i > 5 ? 0 : 1.5},2,${10 + s}`,
      )
      .join('\n'),
  ).join('\n')}\n`;
  test('rows of one time make one record: widths and flows add, the place is the middle of what cuts', () => {
    const outcome = read(text);
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(10);
    expect(told(outcome, 'sections-merged').text).toContain('30 rows of 3 header sections make 10 records');
    closeTo(log.swathM[0]!, 4.5, { within: 1e-6, ...float });
    closeTo(log.swathM[9]!, 3, { within: 1e-6, ...float });
    closeTo(log.flowKgS[0]!, ((5000 + 6000 + 7000) / 10_000) * 1.5 * 2, { within: 1e-6, ...float });
    closeTo(log.lon[0]!, -93.97 + 2e-5, { within: 1e-9, because: 'sums of differences in doubles' });
    closeTo(log.lon[9]!, -93.97 + 1e-5, { within: 1e-9, because: 'a shut section weighs 1e-9 of an open one' });
    closeTo(log.moistureFraction[0]!, (5 * 0.1 + 6 * 0.11 + 7 * 0.12) / 18, { within: 1e-8, ...float });
    expect([...log.row].slice(0, 2)).toEqual([2, 5]);
  });
  test('flow is conserved by the merging', () => {
    const single = logOf(text, { columns: { section: '-' } });
    const sum = (log: HarvestLogRecords) => log.flowKgS.reduce((a, b) => a + b, 0);
    expect(single.count).toBe(30);
    closeTo(sum(logOf(text)), sum(single), { within: 1e-4, ...float });
  });
});

describe('several machines in one file', () => {
  const text = rows(
    40,
    (i) => `${clock(i % 20)},-93.97,${north(i)},8,${i < 20 ? 'A' : 'B'}`,
    'time,lon,lat,flow_kg_s,recording',
  );
  test('recordings that run at the same time are told, and each record keeps its machine', () => {
    const outcome = read(text);
    expect(told(outcome, 'recordings-overlap').hint).toContain('recording = "recording=A"');
    const { machine } = recordsOf(outcome, 'harvest log');
    expect([machine![19], machine![20]]).toEqual([0, 1]);
  });
  test('so does a column that names the machines; a column of states does not', () => {
    const named = (header: string, cell: (i: number) => string) =>
      logOf(rows(40, (i) => `${clock(i % 20)},-93.97,${north(i)},8,${cell(i)}`, `time,lon,lat,flow_kg_s,${header}`));
    expect(named('combine', (i) => (i < 20 ? 'red' : 'green')).machine).toBeDefined();
    expect(named('machine', (i) => (i < 20 ? 'red' : 'green')).machine).toBeDefined();
    expect(named('machine', (i) => (i % 2 ? '1' : '0')).machine).toBeUndefined();
  });
  test('one of them is read on request, the other rows are counted', () => {
    const outcome = read(text, { columns: { recording: 'recording=B' } });
    expect(recordsOf(outcome, 'harvest log').count).toBe(20);
    expect(outcome.ok && outcome.value.reading.unusedRows).toBe(20);
    expect(codes(outcome)).toContain('other-recordings');
  });
});

describe('wishes', () => {
  test('columns and units said by a person go over every guess and say so', () => {
    const outcome = read(rows(10, metric, METRIC.replace('flow_kg_s', 'Q7')), {
      columns: { flow: 'Q7' },
      units: { flow: 't/h' },
    });
    closeTo(recordsOf(outcome, 'harvest log').flowKgS[0]!, 8 / 3.6, { within: 1e-6, ...float });
    expect(outcome.ok && outcome.value.reading.columns['flow']).toMatchObject({
      column: 'Q7',
      unit: 't/h',
      by: 'person',
    });
  });
  test('a unit of the wrong kind is refused and told', () => {
    expect(told(read(rows(10, metric, METRIC), { units: { flow: 'ft' } }), 'unit-unknown').hint).toContain('kg/s');
  });
  test('a log without width or moisture says what stands for them and how to say them', () => {
    const bare = rows(10, (i) => `${clock(i)},-93.97,${north(i)},8`, 'time,lon,lat,flow_kg_s');
    expect(told(read(bare), 'no-width').hint).toContain('one width for all rows');
    expect(told(read(bare), 'no-moisture').hint).toContain('one moisture for all rows');
    const said = read(bare, { columns: { swath: '=30 ft', moisture: '=17 %' } });
    expect(codes(said)).not.toEqual(expect.arrayContaining(['no-width']));
    expect(codes(said)).not.toEqual(expect.arrayContaining(['no-moisture']));
    closeTo(recordsOf(said, 'harvest log').moistureFraction[3]!, 0.17, { within: 1e-7, ...float });
  });
  test('one width for all rows', () => {
    const log = logOf(
      rows(10, (i) => `${clock(i)},-93.97,${north(i)},8`, 'time,lon,lat,flow_kg_s'),
      { columns: { swath: '=30 ft' } },
    );
    closeTo(log.swathM[4]!, 9.144, { within: 1e-6, ...float });
  });
});

describe('recognizing', () => {
  test('a log is certain, a log without positions is still taken so that it can be refused clearly, a price list is not', () => {
    expect(certainty(harvestLogImporter, rows(10, metric, METRIC))).toBeGreaterThan(0.9);
    expect(
      certainty(
        harvestLogImporter,
        rows(10, (i) => `${clock(i)},8,17`, 'time,flow,moisture'),
      ),
    ).toBe(0.5);
    expect(certainty(harvestLogImporter, 'item,price\nbolt,3\nnut,4\n')).toBeLessThan(0.4);
    expect(certainty(harvestLogImporter, '{"type":"FeatureCollection"}', 'x.json')).toBe(0);
  });
});

test('30 MB stream through in whole portions, with progress and typed columns only', () => {
  const line = (i: number) =>
    `${1_760_000_000 + i},-93.${String(9_700_000 + (i % 1000))},43.9${String(10_000 + (i % 1000))},${(8 + (i % 50) / 10).toFixed(1)},17.5,9.144,1,0.0,2.00\n`;
  const portion = Array.from({ length: 5000 }, (_, i) => line(i)).join('');
  const bytes = new TextEncoder().encode(portion);
  const portions = Math.ceil(30e6 / bytes.length);
  let given = 0;
  let largestGap = 0;
  function* chunks() {
    yield new TextEncoder().encode(`${METRIC}\n`);
    for (let i = 0; i < portions; i++) {
      given += bytes.length;
      yield bytes;
    }
  }
  const size = METRIC.length + 1 + portions * bytes.length;
  const reading = harvestLogImporter.read({ name: 'big.csv', parts: [{ name: 'big.csv', size, chunks }] }, {});
  let step = reading.next();
  given = 0;
  while (!step.done) {
    largestGap = Math.max(largestGap, given - step.value[0]);
    step = reading.next();
  }
  const log = recordsOf(step.value, 'harvest log');
  expect(log.count).toBe(portions * 5000);
  expect(largestGap).toBeLessThan(4 * (1 << 20));
  const kept = [
    log.timeS,
    log.lon,
    log.lat,
    log.flowKgS,
    log.moistureFraction,
    log.swathM,
    log.headerDown,
    log.headingDeg,
    log.speedMS,
    log.durationS,
    log.row,
  ];
  expect(kept.reduce((sum, array) => sum + array.buffer.byteLength, 0)).toBe(log.count * (3 * 8 + 6 * 4 + 1 + 4));
});

test('a reader that is stopped half way ends without a word', () => {
  const reading = harvestLogImporter.read(bundleOf('log.csv', new TextEncoder().encode(rows(100, metric, METRIC))), {});
  reading.next();
  expect(reading.return(undefined as never).done).toBe(true);
  expect(
    drive(harvestLogImporter.read(bundleOf('log.csv', new TextEncoder().encode(rows(5, metric, METRIC))), {})).ok,
  ).toBe(true);
});
