/** The applicator types product, sprayer and rate from the label, and takes the zones as machine files, on paper and as a table. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import type { Position } from 'geojson';
import { expect, type Locator, type Page, test } from '@playwright/test';
import shp from 'shpjs';
import { openArchive } from '../../shared/import/archive.ts';
import { geojsonImporter } from '../../shared/import/geojson.ts';
import { shapefileImporter } from '../../shared/import/shapefile.ts';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { boundariesIn, bundleOf, readAll } from '../support/bundle.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';
import { placeIn, SIDE_M } from '../support/small-farm.ts';

const go = (page: Page, place: string) =>
  page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: place }).click();

async function downloaded(page: Page, button: Locator): Promise<{ name: string; bytes: Uint8Array }> {
  const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
  return { name: download.suggestedFilename(), bytes: new Uint8Array(readFileSync(await download.path())) };
}

/** Every corner lies in West, to a centimetre. */
function expectInWest(area: Position[][][]): void {
  const corners = area.flat(2);
  const [low, high] = [placeIn('West', 0, 0), placeIn('West', SIDE_M, SIDE_M)];
  const CENTIMETRE = 1e-7;
  expect(corners.length).toBeGreaterThan(4);
  for (const [lon, lat] of corners as [number, number][]) {
    expect(lon).toBeGreaterThan(low[0] - CENTIMETRE);
    expect(lon).toBeLessThan(high[0] + CENTIMETRE);
    expect(lat).toBeGreaterThan(low[1] - CENTIMETRE);
    expect(lat).toBeLessThan(high[1] + CENTIMETRE);
  }
}

/** Of the printed order, where there is a program that reads it. */
function wordsOfPdf(path: string): string | null {
  const reader = ['/usr/bin/pdftotext', '/usr/local/bin/pdftotext'].find((one) => existsSync(one));
  if (reader) return execFileSync(reader, ['-layout', path, '-'], { encoding: 'utf8' });
  console.warn('skipped: pages of the printed order, no pdftotext on this machine');
  return null;
}

