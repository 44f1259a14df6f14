/** What a person gave and decided is still there: after a reload, without a network, beside a second tab, in a file of their own. */
import { readFileSync } from 'node:fs';
import { type Download, expect, type Page, test } from '@playwright/test';
import { openArchive, writeArchive } from '../../shared/import/archive.ts';
import type { Farm } from '../../shared/model/farm.ts';
import {
  chooseFarmFile,
  faults,
  openEmptyPage,
  openSmallFarm,
  saved,
  smallFarmFile,
  studied,
  studiedByCommandLine,
  watched,
} from '../support/browser.ts';

/** An edit that every place shows: the units of the farm. */
async function showMetric(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^Display/ }).click();
  await page.getByLabel(/metric/).check();
  await page.keyboard.press('Escape');
}

async function farms(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^Farms/ }).click();
}

async function bytesOf(download: Download): Promise<Uint8Array> {
  return readFileSync(await download.path());
}

/** Name and content of everything in a farm file. */
function contentOf(file: Uint8Array): Map<string, Uint8Array> {
  const opened = openArchive(file);
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  return new Map(
    opened.value.map((entry) => {
      const content = entry.read();
      if (!content.ok) throw new Error(content.problems[0]!.text);
      return [entry.name, content.value];
    }),
  );
}

function farmIn(file: Uint8Array): Farm {
  return JSON.parse(new TextDecoder().decode(contentOf(file).get('farm.json')));
}

/** The same farm file with another document. */
function withFarm(file: Uint8Array, change: (farm: Farm) => unknown): Uint8Array {
  const text = JSON.stringify(change(farmIn(file)));
  return writeArchive(
    [...contentOf(file)].map(([name, bytes]) => ({
      name,
      bytes: name === 'farm.json' ? new TextEncoder().encode(text) : bytes,
    })),
  );
}

async function saveFarmFile(page: Page): Promise<Uint8Array> {
  const downloading = page.waitForEvent('download');
  await farms(page);
  await page.getByRole('button', { name: 'Save as a farm file' }).click();
  const bytes = await bytesOf(await downloading);
  await page.keyboard.press('Escape');
  return bytes;
}

const acres = (page: Page) => page.getByText(/\d ac\b/).first();
const hectares = (page: Page) => page.getByText(/\d ha\b/).first();

test('an edit and its undo survive a reload, and so do the files that the farm was made from', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  await expect(acres(page)).toBeVisible();
  await showMetric(page);
  await expect(hectares(page)).toBeVisible();
  await saved(page);

  await page.reload();
  await studied(page, 3);
  await expect(hectares(page)).toBeVisible();
  await page.getByRole('button', { name: /^Undo ?: (?!nothing)/ }).click();
  await expect(acres(page)).toBeVisible();
  await saved(page);

  await page.reload();
  await studied(page, 3);
  await expect(acres(page)).toBeVisible();
  await page.getByRole('button', { name: /^Redo ?: (?!nothing)/ }).click();
  await expect(hectares(page)).toBeVisible();
  await saved(page);

  // Byte for byte: the farm file that goes out is the one that came in, but for the edit.
  const given = contentOf(smallFarmFile());
  const kept = contentOf(await saveFarmFile(page));
  expect([...kept.keys()].sort()).toEqual([...given.keys()].sort());
  for (const [name, bytes] of given)
    if (name !== 'farm.json') expect(Buffer.from(kept.get(name)!)).toEqual(Buffer.from(bytes));
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});

test('a farm file taken out comes in again elsewhere as the same farm', async ({ page, browser }) => {
  await openSmallFarm(page);
  await showMetric(page);
  const out = await saveFarmFile(page);
  const context = await browser.newContext();
  const elsewhere = await context.newPage();
  const seen = watched(elsewhere);
  await openEmptyPage(elsewhere);
  await chooseFarmFile(elsewhere, 'small-farm.zip', out);
  await studied(elsewhere, 3);
  await expect(hectares(elsewhere)).toBeVisible();
  const again = await saveFarmFile(elsewhere);
  expect(farmIn(again)).toEqual(farmIn(out));
  expect(farmIn(out)).toEqual({ ...farmIn(smallFarmFile()), display: 'metric' });
  // The command line reads it, and comes to the same sentence.
  const { summary } = studiedByCommandLine(out);
  await expect(elsewhere.getByRole('heading', { level: 1 })).toHaveText(summary);
  expect(seen).toEqual([]);
  await context.close();
});

