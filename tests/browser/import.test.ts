/** The consultant drops what the farm has, sees how each file was read, mends what was guessed wrong, and takes it in. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, type Page, test } from '@playwright/test';
import { writeArchive } from '../../shared/import/archive.ts';
import { faults, openEmptyPage, saved, watched } from '../support/browser.ts';
import { drop } from '../support/dropping.ts';
import { realDataPath } from '../support/real-data.ts';
import { boundaries, counts, harvestLog, scouting, SCOUTING_HEADER } from '../support/small-farm.ts';

const photo = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16);
const review = (page: Page) => page.getByRole('dialog');
const heading = (page: Page) => review(page).getByRole('heading', { level: 1 });
async function backToList(page: Page): Promise<void> {
  const back = review(page).getByRole('button', { name: 'Back to the files' });
  if (await back.isVisible()) await back.click();
}

/** Opens one file of the review; on a phone from the list, which it covers. */
async function look(page: Page, name: string): Promise<void> {
  await backToList(page);
  await review(page).getByRole('button', { name, exact: true }).click();
}

/** Counts with 0.25 m² quadrats whose column says no unit, and two rows that cannot be used. */
const rounds = [
  SCOUTING_HEADER.replace('quadrat_m2', 'quadrat'),
  ...counts('West', [5, 5]).map((row) => row.replace(/,1$/, ',0.25')),
  '2026-08-28,West,-93.4995,42.0005,waterhemp,many,0.25',
  '2026-08-28,West,-93.4995,42.0005,waterhemp,-3,0.25',
].join('\n');

const SCREENS = [
  { name: 'on a desk', viewport: { width: 1440, height: 900 } },
  { name: 'on a phone', viewport: { width: 390, height: 844 } },
] as const;

for (const { name, viewport } of SCREENS) {
  test.describe(name, () => {
    test.use({ viewport });

    test('boundaries, counts and a harvest log are read, mended, accepted and taken back', async ({ page }) => {
      const seen = watched(page);
      await openEmptyPage(page);
      await drop(page, {
        'west-soybean.csv': harvestLog('West'),
        'rounds.csv': rounds,
        'fields.geojson': boundaries(),
      });
      await expect(heading(page)).toContainText('3 files bring 3 fields');
      await expect(heading(page)).toContainText('a round of 25 observations on 1 field');
      await expect(heading(page)).toContainText('the harvest of West (910 records)');

      // What it was taken for, why, and where it lies.
      await look(page, 'west-soybean.csv');
      await expect(review(page).getByText('Taken for a harvest log:')).toBeVisible();
      await expect(review(page).getByRole('img', { name: /^Plan: 910 records of the log/ })).toBeVisible();
      await expect(review(page).getByRole('combobox', { name: 'Unit of mass flow' })).toHaveValue('kg/s');
      expect(await faults(page)).toEqual([]);

      // A unit that was guessed is said, and the file is read again at once.
      await look(page, 'rounds.csv');
      const unit = review(page).getByRole('combobox', { name: 'Unit of the area looked at' });
      await expect(unit).toHaveValue('m2');
      await expect(review(page).getByText('on 67 ft² looked at')).toBeVisible();
      await unit.selectOption('ft2');
      await expect(review(page).getByText('on 6 ft² looked at')).toBeVisible();
      await expect(review(page).getByText('said by a person')).toBeVisible();

      // Each problem leads to its row.
      await expect(
        review(page).getByText('“many” is no count').or(review(page).getByText('"many" is no count')),
      ).toBeVisible();
      await review(page).getByText('Show the row').first().click();
      await review(page)
        .getByRole('button', { name: /^Row 2[78]$/ })
        .first()
        .click();
      await expect(review(page).locator('tr.marked')).toContainText(/many|-3/);
      expect(await faults(page)).toEqual([]);

      // Nothing changed so far; then it is one edit.
      await backToList(page);
      await review(page).getByLabel('named').fill('Creek Farm');
      await review(page).getByRole('button', { name: 'Add 3 files' }).click();
      await expect(review(page)).toBeHidden();
      const added = page.getByRole('status').filter({ hasText: 'Added 3 fields' });
      await expect(added).toBeVisible();
      await expect(page.getByRole('button', { name: /Creek Farm/ }).first()).toBeVisible();
      const map = page.getByRole('group', { name: /^Map of the fields of Creek Farm/ });
      await expect(map.getByRole('button', { name: /^West, rank 1/ })).toBeVisible();

      // One step takes all of it back.
      await added.getByRole('button', { name: 'Undo' }).click();
      await expect(page.getByRole('heading', { name: 'Begin with the boundaries of the fields' })).toBeVisible();
      expect(seen).toEqual([]);
    });
  });
}

