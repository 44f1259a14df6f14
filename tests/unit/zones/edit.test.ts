import { describe, expect, test } from 'vitest';
import { intersect, subtract, union } from '../../../shared/geometry/clip.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { checkPolygon, mendPolygon, polygonAreaM2, polygonPerimeterM } from '../../../shared/geometry/polygon.ts';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';
import type { Outcome } from '../../../shared/model/problem.ts';
import {
  cutHole,
  deleteZone,
  drawZone,
  type EditedZone,
  growZone,
  mergeZones,
  reshapeZone,
  splitZone,
  widenZone,
  type ZoneGround,
  type ZonesEdit,
} from '../../../shared/zones/edit.ts';
import { closeTo } from '../../support/close-to.ts';
import { bent, numbers, rectangle, ringOf } from '../geometry/shapes.ts';

const because = 'overlays on the 0.1 mm grid: 0.05 mm × perimeter of the inputs, a few of them in a row';
const ground: ZoneGround = {
  field: 'home',
  name: 'Home',
  frame: createFrame([-93, 41]),
  ground: subtract(rectangle(-400, -300, 400, 300), rectangle(0, 0, 40, 40)),
  minWidthM: 27,
  minAreaM2: 1000,
  display: 'us',
};

const zone = (letter: string, area: FlatMultiPolygon): EditedZone => ({
  id: `home-${letter}`,
  letter,
  area,
  degrees: null,
});
const west = zone('A', rectangle(-300, -200, -200, 200));
const east = zone('B', rectangle(100, -200, 300, 200));

function value(outcome: Outcome<ZonesEdit>): ZonesEdit {
  if (!outcome.ok) throw new Error(outcome.problems.map((one) => one.text).join(' '));
  return outcome.value;
}
const codes = (outcome: Outcome<ZonesEdit>) => outcome.problems.map((one) => one.code);
const areaOf = (edit: ZonesEdit, id: string) => polygonAreaM2(edit.zones.find((one) => one.id === id)!.area);
const sumM2 = (zones: readonly EditedZone[]) => zones.reduce((sum, one) => sum + polygonAreaM2(one.area), 0);
const toleranceM2 = (zones: readonly EditedZone[]) =>
  2e-4 * zones.reduce((sum, one) => sum + polygonPerimeterM(one.area), polygonPerimeterM(ground.ground));

/** What holds of every edit. */
function checkLaws({ zones }: ZonesEdit): void {
  const within = toleranceM2(zones);
  const all = union(zones.map((one) => one.area));
  closeTo(sumM2(zones), polygonAreaM2(all), { within, because: `zones never overlap; ${because}` });
  closeTo(polygonAreaM2(subtract(all, ground.ground)), 0, { within, because: `on the field's ground; ${because}` });
  for (const one of zones) expect(checkPolygon(one.area)).toEqual([]);
  expect(new Set(zones.map((one) => one.letter)).size).toBe(zones.length);
  expect(new Set(zones.map((one) => one.id)).size).toBe(zones.length);
}

describe('drawing', () => {
  test('a zone inside the field is taken as it is, under the first free letter', () => {
    const outcome = drawZone([east], ground, rectangle(-300, -200, -200, 200));
    const edit = value(outcome);
    expect(edit.label).toBe('Draw zone A of Home');
    expect(edit.zones.map((one) => one.letter)).toEqual(['B', 'A']);
    closeTo(areaOf(edit, 'home-A'), 40_000, { within: toleranceM2(edit.zones), because });
    expect(outcome.problems).toEqual([]);
    checkLaws(edit);
  });

  test('what lies beyond the field, in an exclusion or in another zone is cut off and told with its area', () => {
    const outcome = drawZone([west, east], ground, rectangle(-60, -250, 150, 350));
    const edit = value(outcome);
    expect(codes(outcome)).toEqual(['zone-cut-to-field', 'zone-cut-to-neighbor']);
    expect(outcome.problems[0]!.text).toMatch(/^2\.99 ac of zone C lay beyond the edge of Home/);
    expect(outcome.problems[1]!.text).toMatch(/^4\.94 ac of zone C belong to zone B already/);
    closeTo(areaOf(edit, 'home-C'), 210 * 550 - 1600 - 50 * 400, { within: toleranceM2(edit.zones), because });
    expect(edit.zones[1]).toBe(east);
    checkLaws(edit);
  });

  test('a zone of which nothing is left is refused, and so is one that crosses itself, with the place', () => {
    expect(codes(drawZone([west], ground, rectangle(-280, -100, -250, 100)))).toContain('zone-empty');
    const bow: FlatMultiPolygon = [[ringOf(0, 100, 60, 160, 60, 100, 0, 160)]];
    const outcome = drawZone([], ground, bow);
    expect(outcome.ok).toBe(false);
    expect(codes(outcome)).toEqual(['zone-crosses-itself']);
    const [x, y] = ground.frame.toLocal(...outcome.problems[0]!.where!.at!);
    closeTo(Math.hypot(x - 30, y - 130), 0, { within: 1e-6, because: 'the middle of the bow' });
    // Mended by the person's yes it is taken.
    checkLaws(value(drawZone([], ground, mendPolygon(bow).polygon)));
  });

  test('a zone that the machine cannot follow is taken, and told', () => {
    const narrow = drawZone([], ground, rectangle(100, 100, 110, 300));
    expect(codes(narrow)).toEqual(['zone-narrow']);
    expect(narrow.problems[0]!.text).toBe('Zone A is narrower than the machine (89 ft) on 0.494 ac.');
    expect(codes(drawZone([], ground, rectangle(100, 100, 130, 130)))).toEqual(['zone-small']);
    expect(codes(drawZone([], ground, rectangle(100, 100, 127, 300)))).toEqual([]);
  });
});