for (const { name, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('the applicator gets zones, totals, loads, files and the printed order', async ({ page }, info) => {
      const seen = watched(page);
      await openSmallFarm(page);
      const main = page.getByRole('main');
      const finding = page.getByRole('heading', { level: 1 });

      // A product, typed from its label; what is missing is told where it is missing.
      await go(page, 'Plan');
      await main.getByRole('button', { name: 'Products', exact: true }).click();
      await main.getByRole('button', { name: 'Type a product in from its label' }).click();
      const product = main.getByRole('form', { name: 'A new product' });
      await product.getByLabel('Name on the label').fill('Residual as typed');
      await product.getByLabel('Active ingredient').fill('S-metolachlor');
      await product.getByLabel('Group', { exact: true }).fill('15');
      await product.getByLabel('Strength').fill('7.6');
      await product.getByLabel('Lowest rate').fill('16');
      await product.getByLabel('Highest rate').fill('24');
      await product.getByLabel('Re-entry interval').fill('24');
      await product.getByRole('button', { name: 'Keep the product' }).click();
      await expect(product.getByLabel('Full rate')).toHaveAttribute('aria-invalid', 'true');
      await product.getByLabel('Full rate').fill('21');
      await product.getByRole('button', { name: 'Keep the product' }).click();
      await expect(main.getByRole('heading', { name: /Residual as typed/ }).first()).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // The field; nothing goes out before it is said what its crop tolerates.
      await go(page, 'Hand-off');
      await main.getByRole('button', { name: 'West', exact: true }).click();
      await expect(finding).toContainText(
        'West cannot be handed off before it is said what its corn of 2027 tolerates',
      );
      await main.getByLabel('Ingredients and groups that it tolerates').fill('S-metolachlor');
      await main.getByRole('button', { name: 'It tolerates these' }).click();

      // The sprayer as it is known.
      await main.getByRole('button', { name: 'Tell the sprayer' }).click();
      const sprayer = main.getByRole('form', { name: 'A sprayer' });
      await sprayer.getByLabel('Tank, usable').fill('20');
      await sprayer.getByLabel('Boom width').fill('60');
      await sprayer.getByLabel('Sections').fill('none');
      await sprayer.getByRole('button', { name: 'Keep the sprayer' }).click();
      await expect(sprayer.getByLabel('Sections')).toHaveAttribute('aria-invalid', 'true');
      await sprayer.getByLabel('Sections').fill('6');
      await sprayer.getByRole('button', { name: 'Keep the sprayer' }).click();
      await expect(main.getByText(/Boom 60\.0 ft in 6 sections of 10\.0 ft/)).toBeVisible();

      // No rate is proposed; nonsense and a rate above the label are refused where they were typed.
      const rate = main.getByRole('textbox', { name: 'Rate', exact: true });
      await main.getByRole('combobox', { name: 'Product', exact: true }).selectOption({ index: 1 });
      await expect(rate).toHaveValue('');
      await rate.fill('a little');
      await expect(main.getByText('“a little” is no number.').first()).toBeVisible();
      await expect(rate).toHaveAttribute('aria-invalid', 'true');
      await rate.fill('160');
      await expect(main.getByText(/above the highest rate of Residual as typed/).first()).toBeVisible();
      await expect(main.getByRole('button', { name: /as shapefile/ })).toHaveCount(0);
      await rate.fill('-3');
      await expect(rate).toHaveAttribute('aria-invalid', 'true');
      await rate.fill('20');
      await main.getByLabel('Spray volume').fill('15');
      await expect(finding).toContainText(
        /1\.70 ac in 1 zone of West are\s+ready for 2 tank loads of Residual as typed/,
      );
      // 1.70 ac by 20 fl oz, and by 15 gal, in a tank of 20.
      await expect(main.getByRole('row', { name: /^in all 1\.70 ac 3[45]/ })).toBeVisible();
      await expect(
        main.getByText(/^1 full load of 20\.0 gal, each with 26\.67 fl oz Residual as typed\.$/),
      ).toBeVisible();
      await expect(main.getByText('Outside the zones the machine applies nothing.')).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // Files, read back by the page, by our readers, and by another one.
      const zipped = await downloaded(page, main.getByRole('button', { name: /as shapefile/ }));
      await expect(main.getByRole('status').filter({ hasText: /Read back from .*\.shp: 1 zone/ })).toBeVisible();
      const ours = boundariesIn(readAll(shapefileImporter, bundleOf(zipped.name, zipped.bytes)));
      expect(ours.features.map((one) => one.properties['rate'])).toEqual([20]);
      const entries = openArchive(zipped.bytes);
      if (!entries.ok) throw new Error('not a zip');
      const part = (ending: string) => {
        const read = entries.value.find((one) => one.name.endsWith(ending))!.read();
        if (!read.ok) throw new Error(ending);
        return read.value;
      };
      const theirs = await shp({ shp: part('.shp'), dbf: part('.dbf'), prj: part('.prj'), cpg: part('.cpg') });
      expect(theirs.features).toHaveLength(1);
      expect(theirs.features[0]!.properties).toMatchObject({ field: 'West', rate: 20 });
      const { geometry } = theirs.features[0]!;
      if (geometry.type !== 'Polygon' && geometry.type !== 'MultiPolygon') throw new Error(geometry.type);
      expectInWest(geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates);
      expect(new TextDecoder().decode(part('README.txt'))).toContain('The product label is the law.');

      const geojson = await downloaded(page, main.getByRole('button', { name: /as GeoJSON/ }));
      expect(geojson.name).toMatch(/^West-2027-.*\.geojson$/);
      const read = boundariesIn(readAll(geojsonImporter, bundleOf(geojson.name, geojson.bytes)));
      expect(read.features).toHaveLength(1);
      expect(Object.keys(read.features[0]!.properties)).toContain('rate_fl_oz_ac');
      const features = JSON.parse(new TextDecoder().decode(geojson.bytes)).features as {
        geometry: { type: string; coordinates: never };
      }[];
      for (const { geometry: it } of features) expectInWest(it.type === 'Polygon' ? [it.coordinates] : it.coordinates);

      // Rates kept in the plan are one edit.
      await main.getByRole('button', { name: 'Keep these rates in the plan for 2027' }).click();
      await expect(main.getByText('These rates are kept in the plan for 2027.')).toBeVisible();

      // On paper: only the order, with its map, totals, loads, cautions and pages.
      await page.emulateMedia({ media: 'print' });
      const sheet = page.locator('.print-sheet');
      await expect(sheet).toBeVisible();
      await expect(main).toBeHidden();
      await expect(sheet.getByText('The product label is the law: where it and this order differ')).toBeVisible();
      await expect(sheet.getByRole('img', { name: /Map of West with its zones/ })).toBeVisible();
      await expect(sheet.getByRole('row', { name: /^A west-A 1\.70 ac 3[45]/ })).toBeVisible();
      await expect(sheet.getByRole('heading', { name: 'Loads' }).locator('..')).toContainText(
        '1 full load of 20.0 gal',
      );
      await expect(
        sheet.getByRole('heading', { name: 'Cautions' }).locator('..').getByRole('listitem'),
      ).not.toHaveCount(0);
      const path = info.outputPath('order.pdf');
      await page.pdf({ path, preferCSSPageSize: true, printBackground: true });
      const words = wordsOfPdf(path);
      if (words !== null) {
        expect(words).toContain('Cautions');
        expect(words).toMatch(/Nobody enters for 24 hours/);
        expect(words).toMatch(/Page 1 of \d/);
        expect(words).toContain('Signature');
      }
      await page.emulateMedia({ media: null });

      // The zones as a table for a spreadsheet.
      await go(page, 'Plan');
      await main.getByRole('button', { name: 'Zones', exact: true }).click();
      await main.getByText('All zones as a table').click();
      const csv = await downloaded(page, main.getByRole('button', { name: /^Table as CSV ?: the zones of West/ }));
      const lines = new TextDecoder().decode(csv.bytes).trim().split(/\r?\n/);
      expect(lines[0]).toMatch(/Zone,Rank,Area/);
      expect(lines.slice(1).map((line) => line.split(',')[0])).toEqual(['Zone A', 'Outside']);
      expect(Number(lines[1]!.split(',')[2])).toBeCloseTo(1.7, 1);
      await saved(page);
      expect(seen).toEqual([]);
    });
  });
}