test('bad files are told in place with what to do, and cancel leaves everything as it was', async ({ page }) => {
  const seen = watched(page);
  await openEmptyPage(page);
  const zip = writeArchive([{ name: 'crops.csv', bytes: new TextEncoder().encode('a,b\n1,2\n') }]);
  const round = scouting(counts('West', [2, 2]));
  await drop(page, {
    ...Object.fromEntries(Array.from({ length: 37 }, (_, n) => [`IMG_${n}.jpg`, photo])),
    'cut.zip': zip.subarray(0, zip.length - 40),
    'rounds.csv': round,
    'rounds (1).csv': round,
    'fields.geojson': boundaries(),
    'notes.txt': 'Dear Sir,\nthe weather was fine.\nYours\n',
    'map.kml': '<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"></kml>',
    'groceries.csv': 'item,price\nmilk,1.20\nbread,2.10\n',
  });
  await expect(heading(page)).toContainText('2 of 7 files can be added: 3 fields and a round of 4 observations');
  await expect(review(page).getByText('37 pictures were left alone: they hold no records.')).toBeVisible();
  await expect(review(page).getByText('4 files cannot be used: press one to see why.')).toBeVisible();

  await look(page, 'cut.zip');
  await expect(review(page).getByText('Copy or download it again.')).toBeVisible();
  await look(page, 'rounds (1).csv');
  await expect(review(page).getByText('is the same file as rounds.csv, byte for byte').last()).toBeVisible();
  await look(page, 'map.kml');
  await expect(review(page).getByText('Export it as GeoJSON or as a shapefile.')).toBeVisible();
  await look(page, 'groceries.csv');
  await expect(review(page).getByText('If it is a record, say above what it is.')).toBeVisible();
  await expect(review(page).getByRole('cell', { name: 'bread' })).toBeVisible();
  expect(await faults(page)).toEqual([]);

  await page.keyboard.press('Escape');
  await expect(review(page)).toBeHidden();
  await expect(page.getByText('There is no farm “nobody-has-this” on this machine.')).toBeVisible();

  // A reload in the middle loses nothing: nothing had changed.
  await drop(page, { 'fields.geojson': boundaries() });
  await expect(heading(page)).toContainText('This file brings 3 fields');
  await page.reload();
  await expect(page.getByText('There is no farm “nobody-has-this” on this machine.')).toBeVisible();
  expect(seen).toEqual([]);
});

test('long reading shows how far it is, is stopped, and goes on by a press', async ({ page }) => {
  const seen = watched(page);
  await openEmptyPage(page);
  const [header, ...rows] = harvestLog('West').trim().split('\n');
  const long = [header, ...Array.from({ length: 300 }, () => rows).flat()].join('\n');
  await drop(page, { 'fields.geojson': boundaries(), 'long.csv': long });
  await expect(review(page).getByRole('progressbar', { name: /long\.csv/ })).toBeVisible();
  await review(page).getByRole('button', { name: 'Stop' }).click();
  await expect(heading(page)).toContainText('1 of 2 files can be added: 3 fields');
  await look(page, 'long.csv');
  await review(page).getByRole('button', { name: 'Read it' }).click();
  await expect(heading(page)).toContainText('2 files bring 3 fields and the harvest of West');
  expect(seen).toEqual([]);
});

