/** Φ from a table, for the hundreds of thousands of probabilities of a map. */
import { normalCdf } from '../special.ts';

/** Beyond this Φ is 0 or 1 to 2e-12. */
const END = 7;
const PER_UNIT = 32;
const KNOTS = 2 * END * PER_UNIT + 1;
const ROOT_TWO_PI = Math.sqrt(2 * Math.PI);

/** Φ at each knot, and its slope a step. */
const value = new Float64Array(KNOTS);
const slope = new Float64Array(KNOTS);
for (let i = 0; i < KNOTS; i++) {
  const z = i / PER_UNIT - END;
  value[i] = normalCdf(z);
  slope[i] = Math.exp((-z * z) / 2) / (ROOT_TWO_PI * PER_UNIT);
}

/** Φ(z) within 4e-9: a cubic between knots that has Φ's values and slopes. NaN gives NaN. */
export function tabledNormalCdf(z: number): number {
  if (z <= -END) return 0;
  if (z >= END) return 1;
  const at = (z + END) * PER_UNIT;
  const i = at | 0;
  const t = at - i;
  const rise = value[i + 1]! - value[i]!;
  const ahead = slope[i]! - rise;
  return value[i]! + t * (rise + (1 - t) * (ahead * (1 - t) - (slope[i + 1]! - rise) * t));
}
