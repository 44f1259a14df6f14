import { describe, expect, test } from 'vitest';
import { type FieldStops, planStops } from '../../../shared/scouting/stop-plan.ts';

const TIMES = { budgetMin: 120, arriveMin: 10, stopMin: 5 };
const field = (name: string, settlesM2: readonly number[], more: Partial<FieldStops> = {}): FieldStops => ({
  field: name,
  isLooked: true,
  closed: false,
  settlesM2,
  ...more,
});

describe('stops within the time that there is', () => {
  test('a field nobody looked at gets its first look before a better-known one is looked at again', () => {
    const plan = planStops(
      [field('known', [9000, 8000, 7000]), field('new', [100, 90, 80, 70, 60, 50, 40], { isLooked: false })],
      { ...TIMES, budgetMin: 60 },
    );
    expect(plan.fields).toEqual([
      { field: 'new', stops: 5 },
      { field: 'known', stops: 3 },
    ]);
    expect(plan.minutes).toBe(60);
  });

  test('then each stop goes where it settles most a minute, the way to the field counted', () => {
    const plan = planStops([field('a', [1000, 300]), field('b', [900, 800])], { ...TIMES, budgetMin: 25 });
    // 1000 in 15 minutes first; then 300 in 5 beside 900 in 15: equal a minute, and the field one stands in comes first.
    expect(plan.fields).toEqual([{ field: 'a', stops: 2 }]);
    expect(plan.leftOut).toEqual([{ field: 'b', because: 'no time' }]);
  });

  test('a closed field stays out, and says so; so does one where nothing can be settled', () => {
    const plan = planStops([field('closed', [500], { closed: true }), field('settled', []), field('open', [5])], TIMES);
    expect(plan.fields).toEqual([{ field: 'open', stops: 1 }]);
    expect(plan.leftOut).toEqual([
      { field: 'closed', because: 'closed' },
      { field: 'settled', because: 'nothing to settle' },
    ]);
  });

  test('never takes more time than there is', () => {
    for (let budgetMin = 0; budgetMin < 90; budgetMin++) {
      const plan = planStops(
        [field('a', [3, 2, 1]), field('b', [5, 4], { isLooked: false }), field('c', [9, 9, 9, 9])],
        { ...TIMES, budgetMin },
      );
      expect(plan.minutes).toBeLessThanOrEqual(budgetMin);
      expect(plan.minutes).toBe(plan.fields.reduce((sum, one) => sum + 10 + 5 * one.stops, 0));
    }
  });
});
