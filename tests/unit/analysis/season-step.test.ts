import { expect, it } from 'vitest';
import { seasonStep } from '../../../shared/analysis/steps/season.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { twoFieldFarm } from '../../support/two-field-farm.ts';

type Sighting = Farm['seasons'][number]['sightings'][number];

function firstSeenIn(field: string, sightings: readonly Sighting[]) {
  const season = { year: 2026, weather: [], prices: {}, crops: [], visits: [], sprayed: [], sightings: [...sightings] };
  const farm: Farm = { ...twoFieldFarm(), seasons: [season] };
  const settings = seasonStep.settings(farm, { field, season: 2026, case: 'central' });
  return (settings as { firstSeen: Record<string, string> }).firstSeen;
}

const seen = (species: string, on: string, more: Partial<Sighting> = {}): Sighting => ({
  field: 'west',
  species,
  on: on as Sighting['on'],
  what: 'first emergence',
  ...more,
});

it('takes a sighting under any name of its weed: code, common or Latin', () => {
  for (const name of ['AMATU', 'waterhemp', 'Amaranthus tuberculatus'])
    expect(firstSeenIn('west', [seen(name, '2026-05-04')])).toEqual({ waterhemp: '2026-05-04' });
});

it('takes the earliest day where a weed was seen more than once, in whatever order it is on record', () => {
  const both = [seen('AMATU', '2026-05-04'), seen('waterhemp', '2026-05-09')];
  for (const sightings of [both, [...both].reverse()])
    expect(firstSeenIn('west', sightings)).toEqual({ waterhemp: '2026-05-04' });
});

it('leaves out what was seen in another field, and how tall a weed stood', () => {
  const others = [
    seen('AMATU', '2026-05-04', { field: 'east' }),
    seen('AMATU', '2026-05-04', { what: 'tallest', heightMm: 90 }),
  ];
  expect(firstSeenIn('west', others)).toEqual({});
});
