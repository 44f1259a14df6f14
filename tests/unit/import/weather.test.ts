import { expect, test } from 'vitest';
import { weatherImporter } from '../../../shared/import/weather.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';
import { closeTo } from '../../support/close-to.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';

const HEAD = 'date,max_temp_C,min_temp_C,rain_mm';
const read = (text: string, wishes: ReadingWishes = {}) => readText(weatherImporter, text, wishes, 'weather.csv');

test('a table without dates or without weather is refused', () => {
  expect(told(read('max_temp_C,min_temp_C\n1,0\n'), 'columns-lacking').text).toContain('no column gives the date');
  expect(told(read('date,wind\n2026-05-01,3\n'), 'columns-lacking').text).toContain(
    'no column gives temperature or rain',
  );
});

test('the usual table', () => {
  const outcome = read(`${HEAD}\n2026-05-01,20.5,8.1,0\n2026-05-02,22,9,12.5\n`);
  expect(outcome.problems).toEqual([]);
  const weather = recordsOf(outcome, 'weather');
  expect([...weather.day]).toEqual([dayNumber('2026-05-01'), dayNumber('2026-05-02')]);
  expect([...weather.maxC]).toEqual([20.5, 22]);
  expect([...weather.minC]).toEqual([8.1, 9]);
  closeTo(weather.rainMm[1]!, 12.5, { within: 1e-12, because: 'mm to m and back in doubles' });
  expect(weather.station).toBeNull();
});

test('Fahrenheit and inches by name, and Fahrenheit by values', () => {
  const exact = { within: 1e-9, because: 'exact factors in doubles' };
  const named = recordsOf(read('date,tmax_f,tmin_f,precip_in\n2026-05-01,68,50,1\n'), 'weather');
  closeTo(named.maxC[0]!, 20, exact);
  closeTo(named.minC[0]!, 10, exact);
  closeTo(named.rainMm[0]!, 25.4, exact);
  const days = Array.from(
    { length: 20 },
    (_, i) => `2026-07-${String(i + 1).padStart(2, '0')},${80 + i},${60 + i},0.${i}`,
  ).join('\n');
  const seen = read(`date,high,low,rain\n${days}\n`);
  closeTo(recordsOf(seen, 'weather').maxC[0]!, (80 - 32) / 1.8, exact);
  closeTo(recordsOf(seen, 'weather').rainMm[5]!, 12.7, exact);
  expect(codes(seen)).toContain('unit-assumed');
});

test('a value that cannot be is left out and told with its row', () => {
  const outcome = read(`${HEAD}\n2018-12-13,1.1,-72.8,0\n2018-12-14,60,1,0\n2018-12-15,2,1,-3\n`);
  expect(outcome.problems.filter((one) => one.code === 'weather-range').map((one) => one.where?.row)).toEqual([
    2, 3, 4,
  ]);
  const weather = recordsOf(outcome, 'weather');
  expect([weather.minC[0], weather.maxC[1], weather.rainMm[2]]).toEqual([NaN, NaN, NaN]);
  expect(weather.maxC[0]).toBe(1.1);
});

test('a lowest above the highest leaves out both, because nobody knows which is wrong', () => {
  const outcome = read(`${HEAD}\n2026-05-01,8,20,0\n2026-05-02,20,8,0\n`);
  expect(told(outcome, 'min-over-max')).toMatchObject({ where: { row: 2 } });
  expect(recordsOf(outcome, 'weather').maxC[0]).toBeNaN();
});

test('missing days stay missing and are told; missing values too', () => {
  const outcome = read(`${HEAD}\n2026-05-01,20,8,0\n2026-05-04,21,NA,1\n2026-05-06,22,9,\n`);
  expect(told(outcome, 'days-missing').text).toBe('3 days are missing: 2026-05-02 to 2026-05-03, 2026-05-05.');
  const weather = recordsOf(outcome, 'weather');
  expect(weather.day).toHaveLength(6);
  expect([...weather.maxC]).toEqual([20, NaN, NaN, 21, NaN, 22]);
  expect(outcome.problems.filter((one) => one.code === 'values-missing')).toHaveLength(2);
});

test('days out of order are put in order, a day given twice counts once, both told', () => {
  const outcome = read(`${HEAD}\n2026-05-02,22,9,0\n2026-05-01,20,8,0\n2026-05-02,30,9,0\n`);
  expect(codes(outcome)).toEqual(expect.arrayContaining(['days-sorted', 'day-twice']));
  expect([...recordsOf(outcome, 'weather').maxC]).toEqual([20, 22]);
});

test('a year that slipped does not stretch the table over millennia', () => {
  const outcome = read(`${HEAD}\n2026-05-01,20,8,0\n9026-05-02,21,9,2\n`);
  expect(told(outcome, 'date-range')).toMatchObject({ where: { row: 3 } });
  expect(recordsOf(outcome, 'weather').day).toHaveLength(1);
});

test('a trace of rain counts as 0 and is told', () => {
  const outcome = read(`${HEAD}\n2026-05-01,20,8,T\n2026-05-02,21,9,2\n`);
  expect([...recordsOf(outcome, 'weather').rainMm]).toEqual([0, 2]);
  expect(codes(outcome)).toContain('rain-trace');
});

test('several stations are refused with their names until one is wished', () => {
  const text = 'station,date,high_c,low_c\nA,2026-05-01,20,8\nB,2026-05-01,10,2\nA,2026-05-02,21,9\n';
  expect(told(read(text), 'several-stations')).toMatchObject({ level: 'error' });
  expect(told(read(text), 'several-stations').text).toContain('"A (2 days)" and "B (1 days)"');
  for (const station of ['A', 'station=A']) {
    const outcome = read(text, { columns: { station } });
    expect(recordsOf(outcome, 'weather').station).toBe('A');
    expect([...recordsOf(outcome, 'weather').maxC]).toEqual([20, 21]);
    expect(outcome.ok && outcome.value.reading.unusedRows).toBe(1);
  }
  expect(told(read(text, { columns: { station: 'Z' } }), 'columns-lacking').text).toContain('there is no station "Z"');
});

test('a file without rain says so', () => {
  expect(told(read('date,high_c,low_c\n2026-05-01,20,8\n'), 'column-absent').text).toContain('no column of rain');
});

test('recognizing', () => {
  expect(certainty(weatherImporter, `${HEAD}\n2026-05-01,20,8,0\n`)).toBeGreaterThan(0.8);
  expect(certainty(weatherImporter, 'field,crop,planted\nHome,corn,2026-05-01\n')).toBeLessThan(0.5);
});
