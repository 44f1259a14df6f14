import { describe, expect, test } from 'vitest';
import { type Fix, followFix, NO_TRACK, speedMS, type Track } from '../../../../src/places/in-field/fixes.ts';
import { standing } from '../../../../src/places/in-field/standing.ts';
import { nearestField } from '../../../../shared/model/nearest-field.ts';
import { placeIn } from '../../../support/small-farm.ts';
import { twoFieldFarm } from '../../../support/two-field-farm.ts';

const START_MS = 1e12;
/** x and y in metres from West's corner; second after the start. */
const fix = (x: number, y: number, second: number, more: Partial<Fix> = {}): Fix => ({
  at: placeIn('West', x, y),
  accuracyM: 4,
  speedMS: null,
  timeMs: START_MS + second * 1000,
  ...more,
});
const follow = (...fixes: readonly Fix[]): Track => fixes.reduce(followFix, NO_TRACK);
const { fields } = twoFieldFarm();
function standingOn(track: Track, second: number) {
  return standing(track, track.fix && nearestField(fields, track.fix.at), START_MS + second * 1000, 'us');
}

describe('a position that jumps', () => {
  test('200 m within a second is not trusted: the one before stays', () => {
    const track = follow(fix(10, 10, 0), fix(210, 10, 1));
    expect(track.fix).toEqual(fix(10, 10, 0));
    expect(track.jump).toMatchObject({ seconds: 1 });
    expect(track.jump!.awayM).toBeCloseTo(200, 0);
    const now = standingOn(track, 1);
    expect(now).toMatchObject({ is: 'blocked', finding: 'Your position jumped 660 ft in 1 s' });
  });

  test('back where it was, it is as if nothing had been', () => {
    const track = follow(fix(10, 10, 0), fix(210, 10, 1), fix(11, 10, 2));
    expect([track.jump, track.fix]).toEqual([null, fix(11, 10, 2)]);
  });

  test('there again and again, the first one was the wrong one', () => {
    const there = [1, 2, 3, 4].map((second) => fix(210, 10, second));
    expect(follow(fix(10, 10, 0), ...there.slice(0, 3)).jump).not.toBeNull();
    expect(follow(fix(10, 10, 0), ...there)).toMatchObject({ jump: null, fix: there[3] });
  });

  test('one that hops about is never believed', () => {
    const hops = [1, 2, 3, 4, 5, 6].map((second) => fix(second % 2 ? 400 : 800, 10, second));
    expect(follow(fix(10, 10, 0), ...hops).fix).toEqual(fix(10, 10, 0));
  });

  test('one that says itself how bad it is, is no jump but rough', () => {
    const track = follow(fix(10, 10, 0), fix(210, 10, 1, { accuracyM: 250 }));
    expect(track.jump).toBeNull();
    expect(standingOn(track, 1)).toMatchObject({
      is: 'here',
      doubts: ['Your position is good to 820 ft only.', expect.any(String)],
    });
  });

  test('after a minute the same way can have been driven', () => {
    expect(follow(fix(10, 10, 0), fix(210, 10, 60)).jump).toBeNull();
  });
});

describe('in a machine', () => {
  test('faster than a meter a second nothing can be marked, by what the device says', () => {
    const moving = follow(fix(10, 10, 0, { speedMS: 2 }));
    expect(standingOn(moving, 1)).toMatchObject({ is: 'blocked', finding: 'Stop before you mark' });
    expect(standingOn(followFix(moving, fix(12, 10, 1, { speedMS: 0.2 })), 1)).toMatchObject({ is: 'here' });
  });

  test('or by the way of the last seconds, where it says nothing', () => {
    const track = follow(...[0, 1, 2, 3, 4].map((second) => fix(10 + 4 * second, 10, second)));
    expect(speedMS(track, START_MS + 4000)).toBeCloseTo(3, 1);
    expect(standingOn(track, 4)).toMatchObject({ is: 'blocked' });
    // It stands: the seconds in which it moved go by.
    const stopped = [5, 6, 7, 8, 9, 10, 11].map((second) => fix(26, 10, second));
    expect(standingOn(stopped.reduce(followFix, track), 11)).toMatchObject({ is: 'here', doubts: [] });
  });

  test('a position that wavers inside its accuracy is no motion', () => {
    const track = follow(...[0, 1, 2, 3, 4, 5].map((second) => fix(10 + 2 * Math.sin(second), 10, second)));
    expect(speedMS(track, START_MS + 5000)).toBe(0);
  });
});

describe('where one stands', () => {
  test('in a field with a good position: said with its accuracy, and nothing is doubted', () => {
    expect(standingOn(follow(fix(10, 10, 0)), 0)).toMatchObject({
      is: 'here',
      finding: 'You are in West, within 13 ft',
      doubts: [],
    });
  });

  test('outside every field, or long ago, it is asked once more', () => {
    expect(standingOn(follow(fix(-50, 10, 0)), 40)).toMatchObject({
      finding: 'You are 160 ft outside West, within 13 ft',
      doubts: ['You stand 160 ft outside West: the find counts in no field.', 'Your position is 40 s old.'],
    });
    const far = follow(fix(10, 10, 0, { at: [10, 50] }));
    expect(standingOn(far, 0)).toMatchObject({ finding: 'You are far from every field, within 13 ft' });
  });

  test('before the first position nothing is known', () => {
    expect(standingOn(NO_TRACK, 0)).toEqual({ is: 'unknown' });
  });
});
