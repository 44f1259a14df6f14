/** The consultant walks a field again: the track comes in, and the weed is followed from round to round. */
import { expect, test } from '@playwright/test';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { drop } from '../support/dropping.ts';
import { counts, scouting, SIDE_M } from '../support/small-farm.ts';
import { walk, waypoint } from '../support/walks.ts';

test('a second round and the way that was walked are brought in; what changed is told and drawn', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  const review = page.getByRole('dialog');
  const northOnly = (_x: number, y: number, n: number) => (y > SIDE_M / 2 ? 2 + (n % 3) * 3 : 0);
  const steps = [10, 60, 110].map((x) => ({ x, y: 30 }));
  await drop(page, {
    'june.csv': new TextEncoder().encode(scouting(counts('West', [5, 5], northOnly, '2026-06-10'))),
    'walk.gpx': new TextEncoder().encode(
      walk('West', steps, '2026-06-10', waypoint('West', 60, 34, 'Wet hole', 'drowned')),
    ),
  });
  await expect(review.getByRole('heading', { level: 1 })).toContainText('2 files bring');
  await review.getByRole('button', { name: /walk\.gpx/ }).click();
  await review.getByLabel('Strip looked over, ft wide').fill('6');
  await review.getByLabel('Strip looked over, ft wide').press('Enter');
  await expect(review.getByText('Looked over 6.00 ft wide')).toBeVisible();
  await review.getByRole('button', { name: /^Add/ }).click();
  await saved(page);

  await page.getByRole('button', { name: 'Infestation' }).click();
  // The same weed over the farm, field by round.
  const over = page.getByRole('row').filter({ hasText: 'still there' });
  await expect(over).toContainText('10 of 25 places');
  await over.getByRole('button', { name: 'West' }).click();

  await expect(page.getByRole('heading', { name: 'Waterhemp was seen in 2 of 2 rounds in West' })).toBeVisible();
  await expect(page.getByRole('heading', { name: /^Waterhemp is still in West/ })).toBeVisible();
  await expect(page.getByRole('img', { name: /^Map of the field, north up/ })).toBeVisible();
  await expect(page.getByText('more at 10, fewer at 10, the same at 5')).toBeVisible();
  await page.getByText('places looked at both times, one by one').click();
  await expect(page.getByRole('row').filter({ hasText: /more$/ })).toHaveCount(10);

  // 100 m of it, 6 ft wide.
  await expect(page.getByRole('heading', { name: '328 ft walked in West in 2026' })).toBeVisible();
  await expect(page.getByLabel('Strip looked over along it')).toHaveValue('6');
  await page.getByText('1 place that came with it').click();
  await expect(page.getByRole('row').filter({ hasText: 'Wet hole' })).toContainText('drowned');

  // How many stops the mean takes hangs on the precision that is wanted.
  const needed = page.getByRole('heading', { name: /the field’s mean/i });
  const before = await needed.textContent();
  await page.getByText('± 10%').click();
  await expect(needed).not.toHaveText(before!);
  await expect(needed).toContainText('give or take 10%');
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});
