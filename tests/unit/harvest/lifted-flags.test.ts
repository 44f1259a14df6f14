import { describe, expect, test } from 'vitest';
import { FLAG } from '../../../shared/harvest/clean-log.ts';
import type { HarvestPath } from '../../../shared/harvest/harvest-path.ts';
import { FLAG_NAMES, isLiftable, LIFTABLE_FLAGS } from '../../../shared/model/log-flags.ts';
import { inventedLog, place, rectangle, retrace } from '../../support/invented-log.ts';

const field = { boundary: rectangle(0, 0, 360, 90), cellM: 5 };
const cellsKnown = ({ yieldGrid }: HarvestPath) => yieldGrid!.values.filter((one) => !Number.isNaN(one)).length;

describe('a flag that is lifted', () => {
  test('is one that leaves something out; the others cannot be', () => {
    expect(FLAG_NAMES.filter((one) => !isLiftable(one))).toEqual(['time-order', 'duplicate-time', 'bridged']);
  });

  test('stays on its records, which count then', () => {
    const log = inventedLog();
    // Wetter than corn can be on the second half of each pass.
    for (let i = 0; i < log.count; i++) if (i % 215 > 100) log.moistureFraction[i] = 0.5;
    const strict = retrace(log, field);
    const lifted = retrace(log, { ...field, lifted: ['moisture-range'] });
    expect(strict.flagged['moisture-range']).toBeGreaterThan(800);
    expect(lifted.flagged['moisture-range']).toBe(strict.flagged['moisture-range']);
    expect(cellsKnown(lifted)).toBeGreaterThan(1.2 * cellsKnown(strict));
    // Its own moisture is believed: less dry grain than at the usual 17 %.
    expect(lifted.standardMassKg!).toBeLessThan(0.9 * strict.standardMassKg!);
    expect(lifted.flags.length).toBe(log.count);
  });

  test('of a header that is said to be up all day lets its passes cut', () => {
    const log = inventedLog();
    log.headerDown.fill(0);
    const strict = retrace(log, field);
    expect(strict.coveredAreaM2).toBe(0);
    const lifted = retrace(log, { ...field, lifted: ['header-up'] });
    expect(lifted.flagged['header-up']).toBe(strict.flagged['header-up']);
    expect(lifted.coveredAreaM2).toBeGreaterThan(0.85 * 360 * 90);
    expect(cellsKnown(lifted)).toBeGreaterThan(500);
  });

  test('of a jump puts it back on the path', () => {
    const log = inventedLog();
    place(log, 50, 90, 80);
    const strict = retrace(log, field);
    const lifted = retrace(log, { ...field, lifted: ['position-jump'] });
    expect([strict.flags[50]! & FLAG['position-jump'], lifted.flags[50]! & FLAG['position-jump']]).toEqual([4, 4]);
    expect([strict.record.includes(50), lifted.record.includes(50)]).toEqual([false, true]);
    expect(lifted.count).toBe(strict.count + 1);
  });

  test('one after the other, no record is lost', () => {
    const log = inventedLog({ passes: 4, passS: 60 });
    for (const flag of LIFTABLE_FLAGS) {
      const { flags, count, record } = retrace(log, { ...field, lifted: [flag] });
      expect(flags.length).toBe(log.count);
      expect(new Set(record).size).toBe(count);
    }
  });
});
