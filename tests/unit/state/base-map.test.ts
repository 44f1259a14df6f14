// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { BaseMap } from '../../../src/state/base-map.svelte.ts';
import type { ToServiceWorker } from '../../../src/worker/service-worker.ts';

const ADDRESS = 'https://tiles.example/{z}/{x}/{y}.png';

function machine(isHeard = true) {
  const kept = new Map<string, string>();
  const told: ToServiceWorker[] = [];
  const small = {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  };
  const open = () =>
    new BaseMap(small, 'http://localhost/', (message) => Promise.resolve((told.push(message), isHeard)));
  return { kept, told, open };
}

describe('the base map of an address', () => {
  it('is off until the person types an address, and asks only this origin', async () => {
    const { told, open } = machine();
    const map = open();
    await map.start();
    expect([map.address, map.tileUrl, told]).toEqual([null, null, []]);
    expect(await map.set('http://tiles.example/{z}/{x}/{y}')).toMatchObject({ code: 'base-map-address' });
    expect([map.tileUrl, told]).toEqual([null, []]);
    expect(await map.set(ADDRESS)).toBeNull();
    expect([map.server, map.tileUrl]).toEqual(['tiles.example', 'http://localhost/base-map/{z}/{x}/{y}']);
    expect(told).toEqual([{ kind: 'base map', address: ADDRESS }]);
  });

  it('is remembered on this machine, and forgotten everywhere when it is switched off', async () => {
    const { kept, told, open } = machine();
    await open().set(ADDRESS);
    const again = open();
    expect([again.address, again.tileUrl]).toEqual([ADDRESS, null]);
    await again.start();
    expect(again.tileUrl).not.toBeNull();
    await again.clear();
    expect([again.address, again.tileUrl, kept.size, told.at(-1)]).toEqual([
      null,
      null,
      0,
      { kind: 'base map', address: null },
    ]);
  });

  it('says so where the browser has nobody to fetch it', async () => {
    const { kept, open } = machine(false);
    const map = open();
    expect(await map.set(ADDRESS)).toMatchObject({ code: 'base-map-unavailable' });
    expect([map.address, map.tileUrl, kept.size]).toEqual([null, null, 0]);
  });
});
