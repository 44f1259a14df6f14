/** Source: biology.json and management.json beside this file, through make-parameters.mjs. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../shared/agronomy/cautions.ts';
import { CASES } from '../../../shared/model/range.ts';
import { parameter, parameterIds, resolveParameter } from '../../../shared/agronomy/parameter.ts';
import { hasSource, sourceKeys } from '../../../shared/agronomy/sources.ts';
import { SPECIES } from '../../../shared/agronomy/species.ts';
import { CROPS } from '../../../shared/agronomy/crops.ts';

const maker = (await import(new URL('make-parameters.mjs', import.meta.url).href)) as {
  build(): Record<string, string>;
};
const made = maker.build();
const biology = JSON.parse(readFileSync(new URL('biology.json', import.meta.url), 'utf8')) as {
  species: { id: string; name: string; latin: string; eppo: string }[];
  crops: { id: string; latin: string; eppo: string }[];
};

describe('the parameter table', () => {
  it.each(Object.keys(made))('%s is what its maker makes, byte for byte', (name) => {
    const kept = readFileSync(new URL(`../../../shared/agronomy/${name}`, import.meta.url), 'utf8');
    expect(kept === made[name], 'run node tests/reference/science/make-parameters.mjs').toBe(true);
  });

  it('names no unknown source and keeps every value inside its range', () => {
    for (const id of parameterIds()) {
      const { value, low, high, source, verified, harsh, unit } = parameter(id);
      expect(hasSource(source), `${id}: source ${source}`).toBe(true);
      expect([low, value, high].every(Number.isFinite), id).toBe(true);
      expect(low <= value && value <= high, `${id}: ${low} ≤ ${value} ≤ ${high}`).toBe(true);
      expect(['read', 'abstract', 'memory']).toContain(verified);
      expect(['high', 'low', 'none']).toContain(harsh);
      expect(unit.length).toBeGreaterThan(0);
    }
  });

  it('keeps every case inside the range, central between mild and harsh', () => {
    let lopsided = 0;
    for (const id of parameterIds()) {
      const { value, low, high, harsh } = parameter(id);
      const [mild, central, worst] = CASES.map((which) => resolveParameter(id, which)) as [number, number, number];
      expect(central).toBe(value);
      for (const one of [mild, worst]) expect(one >= low && one <= high, id).toBe(true);
      if (harsh === 'high') expect(mild <= central && central <= worst, id).toBe(true);
      else if (harsh === 'low') expect(worst <= central && central <= mild, id).toBe(true);
      else expect([mild, worst]).toEqual([value, value]);
      if (harsh !== 'none' && high > low && (mild === central || worst === central)) lopsided++;
    }
    console.warn(
      `${lopsided} of ${parameterIds().length} ranges are so lopsided that one quartile is held at the value`,
    );
  });

  it('has every source that it names, and names every source that it has', () => {
    const named = new Set(parameterIds().map((id) => parameter(id).source));
    for (const list of Object.values(CAUTIONS)) for (const { source } of list) named.add(source);
    // Cited by equations and notes in code.
    for (const key of 'shirtliffe2005 schwartz2016 meadows2024 cousens1985 cousens1987 hartzler2004 schwartzlazaro2017 wiles2004 schutte2014 colby1967 ifas2017 identity'.split(
      ' ',
    ))
      named.add(key);
    expect([...named].filter((key) => !hasSource(key))).toEqual([]);
    expect(sourceKeys().filter((key) => !named.has(key))).toEqual([]);
  });

  it('tells what was taken over from where', () => {
    const borrowed = parameterIds()
      .map(parameter)
      .filter((one) => one.borrowed);
    expect(borrowed.length).toBeGreaterThan(0);
    for (const { id, borrowed: from, verified } of borrowed) {
      expect(from!.because.length, id).toBeGreaterThan(0);
      expect(verified, id).toBe('memory');
      const givers = parameterIds();
      expect(from!.from === 'the other species' || givers.includes(from!.from), `${id} ← ${from!.from}`).toBe(true);
    }
  });

  it('gives pigweed, not told apart, the union of both ranges', () => {
    const ids = parameterIds().filter((id) => id.startsWith('pigweed.'));
    expect(ids.length).toBeGreaterThan(30);
    for (const id of ids) {
      const [one, other] = ['waterhemp', 'palmer-amaranth'].map((s) => parameter(id.replace('pigweed', s)));
      const pigweed = parameter(id);
      expect(pigweed.low).toBe(Math.min(one!.low, other!.low));
      expect(pigweed.high).toBe(Math.max(one!.high, other!.high));
      expect(pigweed.value).toBeGreaterThanOrEqual(Math.min(one!.value, other!.value) * (1 - 1e-5));
      expect(pigweed.value).toBeLessThanOrEqual(Math.max(one!.value, other!.value) * (1 + 1e-5));
    }
  });

  it('has what every species needs in every crop', () => {
    for (const { id: s } of SPECIES) {
      for (const path of ['seedbank.survival.tilled', 'seedbank.survival.no-till', 'seedbank.emergenceFraction'])
        expect(parameter(`${s}.${path}`).id).toBe(`${s}.${path}`);
      for (const { id: crop } of CROPS) {
        for (const path of [
          `yieldLoss.${crop}.I`,
          `yieldLoss.${crop}.A`,
          `yieldLoss.${crop}.C`,
          `seedProduction.${crop}.perPlant`,
          `seedProduction.${crop}.maxPerArea`,
          `seedProduction.${crop}.lateness`,
          `seedRetention.${crop}.R0`,
          `seedRetention.${crop}.k`,
          `survival.${crop}.k`,
          `survival.${crop}.T50`,
        ])
          expect(parameter(`${s}.${path}`).value, `${s}.${path}`).toBeGreaterThanOrEqual(0);
      }
    }
  });

  it('lists the species and crops of the science files, and pigweed', () => {
    const names = (list: { id: string }[]) => list.map((one) => one.id).sort();
    expect(names([...SPECIES]).filter((id) => id !== 'pigweed')).toEqual(names(biology.species));
    expect(names([...CROPS])).toEqual(names(biology.crops));
    for (const given of biology.species) {
      const ours = SPECIES.find((one) => one.id === given.id)!;
      expect([ours.name, ours.eppo]).toEqual([given.name, given.eppo]);
      expect(given.latin.startsWith(ours.latin)).toBe(true);
    }
    for (const given of biology.crops) {
      const ours = CROPS.find((one) => one.id === given.id)!;
      expect([given.eppo, given.latin.startsWith(ours.latin)]).toEqual([ours.eppo, true]);
    }
  });
});
