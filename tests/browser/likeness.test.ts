/** The consultant sees how far stops speak for each other and what that is worth, as a picture, a table, workings and files. */
import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, watched } from '../support/browser.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';

const working = (page: Page) => page.getByRole('complementary', { name: 'Working' });

for (const { name, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('likeness by distance is a picture, a table and a file, and its numbers open their workings', async ({
      page,
    }) => {
      const seen = watched(page);
      await openSmallFarm(page);
      await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: 'Infestation' }).click();
      await page.getByLabel('Where', { exact: true }).selectOption({ label: 'Middle' });
      await expect(page.getByRole('heading', { name: 'How far one stop speaks for another' })).toHaveCount(0);
      await page.getByLabel('Where', { exact: true }).selectOption({ label: 'West' });
      const likeness = page.getByRole('region', { name: 'How far one stop speaks for another' });
      const picture = likeness.getByRole('img', { name: /How much two stops differ/ });
      await expect(picture).toBeVisible();
      const frame = (await likeness.boundingBox())!;
      expect((await picture.boundingBox())!.width).toBeLessThanOrEqual(frame.width + 1);
      // Two marks a distance, and one in the key; a bar for each.
      const distances = await picture.locator('.bar').count();
      expect(distances).toBeGreaterThan(3);
      await expect(picture.locator('circle.plain')).toHaveCount(distances + 1);
      await expect(picture.locator('path.robust')).toHaveCount(distances + 1);

      const download = page.waitForEvent('download');
      await likeness.getByRole('button', { name: 'Save the picture as SVG' }).click();
      expect(readFileSync(await (await download).path(), 'utf8')).toContain('pairs');

      await likeness.getByRole('button', { name: 'As a table' }).click();
      await expect(likeness.getByRole('row')).toHaveCount(distances + 1);
      await likeness.getByRole('button', { name: 'As a picture' }).press('t');
      await expect(picture).toBeVisible();

      const left = page.getByRole('region', { name: /falls on the right side of the threshold \d+ times of 25/ });
      await left.getByRole('button', { name: /^\d+ of 25$/ }).click();
      await expect(working(page)).toContainText('stops that the other stops put on the right side of the threshold');
      await working(page).getByRole('button', { name: 'Close' }).click();
      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}
