/** A manager with nothing but boundaries and a morning's knowledge: begins a farm, drops its boundaries, rates fields, sees the order change. */
import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { faults, saved, watched } from '../support/browser.ts';
import { drop } from '../support/dropping.ts';
import { realDataPath } from '../support/real-data.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';

/** Boundaries of a real farm where they are beside the repository, else the sample's; with their sum as others computed it. */
function boundaries(): { name: string; text: string; fields: number; acres: RegExp } {
  const real = realDataPath('fields/csb-farm.geojson');
  const text = readFileSync(real ?? 'sample-data/files/boundaries.geojson', 'utf8');
  const fields = (JSON.parse(text) as { features: unknown[] }).features.length;
  // 4 766 010.9 m² by GeographicLib's Planimeter.
  return real
    ? { name: 'csb-farm.geojson', text, fields, acres: /1,178 ac/ }
    : { name: 'boundaries.geojson', text, fields, acres: /\d ac/ };
}

const map = (page: Page) => page.getByRole('group', { name: /^Map of the fields of Creek Farm/ });
const rankOn = (page: Page, rank: string) => map(page).getByRole('button', { name: new RegExp(`, rank ${rank}$`) });

for (const { name, finger, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('a manager drops boundaries, rates fields by one press, sees the order change, and undoes it', async ({
      page,
    }) => {
      const seen = watched(page);
      const given = boundaries();

      // The sample opens by itself; a farm of one's own begins beside it.
      await page.goto('/');
      await page.getByRole('button', { name: /^Farms/ }).click();
      await page.getByLabel('Name of the farm').fill('Creek Farm');
      await page.getByRole('button', { name: 'Start this farm' }).click();
      await expect(page.getByRole('heading', { level: 1 })).toContainText('The farm has no fields yet');
      await drop(page, { [given.name]: given.text });
      const review = page.getByRole('dialog');
      await expect(review.getByRole('heading', { level: 1 })).toContainText(`This file brings ${given.fields} fields`);
      expect(await faults(page)).toEqual([]);
      await review.getByRole('button', { name: 'Add 1 file' }).click();
      await expect(review).toBeHidden();

      // Nothing is known, and nothing is guessed.
      await expect(page.getByRole('heading', { level: 1 })).toContainText(
        `Nobody has looked at any of the ${given.fields} fields yet`,
      );
      await expect(page.getByText(`Creek Farm · ${given.fields} fields · `)).toContainText(given.acres);
      await expect(map(page).getByRole('button', { name: /, nobody looked$/ })).toHaveCount(given.fields);
      const unlooked = page.getByRole('list', { name: 'Fields nobody looked at' }).getByRole('listitem');
      await expect(unlooked).toHaveCount(given.fields);

      // One press; the list and the map follow.
      await unlooked.nth(0).getByRole('button', { name: 'few' }).click();
      const present = page.getByRole('list', { name: 'Present' }).getByRole('listitem');
      await expect(present).toHaveCount(1);
      await expect(unlooked).toHaveCount(given.fields - 1);
      await expect(rankOn(page, '1 of 1')).toHaveCount(1);
      const few = (await rankOn(page, '1 of 1').getAttribute('data-field'))!;

      // The next one is worse: it goes before. By the keyboard the fourth word is patches, and the focus stays with the field.
      if (finger) await unlooked.nth(0).getByRole('button', { name: 'patches' }).tap();
      else {
        await unlooked.nth(0).getByRole('button').first().focus();
        await page.keyboard.press('4');
        await expect(page.getByRole('button', { name: /^Rank 1:/ })).toBeFocused();
      }
      await expect(page.getByRole('list', { name: 'Established' }).getByRole('listitem')).toHaveCount(1);
      await expect(rankOn(page, '1 of 2')).not.toHaveAttribute('data-field', few);
      await expect(rankOn(page, '2 of 2')).toHaveAttribute('data-field', few);
      await expect(page.getByRole('heading', { level: 1 })).toContainText(`of ${given.fields} fields`);

      // Where none was seen the field is told as such, not as unknown.
      await unlooked.nth(0).getByRole('button', { name: 'none seen' }).click();
      await expect(unlooked).toHaveCount(given.fields - 3);
      await expect(map(page).getByRole('button', { name: /, nobody looked$/ })).toHaveCount(given.fields - 3);
      await expect(rankOn(page, '2 of 3')).toHaveAttribute('data-field', few);
      expect(await faults(page)).toEqual([]);

      // Kept, and taken back step by step.
      await saved(page);
      await expect(page.getByRole('progressbar')).toHaveCount(0);
      await page.reload();
      await expect(rankOn(page, '2 of 3')).toHaveAttribute('data-field', few);
      const undo = page.getByRole('button', { name: /^Undo ?: (?!nothing)/ });
      await undo.click();
      await expect(rankOn(page, '2 of 2')).toHaveAttribute('data-field', few);
      await undo.click();
      await expect(rankOn(page, '1 of 1')).toHaveAttribute('data-field', few);
      await undo.click();
      await expect(unlooked).toHaveCount(given.fields);
      await expect(page.getByRole('list', { name: 'Present' })).toHaveCount(0);
      await saved(page);
      expect(seen).toEqual([]);
    });
  });
}
