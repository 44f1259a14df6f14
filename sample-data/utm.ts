/**
 * Longitude and latitude → UTM on the ellipsoid of NAD 83 (GRS 80), by Krüger's series to the sixth order.
 * @source Karney 2011, Transverse Mercator with an accuracy of a few nanometers, J. Geodesy 85:475–485, eqs. 7–11, 35 (memory);
 * the test holds it against PROJ's answers in tests/reference/projection.
 */
import { asinh, atan2, atanh, cos, cosh, PI, sin, sinh } from './elementary.ts';

const A = 6378137;
const F = 1 / 298.257222101;
const N = F / (2 - F);
const E = Math.sqrt(F * (2 - F));
const N2 = N * N;
const N3 = N2 * N;
const N4 = N3 * N;
const N5 = N4 * N;
const N6 = N5 * N;
const RECTIFYING = (A / (1 + N)) * (1 + N2 / 4 + N4 / 64 + N6 / 256);
const ALPHA = [
  N / 2 - (2 / 3) * N2 + (5 / 16) * N3 + (41 / 180) * N4 - (127 / 288) * N5 + (7891 / 37800) * N6,
  (13 / 48) * N2 - (3 / 5) * N3 + (557 / 1440) * N4 + (281 / 630) * N5 - (1983433 / 1935360) * N6,
  (61 / 240) * N3 - (103 / 140) * N4 + (15061 / 26880) * N5 + (167603 / 181440) * N6,
  (49561 / 161280) * N4 - (179 / 168) * N5 + (6601661 / 7257600) * N6,
  (34729 / 80640) * N5 - (3418889 / 1995840) * N6,
  (212378941 / 319334400) * N6,
];

/** @param zone 1–60. @returns [east, north] in metres; northern hemisphere. */
export function toUtm(lon: number, lat: number, zone: number): [number, number] {
  const phi = (lat * PI) / 180;
  const lambda = ((lon - (6 * zone - 183)) * PI) / 180;
  const tau = sin(phi) / cos(phi);
  const sigma = sinh(E * atanh((E * tau) / Math.sqrt(1 + tau * tau)));
  const conformal = tau * Math.sqrt(1 + sigma * sigma) - sigma * Math.sqrt(1 + tau * tau);
  const c = cos(lambda);
  const xi = atan2(conformal, c);
  const eta = asinh(sin(lambda) / Math.sqrt(conformal * conformal + c * c));
  let north = xi;
  let east = eta;
  for (let j = 6; j >= 1; j--) {
    north += ALPHA[j - 1]! * sin(2 * j * xi) * cosh(2 * j * eta);
    east += ALPHA[j - 1]! * cos(2 * j * xi) * sinh(2 * j * eta);
  }
  return [500000 + 0.9996 * RECTIFYING * east, 0.9996 * RECTIFYING * north];
}
