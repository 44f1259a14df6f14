// @vitest-environment happy-dom
import { afterEach, expect, test, vi } from 'vitest';
import { type Locator, Position } from '../../../../src/places/in-field/position.svelte.ts';

afterEach(() => void vi.useRealTimers());

function device() {
  let hear: PositionCallback | null = null;
  let fail: PositionErrorCallback | null = null;
  const cleared: number[] = [];
  const locator: Locator = {
    watchPosition: (ok, wrong) => ((hear = ok), (fail = wrong ?? null), 7),
    clearWatch: (id) => void cleared.push(id),
  };
  return {
    locator,
    cleared,
    isAsked: () => hear !== null,
    tell: (longitude: number, latitude: number, speed: number | null = null) =>
      hear!({ coords: { longitude, latitude, accuracy: 4, speed } } as GeolocationPosition),
    refuse: (code: number) => fail!({ code } as GeolocationPositionError),
  };
}

test('nothing is asked of the device before the press, and nothing after the end', () => {
  vi.useFakeTimers();
  const phone = device();
  const position = new Position(phone.locator);
  expect([phone.isAsked(), position.isBegun]).toEqual([false, false]);
  position.begin();
  expect([phone.isAsked(), position.isBegun]).toEqual([true, true]);
  phone.tell(-93.5, 42, NaN);
  expect(position.track.fix).toMatchObject({ at: [-93.5, 42], accuracyM: 4, speedMS: null });
  const before = position.nowMs;
  vi.advanceTimersByTime(3000);
  expect(position.nowMs - before).toBe(3000);
  position.end();
  expect([phone.cleared, position.isBegun, position.track.fix, vi.getTimerCount()]).toEqual([[7], false, null, 0]);
});

test('a refusal ends it and says what to do; a wait is told until a position comes', () => {
  vi.useFakeTimers();
  const phone = device();
  const position = new Position(phone.locator);
  position.begin();
  phone.refuse(3);
  expect([position.isBegun, position.trouble]).toEqual([true, expect.stringContaining('open sky')]);
  phone.tell(-93.5, 42);
  expect(position.trouble).toBeNull();
  phone.refuse(1);
  expect([position.isBegun, position.trouble]).toEqual([false, expect.stringContaining('Allow it')]);
});

test('a browser that cannot tell a position says so', () => {
  const position = new Position(undefined);
  position.begin();
  expect([position.isBegun, position.trouble]).toEqual([false, expect.stringContaining('https')]);
});
