/** The consultant reads from a field's own log and counts what weeds took: shown always, used only where every condition is met. */
import { expect, type Page, test } from '@playwright/test';
import { lossPercentAt } from '../../shared/agronomy/own-loss-curve.ts';
import { farmFileOf, faults, openSmallFarm, watched } from '../support/browser.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';
import { boundaries, counts, crops, harvestLog, scouting } from '../support/small-farm.ts';

/** Thin in the west of a field, thick in its east; the log yields what the curve leaves. */
const density = (x: number, y: number) => 30 * (x / 120) ** 2 * (0.6 + 0.4 * (y / 120));
const flow = (x: number, y: number) => 8 * (1 - lossPercentAt({ I: 9, A: 65 }, density(x, y)) / 100);
const counted = (x: number, y: number) => Math.round(density(x, y));
/** West has places enough, East too few, Middle no log. */
const records = {
  'boundaries.geojson': boundaries(),
  'crops.csv': crops,
  'west-soybean-harvest.csv': harvestLog('West', '2026-10-03', 50_000, flow),
  'east-soybean-harvest.csv': harvestLog('East', '2026-10-04', 50_000, flow),
  'rounds.csv': scouting(
    counts('West', [8, 6], counted),
    counts('Middle', [4, 4], counted),
    counts('East', [4, 4], counted),
  ),
};

const go = (page: Page, place: string) =>
  page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: place }).click();

for (const { name, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('the consultant reads what weeds took by the records, and whether the loss rests on it', async ({ page }) => {
      const seen = watched(page);
      await openSmallFarm(page, farmFileOf(records));
      await go(page, 'Harvest');
      const press = (field: string) =>
        page
          .getByRole('row', { name: new RegExp(`^${field}`) })
          .getByRole('button', { name: field })
          .click();
      const back = () => page.getByRole('button', { name: 'Back to all fields' }).click();

      // Enough places: the curve stands in for the literature's, and says why it may.
      await press('West');
      const own = page.getByRole('region', { name: 'What weeds took from the yield, by West’s own records' });
      const picture = own.getByRole('figure', { name: /the records say a loss of .+; the literature says/ });
      await expect(picture.getByRole('img', { name: /Yield by weed density at \d+ places/ })).toBeVisible();
      await expect(own.getByRole('heading', { name: /^This curve is used for this season’s loss/ })).toBeVisible();
      await expect(own.getByText('Not met.')).toHaveCount(0);

      // The same as a table by one key; a number opens its working, with its interval.
      await picture.getByRole('button', { name: 'As a table' }).focus();
      await page.keyboard.press('t');
      await expect(picture.getByRole('row')).toHaveCount(49);
      await page.keyboard.press('t');
      await picture.getByRole('button', { name: /%/ }).first().click();
      await expect(page.getByText(/80% profile interval/).first()).toBeVisible();
      await page.keyboard.press('Escape');
      expect(await faults(page)).toEqual([]);

      // Too few: shown with the same picture, and not used.
      await back();
      await press('East');
      const few = page.getByRole('region', { name: 'What weeds took from the yield, by East’s own records' });
      await expect(few.getByRole('img', { name: /Yield by weed density at 1\d places/ })).toBeVisible();
      await expect(few.getByRole('heading', { name: /^This curve is shown, not used/ })).toBeVisible();
      await expect(few.getByText('Not met.').first()).toBeVisible();

      // No log: nothing is drawn, and it says why.
      await back();
      await press('Middle');
      await expect(
        page.getByText(/What weeds took from the yield of Middle cannot be read .+ there is no harvest log/),
      ).toBeVisible();
      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}