test('the page works without a network after the first load', async ({ page, context }) => {
  await openSmallFarm(page);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await context.setOffline(true);
  const seen = watched(page);
  await page.reload();
  await studied(page, 3);
  await showMetric(page);
  await saved(page);
  await page.reload();
  await studied(page, 3);
  await expect(hectares(page)).toBeVisible();
  expect(seen).toEqual([]);
});

test('a second tab is told, may look, and may take over; edits of the first are not lost', async ({
  page,
  context,
}) => {
  await openSmallFarm(page);
  const second = await context.newPage();
  const [seen, seenThere] = [watched(page), watched(second)];
  await second.goto('/');
  await studied(second, 3);
  await expect(second.getByText('Small Farm is open in another tab.')).toBeVisible();
  // Looking changes nothing.
  await showMetric(second);
  await expect(acres(second)).toBeVisible();
  await expect(second.getByRole('button', { name: /^Undo ?: nothing/ })).toBeDisabled();

  await showMetric(page);
  // The change that was refused is told where it was tried, with the way on.
  await second.getByRole('alert').getByRole('button', { name: 'Work on it in this tab' }).click();
  await expect(second.getByText('Small Farm is open in another tab.')).toHaveCount(0);
  await expect(hectares(second)).toBeVisible();
  await expect(page.getByText('Small Farm is open in another tab.')).toBeVisible();
  await second.getByRole('button', { name: /^Undo ?: (?!nothing)/ }).click();
  await saved(second);
  await second.reload();
  await studied(second, 3);
  await expect(acres(second)).toBeVisible();
  expect(await faults(second)).toEqual([]);
  expect([...seen, ...seenThere]).toEqual([]);
});

test('a farm that is here already is replaced or kept twice, as the person says', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  const metric = withFarm(smallFarmFile(), (farm) => ({ ...farm, display: 'metric' }));
  const question = page.getByRole('alertdialog', { name: 'Small Farm is on this machine already.' });

  await chooseFarmFile(page, 'again.zip', metric);
  await expect(question).toContainText('again.zip holds a farm with the same id');
  expect(await faults(page)).toEqual([]);
  await question.getByRole('button', { name: 'Leave it' }).click();
  await expect(question).toHaveCount(0);
  await expect(acres(page)).toBeVisible();

  await chooseFarmFile(page, 'again.zip', metric);
  await question.getByRole('button', { name: 'Keep both' }).click();
  await expect(hectares(page)).toBeVisible();
  await saved(page);
  await expect(page).toHaveURL(/#\/small-farm-2\//);
  await farms(page);
  await page.getByRole('button', { name: 'Small Farm', exact: true }).click();
  await expect(acres(page)).toBeVisible();
  await expect(page).toHaveURL(/#\/small-farm\//);

  await chooseFarmFile(page, 'again.zip', metric);
  await question.getByRole('button', { name: 'Replace the one here' }).click();
  await expect(hectares(page)).toBeVisible();
  await saved(page);
  await page.reload();
  await studied(page, 3);
  await expect(hectares(page)).toBeVisible();
  await expect(page).toHaveURL(/#\/small-farm\//);
  expect(seen).toEqual([]);
});

test('a farm file of a newer version is refused in clear words, and what is open stays', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  await chooseFarmFile(
    page,
    'newer.zip',
    withFarm(smallFarmFile(), (farm) => ({ ...farm, schema: 2 })),
  );
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('newer.zip could not be opened');
  await expect(alert).toContainText('was written by a newer version (schema 2, this one reads 1)');
  await expect(alert).toContainText('Small Farm stays as it was.');
  await studied(page, 3);
  expect(seen).toEqual([]);
});

test('a reload in the middle of opening a farm loses nothing that was there', async ({ page }) => {
  await openSmallFarm(page);
  await showMetric(page);
  await saved(page);
  const other = withFarm(smallFarmFile(), (farm) => ({ ...farm, id: 'other', name: 'Other Farm' }));
  await chooseFarmFile(page, 'other.zip', other);
  await page.reload();
  const seen = watched(page);
  // Whichever came first, the reload or the other farm: both are whole.
  await studied(page, 3);
  await page.goto('/#/small-farm/farm');
  await page.reload();
  await studied(page, 3);
  await expect(hectares(page)).toBeVisible();
  await expect(page.getByRole('button', { name: /^Undo ?: (?!nothing)/ })).toBeEnabled();
  expect(seen).toEqual([]);
});

test('where the storage is full, it is told in place, and the farm file is the way out', async ({ page }) => {
  await openSmallFarm(page);
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException('no room', 'QuotaExceededError');
    };
  });
  await showMetric(page);
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('Your last changes are not saved: the browser’s storage is full.');
  await expect(page.getByText('Not saved', { exact: true })).toBeVisible();
  expect(await faults(page)).toEqual([]);
  const downloading = page.waitForEvent('download');
  await alert.getByRole('button', { name: 'Save a farm file' }).click();
  expect(farmIn(await bytesOf(await downloading)).display).toBe('metric');
});

