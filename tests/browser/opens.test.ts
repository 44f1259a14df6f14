/** The manager opens the page and sees where the farm stands. */
import { readFileSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { expect, type Page, test } from '@playwright/test';
import { writeArchive } from '../../shared/import/archive.ts';

const SCREENS = [
  { name: 'on a desk', viewport: { width: 1440, height: 900 } },
  { name: 'on a phone', viewport: { width: 390, height: 844 } },
] as const;

/** Everything that a page must not do: write to the console, fail, ask another origin. */
function watched(page: Page) {
  const seen: string[] = [];
  page.on('console', (message) => seen.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => seen.push(`error: ${error.message}`));
  page.on('request', (request) => {
    const { protocol, host } = new URL(request.url());
    if (!['data:', 'blob:'].includes(protocol) && host !== 'localhost:4174') seen.push(`asked ${request.url()}`);
  });
  page.on('requestfailed', (request) => seen.push(`failed ${request.url()}`));
  return seen;
}

async function studied(page: Page): Promise<void> {
  await expect(page.getByRole('heading', { level: 1, name: /weed seed/ })).toContainText(/\d+ of 14 fields/);
  await expect(page.getByRole('progressbar')).toHaveCount(0);
}

async function faults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter((one) => one.impact === 'serious' || one.impact === 'critical')
    .map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(' | ')}`);
}

for (const { name, viewport } of SCREENS) {
  test.describe(name, () => {
    test.use({ viewport });

    test('the manager opens the page and sees where the farm stands', async ({ page }) => {
      const seen = watched(page);
      await page.goto('/');

      // Long work shows how far it is.
      const progress = page.getByRole('progressbar');
      await expect(progress).toBeVisible();
      await expect.poll(async () => Number(await progress.getAttribute('value'))).toBeGreaterThan(0);
      await expect(page.getByRole('button', { name: 'Stop' })).toBeVisible();

      // One sentence with numbers, made from the files just now.
      await studied(page);
      const sentence = await page.getByRole('heading', { level: 1 }).innerText();
      expect(sentence).toMatch(/\d+ to \d+\s%, most likely \d+\s%/);
      await expect(page.getByText('This farm is invented')).toBeVisible();
      await expect(page.getByText('The product label is the law.')).toBeVisible();

      // Every field is in the list and on the map, ranked or told as unknown.
      const entries = page.locator('ol').getByRole('button');
      await expect(entries).toHaveCount(14);
      const map = page.getByRole('group', { name: /^Map of the fields/ });
      await expect(map.getByRole('button')).toHaveCount(14);
      const ranks = await map.getByRole('button', { name: /rank \d+ of \d+/ }).count();
      expect(ranks).toBeGreaterThan(0);
      await expect(map.getByRole('button', { name: /nobody looked/ })).toHaveCount(14 - ranks);
      await expect(page.getByRole('list', { name: 'Fields nobody looked at' }).getByRole('button')).toHaveCount(
        14 - ranks,
      );

      // The order on the list is that of the marks on the map.
      const first = await entries.first().innerText();
      const firstName = first.replace(/^Rank 1:\s*/, '').trim();
      await expect(map.getByRole('button', { name: new RegExp(`^${firstName}, rank 1 of`) })).toBeVisible();

      // The two rankings, as a picture and as a table.
      await page.getByText('The same as a table').click();
      await expect(page.getByRole('table').getByRole('row')).toHaveCount(ranks + 1);

      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });

    test('a field is chosen by mouse and by keyboard, in the list and on the map alike', async ({ page }) => {
      const seen = watched(page);
      await page.goto('/');
      await studied(page);
      const list = page.locator('ol');
      const map = page.getByRole('group', { name: /^Map of the fields/ });

      await map.getByRole('button', { name: /^Home,/ }).click();
      await expect(list.getByRole('button', { name: /Home/ })).toHaveAttribute('aria-pressed', 'true');
      await expect(page.getByText('Seed laid down at harvest')).toBeVisible();
      expect(new URL(page.url()).hash).toBe('#field/home');

      // One Tab stop for the map; arrows walk over the fields; Enter chooses.
      await map.getByRole('button', { name: /^Home,/ }).focus();
      await page.keyboard.press('ArrowDown');
      const south = page.locator('[data-field]:focus');
      const southName = (await south.getAttribute('aria-label'))!.split(',')[0]!;
      expect(southName).not.toBe('Home');
      await page.keyboard.press('Enter');
      await expect(list.getByRole('button', { name: southName })).toHaveAttribute('aria-pressed', 'true');
      await expect(list.getByRole('button', { pressed: true })).toHaveCount(1);

      await list.getByRole('button', { name: /Old Lane/ }).focus();
      await page.keyboard.press('Space');
      await expect(map.getByRole('button', { name: /^Old Lane,/ })).toHaveAttribute('aria-pressed', 'true');
      expect(await faults(page)).toEqual([]);

      // A chosen field has an address.
      await page.reload();
      await expect(page.getByRole('progressbar')).toBeVisible();
      await expect(map.getByRole('button', { name: /^Old Lane/ })).toHaveAttribute('aria-pressed', 'true');
      expect(seen).toEqual([]);
    });
  });
}

test('long work is stopped by a press and goes on by another', async ({ page }) => {
  const seen = watched(page);
  await page.goto('/');
  const progress = page.getByRole('progressbar');
  await expect.poll(async () => Number(await progress.getAttribute('value'))).toBeGreaterThan(0);
  await expect(page.getByRole('group', { name: /^Map of the fields/ })).toBeVisible();
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect(page.getByRole('status')).toContainText('Stopped');
  await expect(progress).toHaveCount(0);
  await page.getByRole('button', { name: 'Go on' }).click();
  await studied(page);
  expect(seen).toEqual([]);
});

test('a bad file is refused in clear words, and what is shown stays', async ({ page }) => {
  const seen = watched(page);
  await page.goto('/');
  await studied(page);
  const choose = page.getByLabel('Choose a farm file');
  const review = page.getByRole('dialog');

  await choose.setInputFiles({ name: 'counts.csv', mimeType: 'text/csv', buffer: Buffer.from('a,b\n1,2\n') });
  await expect(review.getByRole('heading', { level: 1 })).toHaveText('This file cannot be added as it is');
  await expect(review.getByText('counts.csv is a table of no kind known here')).toBeVisible();
  await review.getByRole('button', { name: 'Cancel' }).click();

  const noFarm = writeArchive([{ name: 'notes.txt', bytes: new TextEncoder().encode('nothing') }]);
  await choose.setInputFiles({ name: 'notes.zip', mimeType: 'application/zip', buffer: Buffer.from(noFarm) });
  await expect(review.getByRole('button', { name: 'notes.txt' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(review).toBeHidden();

  expect(await faults(page)).toEqual([]);
  await page.emulateMedia({ colorScheme: 'dark' });
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});

test('a farm file of one’s own is opened and studied the same way', async ({ page }) => {
  const seen = watched(page);
  await page.goto('/');
  await expect(page.getByRole('progressbar')).toBeVisible();
  const sample = readFileSync('dist/sample/farm.zip');
  await page
    .getByLabel('Choose a farm file')
    .setInputFiles({ name: 'mine.zip', mimeType: 'application/zip', buffer: sample });
  await studied(page);
  await expect(page.getByRole('button', { name: 'Go back to the sample farm' })).toBeVisible();
  // The fetch of the sample is given up when another farm is wanted.
  expect(seen.filter((one) => !/^failed .*sample\/farm\.zip$/.test(one))).toEqual([]);
});
