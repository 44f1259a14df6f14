import { describe, expect, test } from 'vitest';
import { describeCombine, sayArrival } from '../../../shared/model/edits/machines.ts';
import { sayHeading, sayHeadlandLaps } from '../../../shared/model/edits/visits.ts';
import { arrivalOf, harvestOf, machineOf } from '../../../shared/model/lookups.ts';
import { after, EAST, twoFieldFarm, WEST } from '../../support/two-field-farm.ts';

const farm = twoFieldFarm();

describe('the combine', () => {
  test('is made by the first thing said of it, and what is taken back is gone', () => {
    const described = after(farm, describeCombine(farm, 'combine', { headerWidthM: 12.2, residue: 'impact-mill' }));
    expect(machineOf(described, 'combine')).toEqual({
      id: 'combine',
      kind: 'combine',
      headerWidthM: 12.2,
      residue: 'impact-mill',
    });
    const without = after(described, describeCombine(described, 'combine', { headerWidthM: undefined }));
    expect(machineOf(without, 'combine')).not.toHaveProperty('headerWidthM');
  });

  test('is taken to arrive clean until something is said, season by season', () => {
    expect(arrivalOf(farm, 'combine', 2026)).toEqual({ load: 'clean', said: false });
    const hired = after(farm, sayArrival(farm, 2026, 'combine', { infestedWith: ['waterhemp'] }));
    expect(arrivalOf(hired, 'combine', 2026)).toEqual({ load: { infestedWith: ['waterhemp'] }, said: true });
    expect(arrivalOf(hired, 'combine', 2027).said).toBe(false);
    const again = after(hired, sayArrival(hired, 2026, 'combine', 'unknown'));
    expect(again.seasons.find((one) => one.year === 2026)!.arrivals).toEqual([{ machine: 'combine', load: 'unknown' }]);
    const back = after(again, sayArrival(again, 2026, 'combine', null));
    expect(arrivalOf(back, 'combine', 2026).said).toBe(false);
    expect(back.seasons.find((one) => one.year === 2026)).not.toHaveProperty('arrivals');
  });

  test('that an older document calls dirty arrives with an unknown load', () => {
    const older = { ...farm, machines: [{ id: 'combine', kind: 'combine' as const, arrivesDirty: true }] };
    expect(arrivalOf(older, 'combine', 2026)).toEqual({ load: 'unknown', said: true });
  });
});

describe('the way of the combine where no log tells it', () => {
  test('heading and headland laps are said of one field, and taken back', () => {
    const turned = after(farm, sayHeading(farm, 2026, WEST, 90));
    const both = after(turned, sayHeadlandLaps(turned, 2026, WEST, 0));
    expect(harvestOf(both, 'west', 2026)).toMatchObject({ headingDeg: 90, headlandLaps: 0 });
    expect(harvestOf(both, 'east', 2026)).toMatchObject({ headingDeg: null, headlandLaps: null });
    const back = after(both, sayHeadlandLaps(both, 2026, WEST, null));
    expect(harvestOf(back, 'west', 2026)).toMatchObject({ headingDeg: 90, headlandLaps: null });
    expect(after(back, sayHeading(back, 2026, EAST, 0)).seasons[0]!.visits).toHaveLength(2);
  });
});
