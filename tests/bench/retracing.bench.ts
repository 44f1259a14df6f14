/**
 * A harvest of 200 000 records retraced by the built page in Chromium, without a graphics card: frames a second while it plays, over the
 * whole field and near the machine; beside the frames of the same page in which the bare map is moved by hand.
 */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium, type Page } from '@playwright/test';
import { build, preview } from 'vite';
import browserSettings from '../../playwright.config.ts';
import { writeArchive } from '../../shared/import/archive.ts';
import { commandLine } from './built.mjs';
import { LARGE_LOG_RECORDS, writeLargeFarm } from './large-farm.ts';
import { watchHand, type WithHand } from './map-hand.ts';
import { runMeasured } from './measured-child.ts';
import { type Row, row } from './row.ts';

const PORT = 4195;
const FOLDER = resolve('.cache/bench/page');
const WAIT = { timeout: 600_000 };
const PLAYED_MS = 5000;
const TARGET_FPS = 30;

export async function run(): Promise<{ rows: Row[] }> {
  const farm = farmFile();
  await build({ logLevel: 'warn', build: { outDir: FOLDER, emptyOutDir: true } });
  const served = { port: PORT, strictPort: true };
  const server = await preview({ logLevel: 'warn', preview: served, build: { outDir: FOLDER } });
  const browser = await chromium.launch(browserSettings.use!.launchOptions!);
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.addInitScript(watchHand);
    await page.goto(`http://localhost:${PORT}/#/none/farm`);
    await open(page, farm);
    const play = page.getByRole('button', { name: 'Play', exact: true });
    const rows: Row[] = [];
    for (const near of [false, true]) {
      if (near) for (let step = 0; step < 2; step++) await nearer(page);
      const moved = await page.evaluate(movedFps, PLAYED_MS / 2);
      await play.click(WAIT);
      await page.waitForTimeout(1000);
      const fps = await page.evaluate(framesASecond, PLAYED_MS);
      await page.getByRole('button', { name: 'Pause', exact: true }).click(WAIT);
      const where = near ? 'near the machine' : 'the whole field';
      console.log(`${where}: ${fps.toFixed(1)} frames a second, ${moved.toFixed(1)} while the map is moved by hand`);
      const name = `${LARGE_LOG_RECORDS} records retraced, ${where}: frames a second`;
      rows.push(row(name, fps, '', near ? {} : { atLeast: TARGET_FPS }));
      rows.push(row('the same: over those of the map moved by hand', fps / moved, ''));
    }
    return { rows };
  } finally {
    await browser.close();
    await server.close();
  }
}

/** One field with its log, taken in by the command line. */
function farmFile(): Buffer {
  const folder = mkdtempSync(join(tmpdir(), 'seedfall-retraced-'));
  try {
    mkdirSync(join(folder, 'raw'));
    const files = writeLargeFarm(join(folder, 'raw'), 1);
    const farm = join(folder, 'farm');
    runMeasured(commandLine, ['new', farm]);
    runMeasured(commandLine, ['add', farm, ...files]);
    const attachments = readdirSync(join(farm, 'attachments')).map((name) => `attachments/${name}`);
    const entries = ['farm.json', ...attachments].map((name) => ({ name, bytes: readFileSync(join(farm, name)) }));
    return Buffer.from(writeArchive(entries));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function open(page: Page, buffer: Buffer): Promise<void> {
  await page
    .getByLabel('Choose a farm file or records')
    .first()
    .setInputFiles({ name: 'farm.zip', mimeType: 'application/zip', buffer }, WAIT);
  await page.getByRole('button', { name: 'Print the farm sheet' }).waitFor(WAIT);
  await page.evaluate(() => {
    const [, farm] = location.hash.split('/');
    location.hash = `#/${farm}/harvest?field=field-1`;
  });
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor(WAIT);
  await page.waitForTimeout(5000);
}

async function nearer(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Zoom in', exact: true }).dispatchEvent('click');
  await page.waitForTimeout(1500);
}

/** Runs in the page. */
function framesASecond(milliseconds: number): Promise<number> {
  return new Promise((resolve) => {
    const from = performance.now();
    let frames = 0;
    requestAnimationFrame(function next(now) {
      if (now - from > milliseconds) return resolve((1000 * frames) / (now - from));
      frames++;
      requestAnimationFrame(next);
    });
  });
}

/** Runs in the page: the map is dragged to and fro, a step a frame. */
async function movedFps(milliseconds: number): Promise<number> {
  const hand = (globalThis as unknown as WithHand).handOnMap();
  const nextFrame = () => new Promise<number>((resolve) => requestAnimationFrame(resolve));
  hand.down();
  const from = await nextFrame();
  let [now, frames] = [from, 0];
  while (now - from < milliseconds) {
    hand.step();
    now = await nextFrame();
    frames++;
  }
  hand.up();
  return (1000 * frames) / (now - from);
}
