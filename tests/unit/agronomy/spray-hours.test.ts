import { describe, expect, it } from 'vitest';
import { sprayHours } from '../../../shared/agronomy/spray-hours.ts';

const limits = {
  windLowMS: 1,
  windHighMS: 4.5,
  temperatureLowC: 10,
  temperatureHighC: 29,
  humidityLowPercent: 40,
  dryHoursAfter: 2,
  dryMm: 0.2,
  daylightFromH: 7,
  daylightToH: 20,
  runAtLeastH: 2,
};
const fine = (hours: number, firstHour = 8) => ({
  windMS: new Array<number>(hours).fill(3),
  temperatureC: new Array<number>(hours).fill(20),
  humidityPercent: new Array<number>(hours).fill(60),
  rainMm: new Array<number>(hours).fill(0),
  firstHour,
});

describe('spray hours', () => {
  it('lets a value on a limit pass', () => {
    const day = fine(3);
    day.windMS = [1, 4.5, 3];
    day.temperatureC = [10, 29, 20];
    day.humidityPercent = [40, 40, 40];
    expect(sprayHours(day, limits)).toEqual({ reasons: [[], [], []], goodHours: 3, runs: [[0, 2]] });
  });

  it('fails an hour whose weather is missing, and does not guess it', () => {
    const day = fine(4);
    day.windMS[0] = NaN;
    day.rainMm[3] = NaN;
    expect(sprayHours(day, limits).reasons).toEqual([['not known'], ['not known'], ['not known'], ['not known']]);
  });

  it('drops a good hour too short to use from the runs, not from the count', () => {
    const day = fine(3);
    day.windMS[1] = 9;
    expect(sprayHours(day, limits)).toMatchObject({ goodHours: 2, runs: [] });
  });

  it('reads the hour of the day from where the record begins', () => {
    expect(sprayHours(fine(3, 18), limits).reasons).toEqual([[], [], ['dark']]);
  });
});
