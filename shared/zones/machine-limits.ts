/** What a zone has to measure at least for the farm's sprayer. */
import { parameter } from '../agronomy/parameter.ts';
import type { Farm } from '../model/farm.ts';

export interface MachineLimits {
  /** The boom's width, else the usual one. */
  readonly minWidthM: number;
  readonly minAreaM2: number;
}

/** 0.1 ha: less is not worth a stop (common practice, no source). */
const LEAST_ZONE_M2 = 1000;

export function boomWidthOf(farm: Farm): number | null {
  return farm.machines.find((one) => one.kind === 'sprayer')?.boom?.widthM ?? null;
}

export function machineLimits(boomWidthM: number | null): MachineLimits {
  return { minWidthM: boomWidthM ?? parameter('application.boomWidthM').value, minAreaM2: LEAST_ZONE_M2 };
}
