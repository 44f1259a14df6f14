/** The manager presses a place and a patch, and is told where its seed came from and where it went. */
import { readFileSync } from 'node:fs';
import { expect, type Locator, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, watched } from '../support/browser.ts';
import { drop } from '../support/dropping.ts';
import { handsOf } from '../support/hands.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';
import { patches, placeIn } from '../support/small-farm.ts';

async function bringPatches(page: Page): Promise<void> {
  await drop(page, { 'patches-2026.geojson': patches });
  const review = page.getByRole('dialog');
  await review.getByRole('button', { name: 'Add 1 file' }).click();
  await expect(review).toHaveCount(0);
}

for (const { name, finger, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('seed is followed from a pressed place, a patch and typed coordinates, and what the machine brought is said', async ({
      page,
    }) => {
      const seen = watched(page);
      await openSmallFarm(page);
      await bringPatches(page);
      await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: 'Harvest' }).click();
      await page.getByRole('row', { name: /^West/ }).getByRole('button', { name: 'West' }).click();
      const part = page.getByRole('region', { name: /Follow the seed of West/ });
      const answer = part.getByRole('heading', { level: 3 });

      // Pressed on the map: where it came from. The field stays chosen, and the map has a key of its own.
      await part.getByRole('radio', { name: 'where its seed came from' }).check();
      const hands = handsOf(page, 'West', finger);
      await hands.press([60, 55]);
      await expect(answer).toContainText(
        /^Of the weed seed within 60 ft of the place .+ grew on West within \d+ ft of it/,
      );
      await expect(page.getByRole('heading', { level: 1 })).toContainText(/^West made/);
      await expect(page.getByText('Where it grew', { exact: true })).toBeVisible();
      await expect(part.getByRole('row', { name: /grew on this ground itself/ })).toBeVisible();
      await expect(part.getByText(/taken to have come clean to its first field of 2026/)).toBeVisible();

      // A press in a drawn patch takes it whole: where its seed went.
      await part.getByRole('radio', { name: 'where its seed went' }).check();
      await hands.press([30, 25]);
      await expect(answer).toContainText(/^Of the weed seed that grew on the chosen ground .+ came down within/);
      await expect(part.getByRole('button', { name: 'Patch 1: medium, waterhemp' })).toHaveAttribute(
        'aria-pressed',
        'true',
      );
      await expect(part.getByRole('row', { name: /of that, came down on Middle/ })).toBeVisible();
      await expect(page.getByText('Where it came down', { exact: true })).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // The map with its key as a picture, and the numbers as tables, hold what is followed.
      const saved = async (button: Locator) => {
        const download = page.waitForEvent('download');
        await button.click();
        const file = await download;
        return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) };
      };
      const picture = await saved(page.getByRole('button', { name: 'Save the map as a picture (PNG)' }));
      expect(picture.name).toBe('small-farm-west-followed-seed.png');
      const table = await saved(part.getByRole('button', { name: /^Table as CSV ?: the followed seed/ }));
      expect(table.name).toContain('West-followed-seed-2026.csv');
      expect(table.bytes.toString()).toContain('where its seed went');
      expect(table.bytes.toString()).toContain('Came down on Middle');
      const cells = await saved(part.getByRole('button', { name: /^Cells as CSV/ }));
      expect(cells.bytes.toString().split('\r\n').length).toBeGreaterThan(50);

      // By the keyboard alone: coordinates as the map tells them, and the list of the thickest deposits.
      const typed = part.getByRole('textbox', { name: 'Latitude, longitude' });
      await typed.fill('12');
      await typed.press('Enter');
      await expect(part.getByRole('alert')).toContainText('A place is its latitude and longitude');
      const [lon, lat] = placeIn('West', 90, 90);
      await typed.fill(`${lat.toFixed(5)}, ${lon.toFixed(5)}`);
      await typed.press('Enter');
      await expect(answer).toContainText('within 60 ft of the place');
      await part.getByRole('button', { name: /^Thickest deposit/ }).focus();
      await page.keyboard.press('Enter');
      await expect(part.getByRole('button', { name: /^Thickest deposit/ })).toHaveAttribute('aria-pressed', 'true');

      // What the machine brought is said, changes what rode in, and is undone.
      const machine = page.getByRole('region', { name: /What is known of/ });
      const brought = machine.getByRole('combobox', { name: /came to its first field of 2026/ });
      await brought.selectOption({ label: 'from an infested field' });
      await part.getByRole('radio', { name: 'where its seed came from' }).check();
      await expect(part.getByRole('row', { name: /aboard already when the machine came to the farm/ })).toBeVisible();
      await page.getByRole('button', { name: /^Undo ?: (?!nothing)/ }).click();
      await expect(part.getByRole('row', { name: /aboard already/ })).toHaveCount(0);

      // Let go: the field has its shade again, and a press on it lets the field go.
      await part.getByRole('radio', { name: 'nothing' }).check();
      await expect(page.getByText('Where it grew', { exact: true })).toHaveCount(0);
      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}