describe('reshaping', () => {
  test('the zone in hand gives way, its neighbor stays as it is', () => {
    const outcome = reshapeZone([west, east], ground, 'home-A', rectangle(-300, -200, 150, 200));
    expect(codes(outcome)).toEqual(['zone-cut-to-field', 'zone-cut-to-neighbor']);
    expect(value(outcome).zones[1]).toBe(east);
    checkLaws(value(outcome));
  });
});

describe('splitting', () => {
  test('areas add up, the larger piece keeps the letter, the other one gets the next', () => {
    const edit = value(splitZone([west, east], ground, 'home-B', Float64Array.of(160, -250, 170, 250)));
    expect(edit.zones.map((one) => one.letter)).toEqual(['A', 'B', 'C']);
    expect(edit.from).toEqual({ 'home-C': 'home-B' });
    closeTo(areaOf(edit, 'home-B') + areaOf(edit, 'home-C'), 80_000, { within: toleranceM2(edit.zones), because });
    closeTo(areaOf(edit, 'home-C'), 65 * 400, { within: toleranceM2(edit.zones) + 0.2, because: 'a blade of 0.4 mm' });
    checkLaws(edit);
  });

  test('a line that bends, and one that only almost reaches the edge, cut as well', () => {
    const bend = Float64Array.of(99.5, 0, 200, 30, 200, -30, 300.5, 0);
    const edit = value(splitZone([east], ground, 'home-B', bend));
    expect(edit.zones).toHaveLength(2);
    checkLaws(edit);
    expect(value(splitZone([east], ground, 'home-B', Float64Array.of(100.6, 0, 299.4, 0))).zones).toHaveLength(2);
  });

  test('a line through several arms makes a zone of each', () => {
    const comb = zone('A', subtract(rectangle(-300, 100, 0, 200), rectangle(-200, 90, -100, 180)));
    const edit = value(splitZone([comb], ground, 'home-A', Float64Array.of(-310, 150, 10, 150)));
    expect(edit.zones).toHaveLength(3);
    closeTo(sumM2(edit.zones), polygonAreaM2(comb.area), { within: toleranceM2(edit.zones), because });
    checkLaws(edit);
  });

  test('a line across a hole parts the ring about it', () => {
    const ring = zone('A', subtract(rectangle(-300, -200, -100, 0), rectangle(-250, -150, -150, -50)));
    const edit = value(splitZone([ring], ground, 'home-A', Float64Array.of(-200, -210, -200, 10)));
    expect(edit.zones).toHaveLength(2);
    closeTo(areaOf(edit, 'home-A'), 15_000, { within: 0.3, because: `half of the ring; ${because}` });
    checkLaws(edit);
  });

  test('a part that the line does not touch stays with the zone', () => {
    const two = zone('A', [...rectangle(-300, 0, -250, 100), ...rectangle(-150, 0, -50, 100)]);
    const edit = value(splitZone([two], ground, 'home-A', Float64Array.of(-100, -10, -100, 110)));
    expect(edit.zones.map((one) => one.area.length)).toEqual([2, 1]);
    checkLaws(edit);
  });

  test('a line that ends inside, or passes by, cuts nothing and says so', () => {
    for (const line of [
      [100, -250, 200, 0],
      [-100, -250, -100, 250],
      [150, -50, 250, 50],
    ]) {
      const outcome = splitZone([east], ground, 'home-B', Float64Array.from(line));
      expect(codes(outcome)).toEqual(['line-cuts-nothing']);
    }
  });

  test('whatever the line, no ground is lost', () => {
    const random = numbers(7);
    const round = zone('A', intersect([[bent(90, 120, -150, 0)]], ground.ground));
    for (let n = 0; n < 40; n++) {
      const at = () => [-280 + 260 * random(), -140 + 280 * random()];
      const line = Float64Array.from([[-400, 400 * random() - 200], at(), at(), [150, 400 * random() - 200]].flat());
      const outcome = splitZone([round], ground, 'home-A', line);
      if (!outcome.ok) continue;
      closeTo(sumM2(outcome.value.zones), polygonAreaM2(round.area), {
        within: toleranceM2(outcome.value.zones),
        because,
      });
      checkLaws(outcome.value);
    }
  });
});

