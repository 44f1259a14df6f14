/** The map: what it is shaded by, its key as a filter, hands and keys on it, a base map of one's own, and what is left without WebGL. */
import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { geoTiff, pmtiles, tileServer } from '../support/base-maps.ts';
import { colorAt, groundOf } from '../support/hands.ts';
import { placeIn, SIDE_M } from '../support/small-farm.ts';

const mapOf = (page: Page) => page.getByRole('group', { name: /^Map of the fields of Small Farm/ });
const field = (page: Page, name: string) => mapOf(page).getByRole('button', { name: new RegExp(`^${name},`) });
const tool = (page: Page, name: string) =>
  page.getByRole('group', { name: 'Map view' }).getByRole('button', { name, exact: true });
const shades = (page: Page) => page.getByRole('combobox', { name: 'Shade the fields by' });
/** Where nothing is written: near the north-west corner of a field. */
const BARE = [15, 105] as const;

/** Pixels from the middle of West to the middle of East. */
async function widthPx(page: Page): Promise<number> {
  const at = await groundOf(page, 'West');
  return at([SIDE_M, 0]).x - at([0, 0]).x;
}

test.describe('on a desk', () => {
  test.use({ viewport: { width: 1440, height: 900 } });

  test('the map is shaded, filtered by its key, walked by keys and fitted', async ({ page }) => {
    const seen = watched(page);
    await openSmallFarm(page);

    // Another shade: the key, the fields and the address say the same.
    await expect(field(page, 'West')).toHaveAccessibleName('West, rank 2 of 2');
    await shades(page).selectOption({ label: 'Seed landed' });
    await expect(field(page, 'West')).toHaveAccessibleName(/^West, .*seed/);
    await expect(field(page, 'East')).toHaveAccessibleName('East, nobody looked');
    expect(page.url()).toMatch(/shade=seed-landed/);
    await shades(page).selectOption({ label: 'Priority' });
    await expect(field(page, 'West')).toHaveAccessibleName('West, rank 2 of 2');

    // The same as a table.
    await page.getByRole('button', { name: 'As a table' }).first().click();
    await expect(page.getByRole('row', { name: /^East/ })).toContainText(/unknown|nobody/i);
    await page.getByRole('button', { name: 'As a table' }).first().click();

    // The key filters: by keys to the first rank alone, by the mouse to the second; what falls out is faint.
    const ground = async (name: 'West' | 'Middle') => colorAt(page, (await groundOf(page, name))(BARE));
    const [west, middle] = [await ground('West'), await ground('Middle')];
    const from = page.getByRole('slider', { name: 'Show values from' });
    await from.focus();
    await page.keyboard.press('End');
    await expect(page.getByRole('button', { name: 'Show all values' })).toBeVisible();
    await expect.poll(() => ground('West')).not.toEqual(west);
    expect(await ground('Middle')).toEqual(middle);
    await page.getByRole('button', { name: 'Show all values' }).click();
    await expect.poll(() => ground('West')).toEqual(west);
    const key = (await page.getByRole('group', { name: /^Rank: what to treat first/ }).boundingBox())!;
    await page.mouse.move(key.x + 2, key.y + 20);
    await page.mouse.down();
    await page.mouse.move(key.x + key.width * 0.4, key.y + 20, { steps: 5 });
    await page.mouse.up();
    await expect.poll(() => ground('Middle')).not.toEqual(middle);
    expect(await ground('West')).toEqual(west);
    await page.getByRole('button', { name: 'Show all values' }).click();
    expect(await faults(page)).toEqual([]);

    // One stop for the Tab key; arrows walk over the fields; Enter chooses, f and 0 fit.
    await field(page, 'West').focus();
    await page.keyboard.press('ArrowRight');
    await expect(field(page, 'Middle')).toBeFocused();
    await page.keyboard.press('ArrowRight');
    await expect(field(page, 'East')).toBeFocused();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Enter');
    await expect(field(page, 'Middle')).toHaveAttribute('aria-pressed', 'true');
    expect(page.url()).toMatch(/field=middle/);
    const whole = await widthPx(page);
    await page.keyboard.press('f');
    await expect.poll(() => widthPx(page)).toBeGreaterThan(2 * whole);
    await page.keyboard.press('0');
    await expect.poll(() => widthPx(page)).toBeCloseTo(whole, 0);
    await tool(page, 'Show the chosen field').click();
    await expect.poll(() => widthPx(page)).toBeGreaterThan(2 * whole);
    await tool(page, 'Zoom out').click();
    await tool(page, 'Show the whole farm').click();
    await expect.poll(() => widthPx(page)).toBeCloseTo(whole, 0);

    // Coordinates of the middle, under a cross.
    await tool(page, 'Cross for coordinates').click();
    const [lon, lat] = placeIn('Middle', SIDE_M / 2, SIDE_M / 2);
    const [north, east] = (await page.getByText(/^-?\d+\.\d{5}, -?\d+\.\d{5}$/).innerText()).split(', ').map(Number);
    expect(north).toBeCloseTo(lat, 3);
    expect(east).toBeCloseTo(lon, 3);
    expect(seen).toEqual([]);
  });

  test('a lost drawing context is told, and the map comes back by a press', async ({ page }) => {
    const seen = watched(page);
    await openSmallFarm(page);
    await page.locator('.maplibregl-canvas').evaluate((canvas: HTMLCanvasElement) => {
      const context = canvas.getContext('webgl2') ?? canvas.getContext('webgl');
      context!.getExtension('WEBGL_lose_context')!.loseContext();
    });
    await expect(
      page.getByRole('status').filter({ hasText: 'This browser cannot draw the full map just now' }),
    ).toBeVisible();
    await expect(mapOf(page).getByRole('button')).toHaveCount(3);
    await field(page, 'West').click();
    await expect(field(page, 'West')).toHaveAttribute('aria-pressed', 'true');
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Try again' }).click();
    await expect(tool(page, 'Zoom in')).toBeVisible();
    await expect(field(page, 'West')).toHaveAttribute('aria-pressed', 'true');
    await groundOf(page, 'West');
    await expect(page.getByText('This browser cannot draw the full map just now')).toHaveCount(0);
    // The library's own word; the page makes a new map instead.
    const ownWord = /^warning: Custom layer .* cannot be restored after WebGL context loss/;
    expect(seen.filter((one) => !ownWord.test(one))).toEqual([]);
  });

  test('without WebGL the plan is walked, and a zone is drawn by its numbers', async ({ page }) => {
    const seen = watched(page);
    await page.addInitScript(() => {
      const getContext = HTMLCanvasElement.prototype.getContext as (...given: unknown[]) => unknown;
      HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string, ...more: unknown[]) {
        return kind.startsWith('webgl') ? null : getContext.call(this, kind, ...more);
      } as never;
    });
    await openSmallFarm(page);
    await expect(
      page.getByRole('status').filter({ hasText: 'This browser cannot draw the full map just now' }),
    ).toBeVisible();
    await field(page, 'West').focus();
    await page.keyboard.press('ArrowRight');
    await expect(field(page, 'Middle')).toBeFocused();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Enter');
    await expect(field(page, 'West')).toHaveAttribute('aria-pressed', 'true');
    await shades(page).selectOption({ label: 'Seedbank' });
    await expect(field(page, 'West')).toHaveAccessibleName(/live seeds in the soil next spring/);

    await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: 'Plan' }).click();
    await page.getByRole('button', { name: 'Zones', exact: true }).click();
    await page.getByRole('button', { name: 'Draw a zone' }).click();
    const bar = page.getByRole('region', { name: 'Drawing' });
    await expect(bar).toContainText('type the corners as degrees');
    const corners = [placeIn('West', 20, 75), placeIn('West', 100, 75), placeIn('West', 100, 105)];
    await page.getByLabel('Latitude', { exact: true }).fill('north');
    await page.getByLabel('Longitude', { exact: true }).fill('-93');
    await page.getByRole('button', { name: 'Add corner' }).click();
    await expect(
      page.getByRole('alert').filter({ hasText: 'Latitude “north” is not a number from −90 to 90.' }),
    ).toBeVisible();
    for (const [lon, lat] of corners) {
      await page.getByLabel('Latitude', { exact: true }).fill(lat.toFixed(7));
      await page.getByLabel('Longitude', { exact: true }).fill(lon.toFixed(7));
      await page.getByRole('button', { name: 'Add corner' }).click();
    }
    expect(await faults(page)).toEqual([]);
    await bar.getByRole('button', { name: 'Done' }).click();
    // 80 by 30 m, half of it.
    await expect(page.getByRole('button', { name: /^B 0\.(29|30)\d* ac/ })).toBeVisible();
    await saved(page);
    expect(seen).toEqual([]);
  });

  test('a base map is asked for only when it is wanted, from its address or from a file', async ({ page }) => {
    const seen = watched(page);
    const server = await tileServer();
    await openSmallFarm(page);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    // Ground of no field, between West and Middle.
    const between = async () => colorAt(page, (await groundOf(page, 'West'))([SIDE_M + 20, 60]));
    const paper = await between();
    const isInk = (color: readonly number[]) => color[0]! - color[1]! > 100;

    await tool(page, 'Base map').click();
    const panel = page.getByRole('region', { name: 'No base map: nothing is asked for from elsewhere' });
    await expect(panel).toBeVisible();
    const address = page.getByLabel('Address of picture tiles');
    await address.fill('https://tiles.example/{z}.png');
    await page.getByRole('button', { name: 'Show it' }).click();
    await expect(page.getByRole('alert').filter({ hasText: 'The address lacks {x} and {y}.' })).toBeVisible();
    expect(server.asked).toEqual([]);

    await address.fill(server.address);
    await page.getByLabel('Whose map it is, to be printed beside it').fill('Survey of the county');
    await page.getByRole('button', { name: 'Show it' }).click();
    await expect(page.getByRole('heading', { name: /^Under the fields: tiles from 127\.0\.0\.1/ })).toBeVisible();
    await expect.poll(async () => isInk(await between())).toBe(true);
    await expect(page.getByText('Survey of the county', { exact: true })).toBeVisible();
    expect(await faults(page)).toEqual([]);
    // Tiles of this ground, and nothing said of who asks.
    const [west, south] = placeIn('West', 0, 0);
    for (const { path, headers } of server.asked) {
      const [z, x, y] = /^\/tiles\/(\d+)\/(\d+)\/(\d+)\.png$/.exec(path)!.slice(1).map(Number) as [
        number,
        number,
        number,
      ];
      const radians = (south * Math.PI) / 180;
      expect(Math.abs(((west + 180) / 360) * 2 ** z - x), path).toBeLessThan(8);
      expect(Math.abs(((1 - Math.asinh(Math.tan(radians)) / Math.PI) / 2) * 2 ** z - y), path).toBeLessThan(8);
      expect(headers.referer).toBeUndefined();
      expect(headers.cookie).toBeUndefined();
    }

    // Taken away it is forgotten, also after a reload.
    await page.getByRole('button', { name: 'Take it away' }).click();
    await expect(panel).toBeVisible();
    await expect.poll(between).toEqual(paper);
    const before = server.asked.length;
    expect(before).toBeGreaterThan(0);
    await page.reload();
    await expect(tool(page, 'Zoom in')).toBeVisible();
    await tool(page, 'Zoom in').click();
    await tool(page, 'Show the whole farm').click();
    await expect.poll(between).toEqual(paper);
    expect(server.asked).toHaveLength(before);

    // Files stay on the machine; what is none is told.
    const own = page.getByLabel('Use a file of your own');
    const give = (name: string, bytes: Uint8Array) =>
      own.setInputFiles({ name, mimeType: 'application/octet-stream', buffer: Buffer.from(bytes) });
    await tool(page, 'Base map').click();
    await give('notes.tif', Buffer.from('no picture'));
    await expect(page.getByRole('alert').filter({ hasText: 'notes.tif' })).toBeVisible();
    await give('own.tif', geoTiff(placeIn('Middle', 0, 0), 0.05));
    await expect(page.getByRole('heading', { name: 'Under the fields: own.tif' })).toBeVisible();
    await expect.poll(async () => isInk(await between())).toBe(true);
    await page.getByRole('button', { name: 'Take it away' }).click();
    await expect.poll(between).toEqual(paper);
    await give('own.pmtiles', pmtiles('Survey of the state'));
    await expect(page.getByRole('heading', { name: 'Under the fields: own.pmtiles' })).toBeVisible();
    await expect.poll(async () => isInk(await between())).toBe(true);
    await expect(page.getByText('Survey of the state', { exact: true })).toBeVisible();
    expect(server.asked).toHaveLength(before);
    server.close();
    expect(seen).toEqual([]);
  });
});

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });

  test('the key opens by a press and filters by a finger, and a field is chosen on the map', async ({ page }) => {
    const seen = watched(page);
    await openSmallFarm(page);
    await expect(page.getByRole('slider', { name: 'Show values from' })).toHaveCount(0);
    await page.getByRole('button', { name: /^More of the key/ }).tap();
    const key = page.getByRole('group', { name: /^Rank: what to treat first/ });
    await expect(key).toBeVisible();
    expect(await faults(page)).toEqual([]);
    const box = (await key.boundingBox())!;
    await page.touchscreen.tap(box.x + box.width - 6, box.y + 20);
    await expect(page.getByRole('button', { name: 'Show all values' })).toBeVisible();
    await page.getByRole('button', { name: 'Show all values' }).tap();
    await page.getByRole('button', { name: /^Less of the key/ }).tap();
    // The map is fitted anew in the room that the key left: a finger that was too early comes again.
    await expect(async () => {
      const at = (await groundOf(page, 'Middle'))([60, 60]);
      await page.touchscreen.tap(at.x, at.y);
      await expect(field(page, 'Middle')).toHaveAttribute('aria-pressed', 'true', { timeout: 4000 });
    }).toPass();
    await expect(page.getByRole('heading', { level: 1 })).toContainText('Middle');
    expect(await faults(page)).toEqual([]);
    expect(seen).toEqual([]);
  });
});

