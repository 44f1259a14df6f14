/**
 * Hours of a weather record that pass every limit for spraying, with the reasons of those that do not. Every limit is typed
 * in or taken from the label; the tool has none of its own. Low wind is a limit too: an inversion is likely then.
 * @source reference case emergence-cover/two-days-hourly (its limits are examples, never advice)
 */

export interface SprayLimits {
  readonly windLowMS: number;
  readonly windHighMS: number;
  readonly temperatureLowC: number;
  readonly temperatureHighC: number;
  readonly humidityLowPercent: number;
  /** Hours without rain wanted after spraying. */
  readonly dryHoursAfter: number;
  /** Rain in those hours that still counts as dry. */
  readonly dryMm: number;
  /** First and one past the last hour of the day with light. */
  readonly daylightFromH: number;
  readonly daylightToH: number;
  readonly runAtLeastH: number;
}

export type SprayReason = 'wind-low' | 'wind-high' | 'temperature' | 'humidity' | 'rain' | 'dark' | 'not known';

export interface HourlyWeather {
  readonly windMS: ArrayLike<number>;
  readonly temperatureC: ArrayLike<number>;
  readonly humidityPercent: ArrayLike<number>;
  readonly rainMm: ArrayLike<number>;
  /** Hour of the day (0–23) of the first element. */
  readonly firstHour: number;
}

/** Why one hour fails; empty where it passes. A value on a limit passes; a missing one fails as 'not known'. */
function reasonsOf(weather: HourlyWeather, limits: SprayLimits, hour: number): SprayReason[] {
  const wind = weather.windMS[hour]!;
  const temperature = weather.temperatureC[hour]!;
  const humidity = weather.humidityPercent[hour]!;
  const rain = weather.rainMm[hour]!;
  const reasons: SprayReason[] = [];
  if (wind < limits.windLowMS) reasons.push('wind-low');
  if (wind > limits.windHighMS) reasons.push('wind-high');
  if (temperature < limits.temperatureLowC || temperature > limits.temperatureHighC) reasons.push('temperature');
  if (humidity < limits.humidityLowPercent) reasons.push('humidity');
  let after = 0;
  let known = true;
  for (let i = hour + 1; i <= hour + limits.dryHoursAfter && i < weather.rainMm.length; i++) {
    if (Number.isNaN(weather.rainMm[i]!)) known = false;
    else after += weather.rainMm[i]!;
  }
  if (rain > 0 || after > limits.dryMm) reasons.push('rain');
  const ofDay = (weather.firstHour + hour) % 24;
  if (ofDay < limits.daylightFromH || ofDay >= limits.daylightToH) reasons.push('dark');
  if (!known || [wind, temperature, humidity, rain].some(Number.isNaN)) reasons.push('not known');
  return reasons;
}

export interface SprayHours {
  readonly reasons: readonly (readonly SprayReason[])[];
  readonly goodHours: number;
  /** First and last hour of each run that is long enough to use. */
  readonly runs: readonly (readonly [from: number, to: number])[];
}

/** @cost O(hours × dryHoursAfter) */
export function sprayHours(weather: HourlyWeather, limits: SprayLimits): SprayHours {
  const hours = weather.windMS.length;
  const reasons = Array.from({ length: hours }, (_, hour) => reasonsOf(weather, limits, hour));
  const runs: (readonly [number, number])[] = [];
  let goodHours = 0;
  let start = -1;
  for (let hour = 0; hour <= hours; hour++) {
    if (hour < hours && reasons[hour]!.length === 0) {
      goodHours++;
      if (start < 0) start = hour;
    } else if (start >= 0) {
      if (hour - start >= limits.runAtLeastH) runs.push([start, hour - 1]);
      start = -1;
    }
  }
  return { reasons, goodHours, runs };
}
