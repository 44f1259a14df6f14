import { readFileSync } from 'node:fs';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';

export interface ReferenceCase {
  group: string;
  name: string;
  title: string;
  given: any; // eslint-disable-line @typescript-eslint/no-explicit-any -- each group has its own shape
  expected: any; // eslint-disable-line @typescript-eslint/no-explicit-any
  tolerance: any; // eslint-disable-line @typescript-eslint/no-explicit-any
  because: string;
}

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as {
  cases: ReferenceCase[];
};

export const caseCount = cases.length;
export function casesOf(group: string): ReferenceCase[] {
  return cases.filter((one) => one.group === group);
}
export function caseNamed(name: string): ReferenceCase {
  return cases.find((one) => one.name === name)!;
}
export const groups = [...new Set(cases.map((one) => one.group))];

export type Point = [number, number];

/** A straight line of records, `step` apart as near as whole steps allow. */
export function line(x0: number, y0: number, x1: number, y1: number, step: number): Point[] {
  const n = Math.max(1, Math.round(Math.hypot(x1 - x0, y1 - y0) / step));
  return Array.from({ length: n + 1 }, (_, i) => [x0 + ((x1 - x0) * i) / n, y0 + ((y1 - y0) * i) / n]);
}

interface PassSpec {
  kind: 'line' | 'arc' | 'function';
  x0: number;
  x1: number;
  y?: number;
  y0?: number;
  y1?: number;
  step_m: number;
  centre?: Point;
  radius_m?: number;
  from_deg?: number;
  to_deg?: number;
  step_deg?: number;
}

/** The points of a pass as the case describes it. */
export function pointsOf(spec: PassSpec | Point[]): Point[] {
  if (Array.isArray(spec)) return spec;
  if (spec.kind === 'line') return line(spec.x0, spec.y ?? spec.y0!, spec.x1, spec.y ?? spec.y1!, spec.step_m);
  if (spec.kind === 'arc') {
    const n = Math.round(Math.abs(spec.to_deg! - spec.from_deg!) / spec.step_deg!);
    return Array.from({ length: n + 1 }, (_, i) => {
      const deg = spec.from_deg! + ((spec.to_deg! - spec.from_deg!) * i) / n;
      const angle = (deg * Math.PI) / 180;
      return [spec.centre![0] + spec.radius_m! * Math.cos(angle), spec.centre![1] + spec.radius_m! * Math.sin(angle)];
    });
  }
  // smooth-bend-mitred: x = 0, 2, …, 200; y = 12 sin(x/20)
  return Array.from({ length: 101 }, (_, i) => [2 * i, 12 * Math.sin((2 * i) / 20)]);
}

/** Rings of a case (outer first, any winding) in the contract's shape: outer counter-clockwise, holes clockwise. */
export function polygonOf(rings: Point[][]): FlatMultiPolygon {
  return [
    rings.map((ring, index) => {
      let twice = 0;
      for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
        twice += ring[j]![0] * ring[i]![1] - ring[i]![0] * ring[j]![1];
      }
      const wanted = index === 0 ? twice > 0 : twice < 0;
      return Float64Array.from((wanted ? ring : [...ring].reverse()).flat());
    }),
  ];
}