describe('merging', () => {
  test('what was split is whole again, under the letter of the largest', () => {
    const split = value(splitZone([west, east], ground, 'home-B', Float64Array.of(160, -250, 170, 250)));
    const edit = value(mergeZones(split.zones, ground, ['home-C', 'home-B']));
    expect(edit.zones.map((one) => one.letter)).toEqual(['A', 'B']);
    expect(edit.label).toBe('Merge zones B and C of Home');
    closeTo(areaOf(edit, 'home-B'), 80_000, { within: toleranceM2(edit.zones), because });
    expect(edit.zones[1]!.area).toHaveLength(1);
    expect(edit.zones[1]!.area[0]).toHaveLength(1);
    checkLaws(edit);
  });

  test('zones that do not touch become one zone in two parts, told; areas add up', () => {
    const outcome = mergeZones([west, east], ground, ['home-A', 'home-B']);
    expect(codes(outcome)).toContain('zone-in-parts');
    closeTo(sumM2(value(outcome).zones), 120_000, { within: toleranceM2([west, east]), because });
    checkLaws(value(outcome));
  });
});

describe('a hole', () => {
  test('is taken out of the zone', () => {
    const edit = value(cutHole([east], ground, 'home-B', rectangle(150, -50, 200, 50)));
    closeTo(areaOf(edit, 'home-B'), 75_000, { within: toleranceM2(edit.zones), because });
    expect(edit.zones[0]!.area[0]).toHaveLength(2);
    checkLaws(edit);
  });

  test('that parts the zone is told; one that misses it, or takes all of it, is refused', () => {
    expect(codes(cutHole([east], ground, 'home-B', rectangle(50, -50, 350, 50)))).toEqual(['zone-in-parts']);
    expect(codes(cutHole([east], ground, 'home-B', rectangle(-50, -50, 50, 50)))).toEqual(['hole-outside-zone']);
    expect(codes(cutHole([east], ground, 'home-B', rectangle(50, -250, 350, 250)))).toEqual(['zone-empty']);
  });
});

describe('growing and shrinking', () => {
  test('by a distance: the band about a rectangle, and back', () => {
    const grown = value(growZone([east], ground, 'home-B', 10));
    const band = 2 * 10 * (200 + 400) + Math.PI * 100;
    closeTo(areaOf(grown, 'home-B'), 80_000 + band, {
      within: 2.1,
      because: 'round corners of 8 chords: 0.64 % of a disc',
    });
    const shrunk = value(growZone([east], ground, 'home-B', -10));
    closeTo(areaOf(shrunk, 'home-B'), 180 * 380, { within: toleranceM2(shrunk.zones), because });
    expect(shrunk.label).toBe('Shrink zone B of Home by 32.8 ft');
    checkLaws(grown);
    checkLaws(shrunk);
  });

  test('stops at the neighbors and the edge of the field', () => {
    const outcome = growZone([west, east], ground, 'home-B', 450);
    expect(codes(outcome)).toEqual(['zone-cut-to-field', 'zone-cut-to-neighbor']);
    checkLaws(value(outcome));
  });

  test('to nothing is refused, and so is no distance', () => {
    expect(codes(growZone([west], ground, 'home-A', -60))).toEqual(['zone-vanishes']);
    expect(codes(growZone([west], ground, 'home-A', 0))).toEqual(['no-distance']);
    expect(codes(growZone([west], ground, 'home-A', NaN))).toEqual(['no-distance']);
  });

  test('widened to the machine it is narrow no more', () => {
    const strip = zone('A', rectangle(-300, 100, -100, 110));
    const outcome = widenZone([strip], ground, 'home-A');
    expect(codes(outcome)).toEqual([]);
    closeTo(polygonAreaM2(subtract(strip.area, value(outcome).zones[0]!.area)), 0, { within: 0.1, because });
    checkLaws(value(outcome));
  });
});

test('a deleted zone leaves the others with their letters', () => {
  const edit = value(deleteZone([west, east], ground, 'home-A'));
  expect(edit.zones).toEqual([east]);
  expect(value(drawZone(edit.zones, ground, rectangle(-300, 0, -200, 100))).zones[1]!.letter).toBe('A');
});