test('a folder of photos is left alone, and what the farm has already is not added twice', async ({ page }) => {
  const seen = watched(page);
  await openEmptyPage(page);
  const folder = mkdtempSync(join(tmpdir(), 'photos-'));
  mkdirSync(join(folder, 'phone'));
  for (let n = 0; n < 12; n++) writeFileSync(join(folder, 'phone', `IMG_${n}.jpg`), photo);
  await page.getByLabel('or a whole folder').setInputFiles(folder);
  await expect(heading(page)).toContainText('There is nothing to add in what was dropped');
  await expect(review(page).getByText('12 pictures were left alone: they hold no records.')).toBeVisible();
  await expect(review(page).getByRole('button', { name: 'Nothing to add' })).toBeDisabled();
  expect(await faults(page)).toEqual([]);
  await page.keyboard.press('Escape');
  rmSync(folder, { recursive: true });

  const round = scouting(counts('West', [5, 5]));
  await drop(page, { 'fields.geojson': boundaries(), 'rounds.csv': round });
  await review(page).getByRole('button', { name: 'Add 2 files' }).click();
  await expect(review(page)).toBeHidden();
  await saved(page);
  await drop(page, { 'copy of rounds.csv': round, 'fields (2).geojson': boundaries() });
  const files = review(page).getByRole('list', { name: 'Files' });
  await expect(files.getByText('copy of rounds.csv is already in the farm as rounds.csv.')).toBeVisible();
  await expect(files.getByText('fields (2).geojson is already in the farm as fields.geojson.')).toBeVisible();
  await expect(review(page).getByRole('button', { name: 'Nothing to add' })).toBeDisabled();
  expect(seen).toEqual([]);
});

test('a file of 500 MB holds nothing up, is stopped, and the others are added; what is too large is told', async ({
  page,
}) => {
  const seen = watched(page);
  await openEmptyPage(page);
  const [header, ...rows] = harvestLog('West').trim().split('\n');
  const bytes = 500e6;
  await drop(
    page,
    { 'fields.geojson': boundaries() },
    {
      'combine.csv': { head: `${header}\n`, block: `${rows.join('\n')}\n`, bytes },
      'county.geojson': {
        head: '{"type":"FeatureCollection","features":[',
        block: '{"type":"Feature","properties":{},"geometry":null},'.repeat(1000),
        bytes: 600e6,
      },
      'backup.bin': { head: '\0\u0001', block: '\0\u0002\u0003'.repeat(10_000), bytes },
    },
  );
  await expect(review(page).getByRole('progressbar', { name: /combine\.csv/ })).toBeVisible();
  // What was read already can be looked at meanwhile.
  await look(page, 'fields.geojson');
  await expect(review(page).getByRole('img', { name: /^Plan: 3 outlines of the file/ })).toBeVisible();
  await review(page).getByRole('button', { name: 'Stop' }).click();
  await expect(heading(page)).toContainText('1 of 4 files can be added: 3 fields');
  // What waited is read by a press.
  await look(page, 'county.geojson');
  await review(page).getByRole('button', { name: 'Read it' }).click();
  await expect(review(page).getByText('Cut the farm’s own fields out of it, and bring those in.')).toBeVisible();
  await expect(review(page).getByRole('list', { name: 'Files' })).toContainText('larger than 512 MiB');
  await look(page, 'backup.bin');
  await review(page).getByRole('button', { name: 'Read it' }).click();
  await expect(review(page).getByRole('list', { name: 'Files' })).toContainText('backup.bin is of no kind known here.');
  await review(page).getByRole('button', { name: 'Add 1 file' }).click();
  await expect(review(page)).toBeHidden();
  await expect(page.getByRole('group', { name: /^Map of the fields/ }).getByRole('button')).toHaveCount(3);
  expect(seen).toEqual([]);
});

test('real boundaries and a real harvest log are read as others read them', async ({ page }) => {
  const [fields, parts, log] = [
    'fields/montana-manitoba-fields.geojson',
    'fields/shapefile/sec35mid_bbox.zip',
    'yield/sec1west-2014.csv',
  ].map(realDataPath);
  test.skip(!fields || !parts || !log, 'the real files are not beside the repository');
  const seen = watched(page);
  await openEmptyPage(page);
  await drop(page, {
    'fields.geojson': readFileSync(fields!),
    'sec35mid_bbox.zip': readFileSync(parts!),
    'sec1west-2014.csv': readFileSync(log!),
  });
  await expect(heading(page)).toContainText('3 files bring 7 fields and the harvest of sec1west (47,872 records)');
  // Areas by GeographicLib's Planimeter, together 3 291 115.5 m²; rows and times by R.
  await look(page, 'fields.geojson');
  await expect(review(page).getByText('5 fields, together 813 ac.')).toBeVisible();
  await look(page, 'sec1west-2014.csv');
  await expect(review(page).getByText('47,872 records from 2014-08-01 13:51 to 2014-08-29 11:27 UTC.')).toBeVisible();
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});
