import { beforeAll, describe, expect, test } from 'vitest';
import type { Scope, StepId } from '../../../shared/analysis/step.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import { walkedTracks } from '../../../shared/analysis/walked.ts';
import { stopsAsGpx } from '../../../shared/hand-over/stop-files.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { sayWalkedWidth } from '../../../shared/model/edits/walked-width.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { openFarm } from '../../../src/cli/farm-store.ts';
import { drive } from '../../../src/cli/drive.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';
import { placeIn } from '../../support/small-farm.ts';
import { walk, waypoint } from '../../support/walks.ts';

/** Ten metres into West, east over the gap of 40 m into Middle. */
const ACROSS = walk(
  'West',
  [
    { x: 20, y: 60 },
    { x: 200, y: 60 },
  ],
  '2026-08-20',
  waypoint('West', 40, 63, 'Wet hole', 'drowned out'),
  waypoint('Middle', -20, 60, 'Gate', ''),
);

let host: MemoryHost;
beforeAll(() => {
  host = hostWithFarm('farm');
});

function add(name: string, text: string, ...more: string[]) {
  host.write(name, new TextEncoder().encode(text));
  return host.run('add', 'farm', name, ...more);
}

function walked(farm: Farm) {
  const opened = openFarm(host, 'farm');
  if (!opened.ok) throw new Error('not opened');
  const runner = startRunner(farm, opened.value.door, opened.value.results);
  return walkedTracks(farm, 2026, <T>(step: StepId, scope: Scope) => {
    const outcome = drive(host, runner.outcome(step, scope), () => '');
    return outcome.ok ? (outcome.value as T) : null;
  });
}

describe('a walked track', () => {
  test('joins the round of its day, and says what it is when it is added', () => {
    expect(add('walk.gpx', ACROSS).out).toMatch(/a walked track of 5\d\d ft and 2 places on 2 fields/);
    const farm = documentOf(host, 'farm');
    expect(farm.rounds.length).toBe(1);
    expect([farm.rounds[0]!.from, farm.rounds[0]!.to, farm.rounds[0]!.files.length]).toEqual([
      '2026-08-20',
      '2026-08-28',
      2,
    ]);
  });

  test('is told field by field with its length there; without a width no area is told', () => {
    const [one] = walked(documentOf(host, 'farm'));
    expect(one!.lengthM).toBeCloseTo(180, 1);
    // West ends at 120 m, Middle begins at 160 m: 100 m and 40 m, to a meter a crossing.
    expect(one!.fields.map(({ field, areaM2 }) => [field, areaM2])).toEqual([
      ['west', null],
      ['middle', null],
    ]);
    expect(Math.abs(one!.fields[0]!.lengthM - 100)).toBeLessThanOrEqual(1);
    expect(Math.abs(one!.fields[1]!.lengthM - 40)).toBeLessThanOrEqual(1);
    expect(one!.places.map(({ name, note, field, isStop }) => [name, note, field, isStop])).toEqual([
      ['Wet hole', 'drowned out', 'west', false],
      ['Gate', '', null, false],
    ]);
  });

  test('looked over its length times the width that a person says, and undoing takes it back', () => {
    const farm = documentOf(host, 'farm');
    const { file } = walked(farm)[0]!;
    const { farm: said, reverse } = applyEdit(farm, sayWalkedWidth(farm, file, 3));
    const [one] = walked(said);
    expect(one!.widthM).toBe(3);
    expect(one!.fields[0]!.areaM2).toBeCloseTo(3 * one!.fields[0]!.lengthM, 9);
    expect(applyEdit(said, reverse).farm).toEqual(farm);
    expect(applyEdit(said, sayWalkedWidth(said, file, null)).farm).toEqual(farm);
    expect(() => sayWalkedWidth(farm, 'nothing', 3)).toThrow('no file');
  });

  test('may say its width while it is added; it is kept with the file', () => {
    expect(
      add(
        'second.gpx',
        walk(
          'East',
          [
            { x: 5, y: 5 },
            { x: 5, y: 55 },
          ],
          '2026-08-21',
        ),
        '--walked-width',
        '2',
      ).code,
    ).toBe(0);
    const second = walked(documentOf(host, 'farm')).find((one) => one.name === 'second.gpx')!;
    expect([second.widthM, second.fields.map((one) => one.field)]).toEqual([2, ['east']]);
    expect(second.fields[0]!.areaM2).toBeCloseTo(100, 1);
  });

  test('without times asks for its season', () => {
    const timeless = walk(
      'West',
      [
        { x: 5, y: 5 },
        { x: 5, y: 9 },
      ],
      null,
    );
    expect(add('timeless.gpx', timeless).err).toContain('its season cannot be told');
    expect(add('timeless.gpx', timeless, '--season', '2026').code).toBe(0);
  });

  test('that brings the stops back says how near the walk came to each', () => {
    const stop = { fieldName: 'West', order: 1, settlesM2: 900, effortM2: 1 };
    const stops = [
      { ...stop, at: placeIn('West', 40, 20) },
      { ...stop, order: 2, at: placeIn('West', 40, 100) },
    ];
    const sent = stopsAsGpx('stops', stops, 'waterhemp', 'us');
    const waypoints = sent.match(/<wpt[^]*?<\/wpt>/g)!;
    add(
      'back.gpx',
      walk(
        'West',
        [
          { x: 30, y: 20 },
          { x: 40, y: 24 },
        ],
        '2026-08-22',
        ...waypoints,
      ),
    );
    const back = walked(documentOf(host, 'farm')).find((one) => one.name === 'back.gpx')!;
    expect(back.places.map((one) => [one.isStop, one.field, Math.round(one.passedM!)])).toEqual([
      [true, 'west', 4],
      [true, 'west', 76],
    ]);
  });

  test('is refused where it brings back the stops alone, or lies in no field', () => {
    const sent = stopsAsGpx(
      'stops',
      [{ fieldName: 'West', order: 1, at: placeIn('West', 9, 9), settlesM2: 9, effortM2: 1 }],
      'waterhemp',
      'us',
    );
    const alone = add('stops.gpx', sent);
    expect([alone.code, alone.err]).toEqual([2, expect.stringContaining('brings back the stops alone')]);
    const away = walk(
      'West',
      [
        { x: -50, y: 5 },
        { x: -60, y: 5 },
      ],
      '2026-08-22',
    );
    expect(add('away.gpx', away).err).toContain('lies in one of the farm');
  });

  test('changes no answer about the weed', () => {
    const opened = openFarm(host, 'farm');
    if (!opened.ok) throw new Error('not opened');
    const farm = documentOf(host, 'farm');
    const runner = startRunner(farm, opened.value.door, opened.value.results);
    const seen = drive(
      host,
      runner.outcome('evidence', { field: 'east', season: 2026, species: 'waterhemp' }),
      () => '',
    );
    // East was walked and nothing was said of it: nobody looked, as far as is known.
    expect(seen.ok && (seen.value as { seen: unknown }).seen).toBeNull();
  });
});

test('check tells the length and the waypoints of a track', () => {
  const checked = host.json<Record<string, unknown>[]>('check', 'walk.gpx')[0]!;
  expect(checked).toMatchObject({
    takenFor: 'track',
    stretches: 1,
    waypoints: 2,
    stops: 0,
    widthM: null,
    firstDay: '2026-08-20',
  });
  expect(checked['lengthM']).toBeCloseTo(180, 1);
});
