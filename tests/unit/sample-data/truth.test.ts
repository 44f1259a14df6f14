import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { makeTruth, truthText, type Truth } from '../../../sample-data/truth.ts';
import { SPECIES, seedsPerM2, yieldLossFraction, BIOLOGY } from '../../../sample-data/weeds.ts';
import { COMBINE } from '../../../sample-data/seed-fate.ts';
import { closeTo } from '../../support/close-to.ts';

let truth: Truth;
beforeAll(() => {
  truth = makeTruth();
}, 120_000);

describe('the planted truth', () => {
  it('is the one that is committed', () => {
    const committed = readFileSync(new URL('../../../sample-data/files/truth.json', import.meta.url), 'utf8');
    expect(truthText(truth.fields)).toBe(committed);
  });

  it('loses no seed: what stood and came aboard is what fell, stayed, went to the tank or left', () => {
    for (const { name, species } of truth.fields) {
      for (const one of SPECIES) {
        const l = species[one].ledger;
        const fates = l.leftStanding + l.headerLoss + l.landedInField + l.landedOutside + l.grainTank + l.carriedOut;
        const entered = l.onPlant + l.carriedIn;
        closeTo(fates, entered, { within: 1e-11 * entered, because: `${name} ${one}: half a million sums` });
        for (const part of Object.values(l)) expect(part).toBeGreaterThanOrEqual(0);
      }
    }
  });

  it('carries to the next field what the last one let go', () => {
    truth.fields.slice(1).forEach(({ species, name }, i) => {
      for (const one of SPECIES) {
        expect(species[one].ledger.carriedIn, name).toBe(truth.fields[i]!.species[one].ledger.carriedOut);
      }
    });
    expect(truth.fields[0]!.species.AMATU.ledger.carriedIn).toBe(0);
    expect(truth.fields[1]!.species.AMATU.ledger.carriedIn).toBeGreaterThan(1000);
  });

  it('loses at the header the share that the machine is said to lose', () => {
    for (const { name, species } of truth.fields) {
      const { ledger } = species.AMATU;
      closeTo(ledger.headerLoss / (ledger.onPlant - ledger.leftStanding), COMBINE.headerLossFraction, {
        within: 1e-9,
        because: name,
      });
    }
  });

  it('has maps whose sums are the fields’ totals', () => {
    for (const { id, species, areaM2 } of truth.fields) {
      const maps = truth.maps[id]!;
      const over = (map: Float64Array) => map.reduce((sum, value, cell) => sum + value * maps.insideM2[cell]!, 0);
      closeTo(maps.insideM2.reduce((sum, m2) => sum + m2, 0) / areaM2, 1, { within: 1e-4, because: 'cells of 0.5 m' });
      for (const one of SPECIES) {
        const { plants, ledger } = species[one];
        closeTo(over(maps.plantsPerM2[one]), plants, { within: 1e-9 * plants, because: 'the same sum' });
        closeTo(over(maps.onPlantPerM2[one]), ledger.onPlant, {
          within: 1e-9 * ledger.onPlant,
          because: 'the same sum',
        });
        closeTo(over(maps.landedPerM2[one]), ledger.landedInField, {
          within: 1e-9 * ledger.landedInField,
          because: 'the same sum in another order',
        });
      }
    }
  });

  it('cuts nearly all of every field and takes home what stood there', () => {
    for (const { name, cutM2, areaM2, grainKg, weedFreeGrainKg } of truth.fields) {
      expect(cutM2 / areaM2, name).toBeGreaterThan(0.998);
      expect(cutM2 / areaM2, name).toBeLessThan(1.0001);
      expect(grainKg, name).toBeLessThan(weedFreeGrainKg);
      expect(grainKg, name).toBeGreaterThan(0.95 * weedFreeGrainKg);
    }
  });

  it('puts most of the season’s seed on three of the fourteen fields', () => {
    const produced = truth.fields.map(({ species }) => species.AMATU.produced).sort((a, b) => b - a);
    const total = produced.reduce((sum, seeds) => sum + seeds, 0);
    expect(produced.slice(0, 3).reduce((sum, seeds) => sum + seeds, 0) / total).toBeGreaterThan(0.6);
  });

  it('has the infested area fall as the threshold rises, and Palmer amaranth in two fields alone', () => {
    for (const { species } of truth.fields) {
      for (const one of SPECIES) {
        const areas = species[one].infestedM2;
        expect([...areas].sort((a, b) => b - a)).toEqual(areas);
      }
    }
    const palmer = truth.fields.filter(({ species }) => species.AMAPA.plants > 0).map(({ name }) => name);
    expect(palmer.sort()).toEqual(['Creek', 'Tower']);
  });

  it('plants delays of 9–13 s with 2–4 s of mixing', () => {
    for (const { log } of truth.fields) {
      if (!log) continue;
      expect(log.delayS).toBeGreaterThanOrEqual(9);
      expect(log.delayS).toBeLessThanOrEqual(13);
      expect(log.mixingS).toBeGreaterThanOrEqual(2);
      expect(log.mixingS).toBeLessThanOrEqual(4);
    }
  });
});

describe('the sample’s weeds', () => {
  it('give seed and loss in proportion where thin and level off where thick', () => {
    const biology = BIOLOGY.soybean.AMATU;
    closeTo(seedsPerM2(biology, 0.002) / seedsPerM2(biology, 0.001), 2, {
      within: 0.001,
      because: 'nearly a straight line',
    });
    expect(seedsPerM2(biology, 1e9)).toBeLessThanOrEqual(biology.mostSeedsPerM2);
    closeTo(yieldLossFraction(biology, 1e9), biology.lossA / 100, { within: 1e-6, because: 'the asymptote' });
  });
});
