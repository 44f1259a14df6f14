import { describe, expect, test } from 'vitest';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { toLonLatPolygon } from '../../../shared/geometry/polygon.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { type Choice, type Farm, farmSchema } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { deleteZone, drawZone, splitZone, type ZoneGround, type ZonesEdit } from '../../../shared/zones/edit.ts';
import { acceptZones, backToProposal, editZoneSet, inFrame, zoneSetOf } from '../../../shared/zones/set-edit.ts';
import { letterOf, freeLetter, zoneId } from '../../../shared/zones/letters.ts';
import { rectangle } from '../geometry/shapes.ts';

const frame = createFrame([-93, 41]);
const place = { field: 'home', season: 2027 };
const ground: ZoneGround = {
  field: 'home',
  name: 'Home',
  frame,
  ground: rectangle(-400, -300, 400, 300),
  minWidthM: 27,
  minAreaM2: 1000,
  display: 'us',
};
const rules = { level: 0.5, minWidthM: 27, minAreaM2: 1000, bufferM: 5, unknownIsInfested: true };
const proposed = [
  { id: 'home-A', letter: 'A', area: toLonLatPolygon(frame, rectangle(-300, -200, -200, 200)) },
  { id: 'home-B', letter: 'B', area: toLonLatPolygon(frame, rectangle(100, -200, 300, 200)) },
];
const onZone = (zone: string, season = 2027): Choice => ({ season, target: { zone }, program: 'as-now', rates: [] });
const plan = [onZone('home-A'), onZone('home-B'), onZone('home-B', 2030)];
const farm: Farm = { ...emptyFarm('f', 'Farm'), plan, scenarios: [{ id: 's', name: 'S', plan }] };

function changed(of: Farm, change: (zones: ReturnType<typeof inFrame>) => { ok: boolean; value?: ZonesEdit }): Farm {
  const before = zoneSetOf(of, place)?.zones ?? proposed;
  const outcome = change(inFrame(frame, before as typeof proposed));
  if (!outcome.value) throw new Error('refused');
  const edit = editZoneSet(of, place, frame, before, outcome.value, rules);
  const { farm: after, reverse } = applyEdit(of, edit);
  expect(applyEdit(after, reverse).farm).toEqual(of);
  expect(farmSchema.safeParse(after).success).toBe(true);
  return after;
}
const split = (of: Farm) =>
  changed(of, (zones) => splitZone(zones, ground, 'home-B', Float64Array.of(160, -250, 170, 250)));

describe('the first edit of a proposed set', () => {
  test('copies it into the document with its rules, in one step that undo takes back', () => {
    const set = zoneSetOf(split(farm), place)!;
    expect(set.rules).toEqual(rules);
    expect(set.zones.map((one) => one.letter)).toEqual(['A', 'B', 'C']);
    expect(set.zones[0]!.area).toBe(proposed[0]!.area);
  });
});

describe('what was planned on a zone', () => {
  test('goes on for the pieces of a split', () => {
    const after = split(farm);
    expect(after.plan).toEqual([...plan, onZone('home-C')]);
    expect(after.scenarios[0]!.plan).toEqual(after.plan);
  });

  test('goes with a zone that is deleted, in that season only', () => {
    const after = changed(farm, (zones) => deleteZone(zones, ground, 'home-B'));
    expect(after.plan).toEqual([onZone('home-A'), onZone('home-B', 2030)]);
  });

  test('is left as it is where no zone comes or goes', () => {
    const after = changed(farm, (zones) => drawZone(zones, ground, rectangle(-100, -100, 0, 0)));
    expect(after.plan).toBe(farm.plan);
  });
});

test('accepting copies the zones digit for digit, and going back takes the set away', () => {
  const edit = acceptZones(farm, place, proposed, rules, 'Accept the zones of Home');
  const { farm: after, reverse } = applyEdit(farm, edit);
  expect(zoneSetOf(after, place)!.zones).toEqual(proposed);
  expect(applyEdit(after, reverse).farm).toEqual(farm);
  const back = applyEdit(after, backToProposal(after, place, 'Back to the proposed zones of Home'));
  expect(back.farm.zoneSets).toEqual([]);
  expect(applyEdit(back.farm, back.reverse).farm).toEqual(after);
});

test('letters go A to Z, then AA; a free one is given again, and an id keeps within its length', () => {
  expect([0, 25, 26, 51, 52].map(letterOf)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA']);
  expect(freeLetter([{ letter: 'A' }, { letter: 'C' }])).toBe('B');
  expect(zoneId('x'.repeat(64), 'AB')).toHaveLength(64);
});