test('where the browser keeps nothing at all, a farm can be opened and saved as a file', async ({ page }) => {
  await page.addInitScript(() => {
    indexedDB.open = () => {
      throw new DOMException('storage is switched off', 'SecurityError');
    };
    navigator.storage.getDirectory = () => Promise.reject(new DOMException('switched off', 'SecurityError'));
  });
  await openEmptyPage(page);
  await chooseFarmFile(page, 'small-farm.zip', smallFarmFile());
  await studied(page, 3);
  await expect(page.getByRole('alert')).toContainText('Your last changes are not saved: the browser refused them');
  expect(farmIn(await saveFarmFile(page))).toEqual(farmIn(smallFarmFile()));
});

test('damaged results are thrown away and computed anew', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  const derived = () =>
    page.evaluate(async () => {
      const root = await navigator.storage.getDirectory();
      let folder = root;
      for (const name of ['farms', 'small-farm', 'derived']) folder = await folder.getDirectoryHandle(name);
      const sizes: [string, number][] = [];
      for await (const [name, handle] of folder.entries()) {
        if (handle instanceof FileSystemFileHandle) sizes.push([name, (await handle.getFile()).size]);
      }
      return sizes.filter(([, size]) => size > 0);
    });
  // Packs come and go while results are put away.
  await expect.poll(async () => (await derived().catch(() => [])).length).toBeGreaterThan(0);
  const list = page.getByRole('main').or(page.locator('#reading'));
  const before = await list.first().innerText();
  // The page lets go of its files; then every pack is damaged in its middle.
  expect(seen).toEqual([]);
  await page.goto('about:blank');
  await page.goto('/favicon.svg');
  const damaged = await page.evaluate(async () => {
    /** The worker that was let go of may hold a pack for a moment longer. */
    const written = async (handle: FileSystemFileHandle) => {
      for (let tries = 0; ; tries++) {
        try {
          return await handle.createWritable({ keepExistingData: true });
        } catch (error) {
          if (tries === 100) throw error;
          await new Promise((resolve) => setTimeout(resolve, 100));
        }
      }
    };
    const root = await navigator.storage.getDirectory();
    let folder = root;
    for (const name of ['farms', 'small-farm', 'derived']) folder = await folder.getDirectoryHandle(name);
    let count = 0;
    for await (const handle of folder.values()) {
      const size = handle instanceof FileSystemFileHandle ? (await handle.getFile()).size : 0;
      if (size === 0) continue;
      const writing = await written(handle as FileSystemFileHandle);
      for (let at = 100; at < size; at += 500) await writing.write({ type: 'write', position: at, data: 'x' });
      await writing.close();
      count++;
    }
    return count;
  });
  expect(damaged).toBeGreaterThan(0);
  // A picture that stands alone asks for an icon of the site under the oldest name, which is not there.
  seen.splice(0);
  await page.goto('/#/small-farm/farm');
  await studied(page, 3);
  await expect.poll(() => list.first().innerText()).toBe(before);
  expect(seen).toEqual([]);
});

test('a deleted farm is gone, after a question', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  const other = withFarm(smallFarmFile(), (farm) => ({ ...farm, id: 'other', name: 'Other Farm' }));
  await chooseFarmFile(page, 'other.zip', other);
  await expect(page).toHaveURL(/#\/other\//);
  await saved(page);
  await farms(page);
  await page.getByRole('button', { name: 'Delete Small Farm' }).click();
  const question = page.getByRole('alertdialog', { name: 'Delete a farm' });
  await question.getByRole('button', { name: 'Keep it' }).click();
  await page.getByRole('button', { name: 'Delete Small Farm' }).click();
  await question.getByRole('button', { name: 'Delete it' }).click();
  await expect(page.getByRole('button', { name: 'Small Farm', exact: true })).toHaveCount(0);
  const left = await page.evaluate(async () => {
    const names: string[] = [];
    const farms = await (await navigator.storage.getDirectory()).getDirectoryHandle('farms');
    for await (const name of farms.keys()) names.push(name);
    return names;
  });
  expect(left).toEqual(['other']);
  await page.goto('/#/small-farm/farm');
  await expect(page.getByText('There is no farm “small-farm” on this machine.')).toBeVisible();
  expect(seen).toEqual([]);
});
