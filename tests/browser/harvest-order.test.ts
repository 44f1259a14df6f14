/** The manager plans the week: which field next, where the combine is cleaned out, what that is worth, and a sheet for the cab. */
import { expect, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, watched } from '../support/browser.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';

const go = (page: Page, place: string) =>
  page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: place }).click();

for (const { name, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('the manager orders the harvest, ticks fields off, and prints the sheet', async ({ page }) => {
      const seen = watched(page);
      await page.addInitScript(() => {
        window.print = () => {
          document.body.dataset['printed'] = document.querySelector('.print-sheet')?.textContent ?? 'nothing';
        };
      });
      await openSmallFarm(page);
      await go(page, 'Harvest');
      const week = page.getByRole('region', { name: 'What to do: the order of harvest' });
      const order = () =>
        week
          .getByRole('checkbox', { name: /is cut$/ })
          .evaluateAll((all) => all.map((one) => one.closest('label')!.textContent.trim().replace(' is cut', '')));
      // Two logs are at hand: one field is left.
      await expect(week.getByRole('heading', { name: 'East is the last field to cut' })).toBeVisible();

      // Before anything is cut, the worst comes last.
      for (const field of ['West', 'Middle'])
        await page.getByRole('checkbox', { name: `${field} is harvested` }).uncheck();
      await expect(week.getByRole('heading', { name: /^Cut .+ next and West last/ })).toBeVisible();
      await expect.poll(order).toEqual(['Middle', 'East', 'West']);
      await expect(week.getByText(/a price of a crop to come is missing/)).toBeVisible();

      // The worst is ripe first: it comes first, and the combine is to be cleaned out after it.
      for (const field of ['Middle', 'East']) {
        const item = week
          .getByRole('listitem')
          .filter({ has: page.getByRole('checkbox', { name: `${field} is cut` }) });
        await item.locator('summary').click();
        await item.getByLabel('Ripe from').fill('2026-10-12');
        await item.getByLabel('Ripe from').press('Tab');
      }
      await expect.poll(order).toEqual(['West', 'Middle', 'East']);
      const middle = week.getByRole('listitem').filter({ has: page.getByRole('checkbox', { name: 'Middle is cut' }) });
      await expect(middle.getByText('Clean out first', { exact: false })).toBeVisible();
      await expect(middle.getByText(/A thorough clean-out\s+keeps\s[\s\S]+ seeds[\s\S]+off this field/)).toBeVisible();

      // With prices and an hour's cost, minutes are told; a number opens its working.
      await go(page, 'Farm');
      for (const [crop, price] of [
        ['soybean', '11'],
        ['corn', '4.3'],
      ] as const) {
        const entry = page.getByRole('textbox', { name: `Price of ${crop} in 2026` });
        const prices = page.locator('details').filter({ has: page.getByText('Prices and money') });
        if (!(await prices.evaluate((one: HTMLDetailsElement) => one.open))) await prices.locator('summary').click();
        await entry.fill(price);
        await entry.press('Enter');
      }
      await go(page, 'Harvest');
      const hour = week.getByRole('textbox', { name: 'An hour of harvest costs' });
      await hour.fill('400');
      await hour.press('Enter');
      if (!(await middle.locator('details').evaluate((one: HTMLDetailsElement) => one.open)))
        await middle.locator('summary').click();
      await expect(
        middle.getByText(/A thorough clean-out\s+pays up to\s[\s\S]+minute[\s\S]+reported to take 4 to 8 hours/),
      ).toBeVisible();
      await middle
        .getByRole('button', { name: /minute/ })
        .last()
        .click();
      await expect(page.getByText('time that a clean-out may take and still pay')).toBeVisible();
      await page.keyboard.press('Escape');

      // Ticked off, the rest is re-sorted from what the combine now carries; one press takes it back.
      await week.getByRole('checkbox', { name: 'West is cut' }).click();
      await expect.poll(order).toEqual(['Middle', 'East']);
      await expect(week.getByText(/Cut so far: West\.\s+Aboard now:\s[\s\S]+seeds/)).toBeVisible();
      await page.getByRole('button', { name: /^Undo ?: West harvested/ }).click();
      await expect.poll(order).toEqual(['West', 'Middle', 'East']);

      // What else can be done on the worst field, and the sheet for the cab.
      await expect(
        week.getByRole('heading', { name: /On West an impact mill would destroy .+ of the seed/ }),
      ).toBeVisible();
      await week.getByRole('button', { name: 'Print the operator’s sheet' }).click();
      await expect
        .poll(() => page.evaluate(() => document.body.dataset['printed']))
        .toMatch(/order of harvest 2026.+West.+Middle.+Cleaning out, in two stages.+header blocked/s);

      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}
