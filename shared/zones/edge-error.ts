/**
 * What position error and section width do at the edge of a zone, in closed form.
 * @source methods-spatial §11 and methods-season §10; reference cases contour-zone (position error: exact against quadrature)
 */
import { normalCdf } from '../statistics/special.ts';

const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** Mean distance by which an edge displaced by N(0, sd) passes beyond t, m. */
function meanBeyondM(tM: number, sdM: number): number {
  const z = tM / sdM;
  return sdM * normalDensity(z) - tM * (1 - normalCdf(z));
}

/**
 * Share of a strip inside the edge that is missed when the edge as a whole is displaced along its normal by N(0, sd).
 * @param stripM width of the strip; > 0 @param sdM > 0 @param bufferM by which the treated zone was grown; ≥ 0
 * @returns 0–1
 */
export function missedStripFraction(stripM: number, sdM: number, bufferM = 0): number {
  if (!(stripM > 0 && sdM > 0 && bufferM >= 0))
    throw new RangeError(`missedStripFraction: ${stripM}, ${sdM}, ${bufferM} m`);
  return (meanBeyondM(bufferM, sdM) - meanBeyondM(bufferM + stripM, sdM)) / stripM;
}

export type SectionRule = 'any' | 'centre' | 'all';

/**
 * An edge along the drive that falls anywhere within a section: mean width treated beyond it, and missed within it, m.
 * @param rule a section is on when any part, its middle, or all of it is in the zone
 */
export function alongEdgeM(sectionM: number, rule: SectionRule): { overM: number; missedM: number } {
  if (rule === 'centre') return { overM: sectionM / 8, missedM: sectionM / 8 };
  return rule === 'any' ? { overM: sectionM / 2, missedM: 0 } : { overM: 0, missedM: sectionM / 2 };
}
