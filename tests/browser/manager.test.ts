/** A manager with nothing but boundaries and a morning's knowledge: rates fields, sees the order change, takes it back. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from '@playwright/test';
import { realDataPath } from '../support/real-data.ts';

/** A farm file with boundaries only: real ones where they are beside the repository, else the sample's. */
function boundariesOnly(): Buffer {
  const path = realDataPath('fields/csb-farm.geojson') ?? 'sample-data/files/boundaries.geojson';
  const folder = mkdtempSync(join(tmpdir(), 'seedfall-'));
  const farm = join(folder, 'bare.zip');
  const seedfall = (...words: string[]) => execFileSync(process.execPath, ['dist-cli/seedfall.mjs', ...words]);
  seedfall('new', farm, '--name', 'Bare Farm');
  seedfall('add', farm, path);
  const bytes = readFileSync(farm);
  rmSync(folder, { recursive: true });
  return bytes;
}

test('a manager rates fields by one press, sees the order change, and undoes it', async ({ page }) => {
  const seen: string[] = [];
  page.on('console', (message) => seen.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => seen.push(`error: ${error.message}`));
  await page.goto('/');
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'bare.zip', mimeType: 'application/zip', buffer: boundariesOnly() });
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Nobody has looked at any');
  const unlooked = page.getByRole('list', { name: 'Fields nobody looked at' }).getByRole('listitem');
  const count = await unlooked.count();
  expect(count).toBeGreaterThan(1);

  await unlooked.nth(0).getByRole('button', { name: 'few' }).click();
  await expect(page.getByRole('list', { name: 'Present' }).getByRole('listitem')).toHaveCount(1);
  await expect(unlooked).toHaveCount(count - 1);

  // By the keyboard: the fourth word is patches; the field goes to the head of the order and keeps the focus.
  const next = unlooked.nth(0).getByRole('button').first();
  await next.focus();
  await page.keyboard.press('4');
  await expect(page.getByRole('list', { name: 'Established' }).getByRole('listitem')).toHaveCount(1);
  await expect(page.getByRole('button', { name: /^Rank 1:/ })).toBeFocused();

  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(page.getByRole('list', { name: 'Established' })).toHaveCount(0);
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(unlooked).toHaveCount(count);
  expect(seen).toEqual([]);
});
