import { expect, it } from 'vitest';
import { tabledNormalCdf } from '../../../../shared/statistics/latent/normal-table.ts';
import { normalCdf } from '../../../../shared/statistics/special.ts';

it('the tabled normal distribution is the exact one within 4e-9, rises, and knows its ends', () => {
  let [largest, before] = [0, 0];
  for (let z = -8; z <= 8; z += 0.00137) {
    const p = tabledNormalCdf(z);
    largest = Math.max(largest, Math.abs(p - normalCdf(z)));
    expect(p).toBeGreaterThanOrEqual(before);
    before = p;
  }
  expect(largest).toBeLessThan(4e-9);
  expect(largest, 'a table, not the function itself').toBeGreaterThan(0);
  expect([-7, 7, -Infinity, Infinity].map(tabledNormalCdf)).toEqual([0, 1, 0, 1]);
  expect(tabledNormalCdf(NaN)).toBeNaN();
});
