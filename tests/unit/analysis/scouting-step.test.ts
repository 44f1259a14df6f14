import { beforeAll, describe, expect, test } from 'vitest';
import type { Scope, StepId } from '../../../shared/analysis/step.ts';
import type { FieldScouting } from '../../../shared/analysis/steps/scouting.ts';
import type { WeedEvidence } from '../../../shared/analysis/steps/evidence.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import type { Outcome } from '../../../shared/model/problem.ts';
import { drive } from '../../../src/cli/drive.ts';
import { openFarm } from '../../../src/cli/farm-store.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';
import { boundaries, placeIn, SCOUTING_HEADER } from '../../support/small-farm.ts';

/** Records as they really come: the same spot twice, seen only, a lower bound, weeds not told apart, nothing found. */
const at = (x: number, y: number) =>
  placeIn('West', x, y)
    .map((one) => one.toFixed(7))
    .join(',');
const ROUND = [
  SCOUTING_HEADER,
  `2026-08-28,West,${at(10, 10)},waterhemp,3,0.5`,
  `2026-08-29,West,${at(10.1, 10)},AMATU,2,1.5`,
  `2026-08-28,West,${at(10, 10)},waterhemp,present,1`,
  `2026-08-28,West,${at(60, 10)},waterhemp,more than 20,1`,
  `2026-08-28,West,${at(60, 60)},waterhemp,0,2`,
  `2026-08-28,West,${at(60, 60)},"pigweed, not told apart",4,2`,
  '',
].join('\n');

let host: MemoryHost;
let scouting: Outcome<FieldScouting>;
function result<T>(step: StepId, scope: Scope): Outcome<T> {
  const opened = openFarm(host, 'farm');
  if (!opened.ok) throw new Error('not opened');
  const { farm, door, results } = opened.value;
  return drive(host, startRunner(farm, door, results).outcome(step, scope), () => '') as Outcome<T>;
}
beforeAll(() => {
  host = hostWithFarm('farm', { 'boundaries.geojson': boundaries(), 'round.csv': ROUND });
  scouting = result<FieldScouting>('scouting', { field: 'west', round: documentOf(host, 'farm').rounds[0]!.id });
});

describe('a round on a field', () => {
  const of = (species: string) =>
    (scouting.ok ? scouting.value.species.find((one) => one.species === species)! : null)!;

  test('adds counts and ground of what was counted twice at one place, and tells it', () => {
    const [twice] = of('waterhemp').places;
    expect([twice!.count, twice!.effortM2]).toEqual([5, 2]);
    expect(scouting.problems.map((one) => [one.code, one.text])).toEqual([
      ['places-merged', 'Field West: 1 observation at a place already counted was added to it.'],
    ]);
  });

  test('keeps what was only seen apart from counts, a lower bound as one, and zeros as data', () => {
    expect(
      of('waterhemp')
        .places.slice(1)
        .map(({ count, effortM2, ...how }) => [count, effortM2, how.presenceOnly, how.atLeast]),
    ).toEqual([
      [1, 1, true, undefined],
      [20, 1, undefined, true],
      [0, 2, undefined, undefined],
    ]);
  });

  test('has pigweeds that were not told apart as a weed of their own', () => {
    expect(of('pigweed').places.map((one) => one.count)).toEqual([4]);
    const evidence = result<WeedEvidence>('evidence', { field: 'west', season: 2026, species: 'pigweed' });
    expect(evidence.ok && evidence.value.seen!.places.length).toBe(1);
  });
});
