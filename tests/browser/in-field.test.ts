/** The consultant marks what stands in the field with a phone, and the office takes it in. */
import { readFileSync } from 'node:fs';
import { type BrowserContext, expect, type Page, test } from '@playwright/test';
import { openArchive } from '../../shared/import/archive.ts';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { drop } from '../support/dropping.ts';
import { placeIn } from '../support/small-farm.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
const DESK = { viewport: { width: 1440, height: 900 } };
const markPress = (page: Page) => page.getByRole('button', { name: 'Mark here' });
const heading = (page: Page) => page.getByRole('heading', { level: 1 });

/** The graphics of a machine without a graphics device say how slowly they read pixels: that is no fault of the page. */
const isTold = (line: string) => !line.includes('GL Driver Message (OpenGL, Performance');

/** The notes in a zip, written otherwise. */
function respelled(zip: Uint8Array): string {
  const opened = openArchive(zip);
  const notes = opened.ok ? opened.value.find((one) => one.name.endsWith('.json'))?.read() : null;
  if (!notes?.ok) throw new Error('no notes in the zip');
  return JSON.stringify(JSON.parse(new TextDecoder().decode(notes.value)));
}

/** The phone says that it stands so many meters from the corner of West. */
function standAt(phone: BrowserContext, x: number, y: number, accuracy = 4): Promise<void> {
  const [longitude, latitude] = placeIn('West', x, y);
  return phone.setGeolocation({ longitude, latitude, accuracy });
}

async function begin(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Begin: find my position' }).tap();
  await expect(heading(page)).toHaveText('You are in West, within 13 ft');
}

async function mark(page: Page, plants: number): Promise<void> {
  await page.getByRole('button', { name: `${plants} plants`, exact: true }).tap();
  await markPress(page).tap();
}

test('three finds are marked on a phone without a network, sent as one file, and merged at the office', async ({
  browser,
}) => {
  const phone = await browser.newContext({ ...PHONE, permissions: ['geolocation'] });
  const page = await phone.newPage();
  const seen = watched(page);
  await openSmallFarm(page);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.getByRole('button', { name: 'Infestation' }).tap();
  await page.getByRole('button', { name: 'Mark in the field, on a phone' }).tap();
  await expect(page.getByText('stays on this device until you send')).toBeVisible();
  await standAt(phone, 10, 10);
  await phone.setOffline(true);
  await begin(page);

  // A count and its ground are never assumed.
  await markPress(page).tap();
  await expect(page.getByRole('status').filter({ hasText: 'Say first how many' })).toBeVisible();
  await page.getByLabel('Area looked at').fill('10');
  await mark(page, 5);
  await expect(page.getByText('Marked: waterhemp, 5 in West, within 13 ft.')).toBeVisible();
  expect(await faults(page)).toEqual([]);

  // On the move it is blocked; standing again it is not, and the ground is the one before.
  let x = 10;
  await expect(async () => {
    await standAt(phone, (x += 5), 10);
    await expect(heading(page)).toHaveText('Stop before you mark', { timeout: 700 });
  }).toPass({ timeout: 15_000 });
  await expect(markPress(page)).toHaveCount(0);
  await expect(heading(page)).toHaveText('You are in West, within 13 ft');
  await page.getByText('or more', { exact: true }).tap();
  await mark(page, 20);
  await expect(page.getByText('Marked: waterhemp, 20 or more in West')).toBeVisible();
  await saved(page);

  // In the middle of the work the phone starts anew, still without a network.
  await page.reload();
  await expect(page.getByRole('heading', { name: '2 finds marked' })).toBeVisible();
  await begin(page);
  // A jump is told and not trusted; a position that is bad is asked about.
  await standAt(phone, 232, 10);
  await expect(heading(page)).toContainText('Your position jumped');
  await standAt(phone, 24, 10, 40);
  await expect(heading(page)).toHaveText('You are in West, within 130 ft');
  await mark(page, 0);
  await expect(page.getByText('Your position is good to 130 ft only.')).toBeVisible();
  await page.getByRole('button', { name: 'Mark it all the same' }).tap();
  await expect(page.getByRole('heading', { name: '3 finds marked' })).toBeVisible();

  // A slip is taken back, and back again.
  await page.getByRole('button', { name: /^Take back waterhemp, 20 or more/ }).tap();
  await expect(page.getByRole('heading', { name: '2 finds marked' })).toBeVisible();
  await standAt(phone, 44, 30, 40);
  await page.getByText('Height, picture, note').tap();
  await page.getByLabel('Height of the tallest').fill('4');
  await page.getByLabel('Take a picture').setInputFiles('public/icon-192.png');
  await expect(page.getByText('a picture is taken')).toBeVisible();
  await page.getByText('or more', { exact: true }).tap();
  await mark(page, 20);
  await page.getByRole('button', { name: 'Mark it all the same' }).tap();
  await expect(page.getByText('with a picture')).toBeVisible();
  expect(await faults(page)).toEqual([]);

  const downloading = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Send: save one file with all of them' }).tap();
  const download = await downloading;
  expect(download.suggestedFilename()).toMatch(/^small-farm-field-notes-\d{8}T\d{6}\.zip$/);
  const sent = new Uint8Array(readFileSync(await download.path()));
  expect(seen.filter(isTold)).toEqual([]);
  await phone.close();

  // At the office, on another machine with the same farm.
  const office = await browser.newContext(DESK);
  const desk = await office.newPage();
  const seenThere = watched(desk);
  await openSmallFarm(desk);
  const review = desk.getByRole('dialog');
  await drop(desk, { 'from-the-phone.zip': sent });
  await expect(review.getByRole('heading', { level: 1 })).toHaveText(
    'This file brings 3 finds of field notes on 1 field',
  );
  await expect(review.getByText('its position is good to 40 m only').first()).toBeVisible();
  await review.getByRole('button', { name: /^Add/ }).click();
  await saved(desk);
  await desk.getByRole('button', { name: 'Infestation' }).click();
  await desk.getByText('The counts as a table').click();
  await expect(desk.getByRole('row').filter({ hasText: '10 ft²' })).toHaveCount(3);
  await expect(desk.getByRole('row').filter({ hasText: '20 or more' })).toHaveCount(1);

  // The same once more, respelled so that it is another file: nothing changes.
  await drop(desk, { 'once-more.json': respelled(sent) });
  await expect(review.getByRole('heading', { level: 1 })).toHaveText('This file cannot be added as it is');
  await expect(review.getByText('nothing changes').first()).toBeVisible();
  await desk.keyboard.press('Escape');
  await expect(desk.getByRole('row').filter({ hasText: '10 ft²' })).toHaveCount(3);
  expect(seenThere.filter(isTold)).toEqual([]);
  await office.close();
});