test('the map as it is on screen is saved as a picture, with its key beneath', async ({ page }) => {
  const seen = watched(page);
  await page.setViewportSize({ width: 1440, height: 900 });
  await openSmallFarm(page);
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save the map as a picture (PNG)' }).click();
  const file = await download;
  expect(file.suggestedFilename()).toBe('small-farm-priority.png');
  const bytes = readFileSync(await file.path());

  // Read back by the browser: the map's width, more than its height, fields in their color above and the key below.
  const map = (await mapOf(page).boundingBox())!;
  const onScreen = (await groundOf(page, 'West'))(BARE);
  const field = await colorAt(page, onScreen);
  const read = await page.evaluate(
    async ([base64, x, y]) => {
      const letters = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const image = await createImageBitmap(new Blob([letters], { type: 'image/png' }));
      const canvas = new OffscreenCanvas(image.width, image.height);
      const context = canvas.getContext('2d', { willReadFrequently: true })!;
      context.drawImage(image, 0, 0);
      const foot = context.getImageData(0, image.height - 90, image.width, 90).data;
      const colors = new Set<number>();
      for (let at = 0; at < foot.length; at += 4) colors.add((foot[at]! << 16) | (foot[at + 1]! << 8) | foot[at + 2]!);
      return {
        width: image.width,
        height: image.height,
        field: [...context.getImageData(x, y, 1, 1).data.slice(0, 3)],
        footColors: colors.size,
      };
    },
    [bytes.toString('base64'), Math.round(onScreen.x - map.x), Math.round(onScreen.y - map.y)] as const,
  );
  expect(read.width).toBe(Math.floor(map.width));
  expect(read.height).toBeGreaterThan(map.height + 60);
  expect(read.field).toEqual([...field].slice(0, 3));
  expect(read.footColors).toBeGreaterThan(4);
  expect(seen).toEqual([]);
});
