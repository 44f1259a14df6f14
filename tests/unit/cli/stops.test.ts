import { beforeAll, describe, expect, test } from 'vitest';
import type { LookNext } from '../../../shared/analysis/look-next.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, furnish, hostWithFarm } from '../../support/small-farm-host.ts';

let host: MemoryHost;
let farm: Farm;
beforeAll(() => {
  host = hostWithFarm('farm');
  furnish(host, 'farm');
  farm = documentOf(host, 'farm');
}, 120_000);

const DAY = '2026-11-02';
const plan = (...words: string[]) => host.json<LookNext>('stops', 'farm', '--on', DAY, ...words);

describe('stops', () => {
  test('of a field are as many as were asked for, on its ground, in one walk', () => {
    const { fields } = plan('--field', 'west', '--most', '3');
    expect(fields.map((one) => [one.field, one.stops.map((stop) => stop.order)])).toEqual([['west', [1, 2, 3]]]);
    const corners = farm.fields.find((one) => one.id === 'west')!.boundary.flat(2);
    for (const { at } of fields[0]!.stops) {
      for (const axis of [0, 1] as const) {
        expect(at[axis]).toBeGreaterThan(Math.min(...corners.map((one) => one[axis])));
        expect(at[axis]).toBeLessThan(Math.max(...corners.map((one) => one[axis])));
      }
    }
  });

  test('of the farm fit into the hours, and say what stays out', () => {
    const { fields, minutes, leftOut } = plan('--hours', '1');
    expect(minutes).toBeLessThanOrEqual(60);
    expect(minutes).toBeGreaterThan(0);
    expect([...fields, ...leftOut].map((one) => one.field).sort()).toEqual(farm.fields.map((one) => one.id).sort());
    expect(plan('--hours', '0.1').fields).toEqual([]);
  });

  test('a field stays out while it is closed after a spraying, and the day on which it opens is told', () => {
    const closed = hostWithFarm('closed');
    furnish(closed, 'closed');
    const document = structuredClone(documentOf(closed, 'closed'));
    const spraying = {
      on: '2026-10-31',
      where: { field: 'west' },
      parts: [{ ingredient: 'S-metolachlor', rateFraction: 1 }],
      reentryHours: 72,
    };
    const season = document.seasons.find((one) => one.year === 2026)!;
    (season.sprayed as unknown[]).push(spraying);
    closed.write('closed/farm.json', new TextEncoder().encode(JSON.stringify(document)));
    const { leftOut } = closed.json<LookNext>('stops', 'closed', '--on', DAY, '--hours', '8');
    // Three whole days after the day of the spraying: open from the fourth.
    const west = leftOut.find((one) => one.field === 'west')!;
    expect([
      west.because,
      west.opensDay === null ? null : new Date(west.opensDay * 86_400_000).toISOString().slice(0, 10),
    ]).toEqual(['closed', '2026-11-04']);
    expect(closed.run('stops', 'closed', '--on', '2026-11-04', '--hours', '8').out).not.toContain('West is closed');
  });

  test('go out as waypoints and as a table, and as words', () => {
    expect(host.run('stops', 'farm', '--on', DAY, '--field', 'west', '--most', '2', '--out', 'stops.gpx').code).toBe(0);
    expect(host.text('stops.gpx').match(/<wpt /g)?.length).toBe(2);
    const { out } = host.run('stops', 'farm', '--on', DAY, '--field', 'west', '--most', '2', '--out', 'stops.csv');
    expect(host.text('stops.csv').split('\r\n').length).toBe(4);
    expect(out).toContain('West: 2 stops');
    expect(out).toContain('local rules');
  });

  test('say how many stops a precision takes, with the formula, and half the precision takes a quarter of them', () => {
    type Told = LookNext & {
      stopsNeeded: { relativeError: number; fields: { field: string; stops: number | null }[] };
    };
    const needed = (percent: string) =>
      host.json<Told>('stops', 'farm', '--on', DAY, '--field', 'west', '--precision', percent).stopsNeeded;
    const { counted } = plan('--field', 'west');
    const { meanCount, k } = counted[0]!.spread!;
    const exact = (1 / meanCount + (k === null ? 0 : 1 / k)) / 0.2 ** 2;
    expect(needed('20')).toEqual({ relativeError: 0.2, fields: [{ field: 'west', stops: Math.ceil(exact) }] });
    expect(needed('40').fields[0]!.stops).toBe(Math.ceil(exact / 4));
    const { out } = host.run('stops', 'farm', '--on', DAY, '--field', 'west', '--precision', '40');
    expect(out.replace(/\s+/g, ' ')).toMatch(/n = \(1\/m \+ 1\/k\) \/ D² = .*\/ 0\.4² = /);
    expect(out).toContain('Elliott 1977');
  });

  test.each([
    [['--precision', 'fine'], 'a per cent from 1 to 100'],
    [['--field', 'north'], 'no field with the id "north"'],
    [['--field', 'west', '--most', '0'], 'a whole number from 1'],
    [['--hours', 'many'], 'a number above 0'],
    [['--weed', 'giraffe'], 'no weed "giraffe"'],
    [['--out', 'stops.pdf'], 'ends in .gpx or .csv'],
  ])('%s is refused with what to do', (words, says) => {
    const { code, err } = host.run('stops', 'farm', '--on', DAY, ...words);
    expect([code, err]).toEqual([2, expect.stringContaining(says)]);
  });
  test('without the day of the walk nothing is said', () => {
    const { code, err } = host.run('stops', 'farm');
    expect([code, err]).toEqual([2, expect.stringContaining('--on')]);
  });
});
