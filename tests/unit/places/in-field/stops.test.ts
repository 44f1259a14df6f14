import { expect, test } from 'vitest';
import { applyEdit } from '../../../../shared/model/edit.ts';
import { markFind } from '../../../../shared/model/edits/finds.ts';
import type { Farm } from '../../../../shared/model/farm.ts';
import { findsOf } from '../../../../shared/model/field-notes.ts';
import { nearestField } from '../../../../shared/model/nearest-field.ts';
import { closedUntil, plannedStops, stopsAhead, unlookedStops } from '../../../../src/places/in-field/stops.ts';
import { findIn } from '../../../support/finds.ts';
import { placeIn } from '../../../support/small-farm.ts';
import { twoFieldFarm, WATERHEMP } from '../../../support/two-field-farm.ts';

const farm = twoFieldFarm();
const sprayedWest = (reentryHours?: number): Farm => ({
  ...farm,
  seasons: [
    {
      year: 2026,
      weather: [],
      prices: {},
      crops: [],
      visits: [],
      sightings: [],
      sprayed: [
        {
          where: { field: 'west' },
          on: '2026-06-01',
          parts: [{ ingredient: 'glufosinate', rateFraction: 1 }],
          ...(reentryHours === undefined ? {} : { reentryHours }),
        },
      ],
    },
  ],
});

test('a field that nobody looked at is a stop well inside it, until something was marked there', () => {
  const stops = unlookedStops(farm, ['west', 'east'], 2026, '2026-08-29');
  expect(stops.map((one) => [one.id, nearestField(farm.fields, one.at)?.awayM])).toEqual([
    ['west', 0],
    ['east', 0],
  ]);
  const marked = applyEdit(farm, markFind(farm, findIn('West', 10, 10, 1), WATERHEMP, null, null)).farm;
  expect(unlookedStops(marked, ['west', 'east'], 2026, '2026-08-29').map((one) => one.id)).toEqual(['east']);
  expect(unlookedStops(farm, [], 2026, '2026-08-29')).toEqual([]);
});

test('the nearest comes first, with its way', () => {
  const stops = unlookedStops(farm, ['west', 'east'], 2026, '2026-08-29');
  const ahead = stopsAhead(stops, placeIn('East', 60, 0));
  expect(ahead.map((one) => one.id)).toEqual(['east', 'west']);
  expect(ahead[0]!.distanceM).toBeCloseTo(60, 0);
  expect(Math.abs(((ahead[0]!.bearingDeg + 180) % 360) - 180)).toBeLessThan(4);
  expect(ahead[1]!.bearingDeg).toBeGreaterThan(270);
});

test('a field inside a re-entry interval says when it opens, and comes last', () => {
  const sprayed = sprayedWest(24);
  expect(closedUntil(sprayed, 'west', 2026, '2026-06-01')).toBe('2026-06-03');
  expect(closedUntil(sprayed, 'west', 2026, '2026-06-03')).toBeNull();
  expect(closedUntil(sprayed, 'east', 2026, '2026-06-01')).toBeNull();
  expect(closedUntil(sprayedWest(), 'west', 2026, '2026-06-01')).toBeNull();
  const ahead = stopsAhead(unlookedStops(sprayed, ['west', 'east'], 2026, '2026-06-02'), placeIn('West', 60, 60));
  expect(ahead.map((one) => [one.id, one.closedUntil])).toEqual([
    ['east', null],
    ['west', '2026-06-03'],
  ]);
});

test('planned stops are those at which nothing was marked yet, each with what it would settle', () => {
  const stop = (order: number, x: number, y: number) => ({ at: placeIn('West', x, y), order, settlesM2: 4047 });
  const plan = {
    fields: [
      {
        field: 'west',
        name: 'West',
        isLooked: true,
        places: 3,
        effortM2: 1,
        stops: [stop(1, 10, 10), stop(2, 90, 90)],
        walkM: 113,
        entryUnknown: [],
      },
    ],
    minutes: 24,
    leftOut: [],
    counted: [],
  };
  const stops = plannedStops(plan, [], 'us');
  expect(stops.map((one) => [one.name, one.why])).toEqual([
    ['West, stop 1', 'would settle 1.00 ac'],
    ['West, stop 2', 'would settle 1.00 ac'],
  ]);
  const marked = applyEdit(farm, markFind(farm, findIn('West', 14, 12, 1), WATERHEMP, null, null)).farm;
  const finds = findsOf(marked, 2026);
  expect(finds.length).toBe(1);
  expect(plannedStops(plan, finds, 'us').map((one) => one.id)).toEqual(['west 2']);
});
