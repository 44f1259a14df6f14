import { expect, test } from 'vitest';
import {
  CompensatedSums,
  EMPTY_LEDGER,
  addLedgers,
  assertClosed,
  closeLedger,
  ledgerOverFields,
  sumSeeds,
} from '../../../shared/harvest/ledger.ts';
import type { Ledger } from '../../../shared/harvest/ledger.ts';

const closed: Ledger = {
  producedSeeds: 1000,
  carriedInSeeds: 50,
  shedBeforeSeeds: 300,
  leftStandingSeeds: 100,
  headerLossSeeds: 120,
  landedByMachineSeeds: 400,
  landedOutsideSeeds: 30,
  grainTankSeeds: 40,
  destroyedSeeds: 35,
  leftInMachineSeeds: 25,
};

test('a ledger that lost seed is refused, with the share that is missing', () => {
  const lost = { ...closed, destroyedSeeds: 34 };
  expect(() => assertClosed(lost)).toThrow(/off by 0\.00095/);
  expect(closeLedger(lost)).toBeCloseTo(1 / 1050, 15);
});

test('a ledger that gained seed has a negative residue', () => {
  expect(closeLedger({ ...closed, grainTankSeeds: 41 })).toBeCloseTo(-1 / 1050, 15);
});

test('a negative line and a line that is no number are refused even where the sum would hold', () => {
  expect(() => assertClosed({ ...closed, landedOutsideSeeds: -30, grainTankSeeds: 100 })).toThrow(/landedOutsideSeeds/);
  expect(() => assertClosed({ ...closed, destroyedSeeds: NaN })).toThrow(/destroyedSeeds/);
});

test('seed out of nowhere is refused where nothing entered', () => {
  expect(() => assertClosed({ ...EMPTY_LEDGER, landedByMachineSeeds: 1e-6 })).toThrow();
});

test('an empty ledger closes', () => {
  expect(assertClosed(EMPTY_LEDGER)).toBe(EMPTY_LEDGER);
});

test('the sum of closed ledgers closes and adds every line', () => {
  const both = addLedgers(closed, closed, EMPTY_LEDGER);
  assertClosed(both);
  for (const key of Object.keys(closed) as (keyof Ledger)[]) expect(both[key]).toBe(2 * closed[key]);
  expect(Object.keys(both)).toHaveLength(10);
});

test('over fields in a row, seed that one carried into another is inside and stands on neither side', () => {
  const first: Ledger = { ...EMPTY_LEDGER, producedSeeds: 100, landedByMachineSeeds: 90, leftInMachineSeeds: 10 };
  const second: Ledger = {
    ...EMPTY_LEDGER,
    producedSeeds: 50,
    carriedInSeeds: 8,
    landedByMachineSeeds: 55,
    leftInMachineSeeds: 3,
  };
  // 10 left the first; 2 were taken out at a clean-out, 8 came into the second.
  expect(ledgerOverFields([first, second])).toMatchObject({
    producedSeeds: 150,
    carriedInSeeds: 0,
    landedByMachineSeeds: 145,
    leftInMachineSeeds: 5,
  });
  expect(() => ledgerOverFields([second])).toThrow(/5 more seeds came in than left/);
});

test('a sum keeps small terms beside large ones', () => {
  const terms = [1e16, ...Array.from({ length: 1000 }, () => 1), -1e16];
  expect(sumSeeds(terms)).toBe(1000);
  const sums = new CompensatedSums(1);
  for (const term of terms.slice(0, -1)) sums.add(0, term);
  expect(sums.totals()[0]! - 1e16).toBe(1000);
});
