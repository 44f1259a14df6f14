/** The manager follows the combine: where the seed went, in which order the fields were cut, and what came up without cover. */
import AxeBuilder from '@axe-core/playwright';
import { expect, type Page, test } from '@playwright/test';

const SCREENS = [
  { name: 'on a desk', viewport: { width: 1440, height: 900 } },
  { name: 'on a phone', viewport: { width: 390, height: 844 } },
] as const;

/** Everything that a page must not do: write to the console, fail, ask another origin. */
function watched(page: Page, baseURL: string) {
  const seen: string[] = [];
  page.on('console', (message) => seen.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => seen.push(`error: ${error.message}`));
  page.on('request', (request) => {
    const { protocol, host } = new URL(request.url());
    if (!['data:', 'blob:'].includes(protocol) && host !== new URL(baseURL).host) seen.push(`asked ${request.url()}`);
  });
  return seen;
}

async function faults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).include('main').analyze();
  return violations
    .filter((one) => one.impact === 'serious' || one.impact === 'critical')
    .map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(' | ')}`);
}

for (const { name, viewport } of SCREENS) {
  test.describe(name, () => {
    test.use({ viewport });
    test.setTimeout(240_000);

    test('the manager follows the seed through the harvest and the season', async ({ page, baseURL }) => {
      const seen = watched(page, baseURL!);
      await page.goto('/#/thistlewend/harvest');
      const finding = page.getByRole('heading', { level: 1 });
      await expect(finding).toContainText(/made .+ seeds, most likely .+ rode into the next/, { timeout: 180_000 });
      await expect(page.getByRole('progressbar')).toHaveCount(0, { timeout: 180_000 });

      // The farm in the order of harvest, and the same as a table by one key.
      const carried = page.getByRole('figure', { name: /The most seed rode from/ });
      await expect(carried.getByRole('img', { name: /in the order of harvest: 1 Home, 2 Waterway/ })).toBeVisible();
      await carried.getByRole('button', { name: 'As a table' }).focus();
      await page.keyboard.press('t');
      await expect(carried.getByRole('row')).toHaveCount(15);
      await page.keyboard.press('t');
      await expect(carried.getByRole('table')).toHaveCount(0);

      // A field is ticked off, and that is undone like any edit.
      const tick = page.getByRole('checkbox', { name: 'Waterway is harvested' });
      await tick.check();
      await expect(page.getByRole('heading', { name: /1 of 14 fields are harvested; next is Home/ })).toBeVisible();
      await page.locator('#reading').focus();
      await page.keyboard.press('Control+z');
      await expect(tick).not.toBeChecked();
      expect(await faults(page)).toEqual([]);

      // One field: its ledger closes in every case, and its numbers show their working.
      await page.goto('/#/thistlewend/harvest?field=home');
      await expect(finding).toContainText(/^Home made .+ stayed on it/, { timeout: 180_000 });
      const ledger = page.getByRole('figure', { name: /Of .+ seeds on Home/ });
      await expect(ledger.getByRole('img', { name: /Seed of Home as a stream, most likely case/ })).toBeVisible();
      await ledger.getByRole('radio', { name: 'harsh' }).check();
      await expect(ledger.getByRole('img', { name: /harsh case/ })).toBeVisible();
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        ledger.getByRole('button', { name: 'Save the picture as SVG' }).click(),
      ]);
      expect(file.suggestedFilename()).toBe('thistlewend-home-seed-ledger.svg');

      // The way of the combine is walked with the keys: pass by pass, ten seconds at a time.
      const moment = page.getByRole('slider', { name: 'Moment of the harvest' });
      await moment.focus();
      await page.keyboard.press('PageDown');
      const said = await moment.getAttribute('aria-valuetext');
      expect(said).toMatch(/^Sep 22, \d+:\d\d pm, pass \d+ of \d+, header down, cutting, .+ seeds aboard/);
      await page.keyboard.press('PageDown');
      await expect(moment).not.toHaveAttribute('aria-valuetext', said!);
      await expect(page.getByRole('heading', { name: /^Home gave .+ bu\/ac of soybean/ })).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // The season of the same field, and a day on its strip.
      await page.goto('/#/thistlewend/season?field=home');
      await expect(finding).toContainText(/On Home \d+ to \d+% of the waterhemp emerged uncovered/, {
        timeout: 180_000,
      });
      const day = page.getByRole('slider', { name: 'Day of the season' });
      await day.focus();
      await expect(day).toHaveAttribute('aria-valuetext', /^May 25: waterhemp emerged by then/);
      await page.keyboard.press('ArrowRight');
      await expect(day).toHaveAttribute('aria-valuetext', /^May 26/);
      await page.getByRole('button', { name: 'Back to all fields' }).click();
      await expect(finding).toContainText(/Waterhemp slipped through most on/);
      await page.getByRole('button', { name: 'Corner', exact: true }).first().press('Enter');
      await expect(finding).toContainText(/^On Corner/);
      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}
