/** The manager opens the page and sees where the farm stands. */
import { expect, type Page, test } from '@playwright/test';
import { faults, SCREENS, studied, watched } from '../support/browser.ts';

const fieldsOfMap = (page: Page) => page.getByRole('group', { name: /^Map of the fields/ }).getByRole('button');

for (const { name, viewport } of SCREENS) {
  test.describe(name, () => {
    test.use({ viewport });

    test('the manager opens the page, sees where the farm stands, and follows a field', async ({ page }) => {
      const seen = watched(page);
      await page.goto('/');

      // Long work shows how far it is, and can be stopped and gone on with.
      const progress = page.getByRole('progressbar');
      await expect.poll(async () => Number(await progress.getAttribute('value'))).toBeGreaterThan(0);
      await page.getByRole('button', { name: 'Stop' }).click();
      await expect(page.getByText('Stopped while working on')).toBeVisible();
      await page.getByRole('button', { name: 'Go on' }).click();

      // The fields stand in an order before any log is retraced, and it is told that the order may change.
      await expect(page.getByRole('heading', { level: 1 })).toContainText('At a first look: treat');
      await expect(page.getByText('as if all seed had stayed where it grew')).toBeVisible();

      // One sentence with numbers, made from the files just now.
      await studied(page);
      const sentence = await page.getByRole('heading', { level: 1 }).innerText();
      expect(sentence).toMatch(/\d+\s+to\s+\d+\s*%, most likely \d+\s*%/);
      await expect(page.getByText('This farm is invented')).toBeVisible();
      await expect(page.locator('#reading').getByText('The product label is the law.')).toBeVisible();

      // Every field is in the list and on the map, ranked or told as unknown.
      const entries = page.locator('main ol > li');
      await expect(entries).toHaveCount(14);
      await expect(fieldsOfMap(page)).toHaveCount(14);
      const ranks = await page
        .getByRole('group', { name: /^Map of the fields/ })
        .getByRole('button', { name: /rank \d/ })
        .count();
      expect(ranks).toBeGreaterThan(0);
      await expect(page.getByRole('list', { name: 'Fields nobody looked at' }).getByRole('listitem')).toHaveCount(
        14 - ranks,
      );
      expect(await faults(page)).toEqual([]);

      // A field is chosen in the list; the map and the address follow; its number shows its working.
      await page.getByRole('button', { name: /^Rank 1:/ }).click();
      await expect(fieldsOfMap(page).and(page.locator('[aria-pressed="true"]'))).toHaveCount(1);
      const address = new URL(page.url()).hash;
      expect(address).toMatch(/^#\/thistlewend\/farm\?field=/);
      expect(seen).toEqual([]);
    });
  });
}

test('what was looked at comes back by its address, from what is kept', async ({ page }) => {
  const seen = watched(page);
  await page.goto('/#/thistlewend/harvest?field=home&shade=seedbank');
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Home', { timeout: 90_000 });
  await expect(page.getByRole('progressbar')).toHaveCount(0);
  await page.reload();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Home');
  expect(new URL(page.url()).hash).toBe('#/thistlewend/harvest?field=home&shade=seedbank');
  for (const place of ['Infestation', 'Season', 'Plan', 'Hand-off', 'Farm']) {
    await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: place }).click();
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
    await expect(page.locator('#reading').getByText('Opening', { exact: true })).toHaveCount(0);
    expect(await faults(page), place).toEqual([]);
  }
  expect(seen).toEqual([]);
});
