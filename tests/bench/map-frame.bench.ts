/**
 * The built page in Chromium on the sample farm: the map moved by hand over the harvest's passes and surfaces, and over bare fields, in
 * the same sights. Median time of a frame, points drawn in one, and how soon all points are there again once the hand rests.
 */
import { resolve } from 'node:path';
import { chromium, type Page } from '@playwright/test';
import { build, preview } from 'vite';
import browserSettings from '../../playwright.config.ts';
import { watchHand, type WithHand } from './map-hand.ts';
import { type Row, row, short } from './row.ts';

const PORT = 4194;
const FOLDER = resolve('.cache/bench/page');
const WAIT = { timeout: 600_000 };
const REPEATS = 3;
const FRAMES = 40;
/** The largest field, chosen so that its surface is drawn also where the whole farm is in sight. */
const FIELD = 'home';
const SIGHTS = [
  { name: 'the whole farm', nearer: 0 },
  { name: 'a few fields', nearer: 2 },
] as const;

interface Moved {
  readonly frameMs: number;
  /** Of the frame with the most. */
  readonly points: number;
  /** After the hand rested; null where they did not come. */
  readonly allAfterMs: number | null;
  readonly all: number;
}

export async function run(): Promise<{ rows: Row[] }> {
  await build({ logLevel: 'warn', build: { outDir: FOLDER, emptyOutDir: true } });
  const served = { port: PORT, strictPort: true };
  const server = await preview({ logLevel: 'warn', preview: served, build: { outDir: FOLDER } });
  const browser = await chromium.launch(browserSettings.use!.launchOptions!);
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.addInitScript(watchFrames);
    await page.addInitScript(watchHand);
    await page.goto(`http://localhost:${PORT}/#/thistlewend/farm?field=${FIELD}`);
    await page.getByRole('button', { name: 'Print the farm sheet' }).waitFor(WAIT);
    const rows: Row[] = [];
    for (const { name, nearer } of SIGHTS) {
      for (let step = 0; step < nearer; step++) await nearerBy(page);
      const bare = await movedAt(page, 'farm');
      const drawn = await movedAt(page, 'harvest');
      console.log(
        `${name}: a frame ${short(drawn.frameMs)} ms, of bare fields ${short(bare.frameMs)} ms; up to ${short(drawn.points)} points of ${short(drawn.all)} while moving, all after ${drawn.allAfterMs === null ? 'never' : short(drawn.allAfterMs)} ms`,
      );
      rows.push(
        row(`${name}: a frame while moving, beside bare fields`, drawn.frameMs / bare.frameMs, '', { atMost: 2 }),
      );
      rows.push(row(`${name}: a frame of bare fields`, bare.frameMs, 'ms'));
      // Nearer, few enough points are in sight that each is drawn with the paper beside it.
      if (nearer === 0) rows.push(row(`${name}: points drawn while moving`, drawn.points, '', { atMost: 20_000 }));
      rows.push(row(`${name}: points drawn at rest`, drawn.all, ''));
      rows.push(row(`${name}: all of them after rest`, (drawn.allAfterMs ?? Infinity) / 1000, 's', { atMost: 0.5 }));
    }
    return { rows };
  } finally {
    await browser.close();
    await server.close();
  }
}

async function nearerBy(page: Page): Promise<void> {
  // Pressed by script: on a busy machine the page may not stand still for long enough to be pressed by hand.
  await page.getByRole('button', { name: 'Zoom in', exact: true }).dispatchEvent('click');
  await page.waitForTimeout(1500);
}

/** Of the repeats, the one with the median frame. */
async function movedAt(page: Page, place: 'farm' | 'harvest'): Promise<Moved> {
  await page.evaluate((address) => void (location.hash = address), `#/thistlewend/${place}?field=${FIELD}`);
  await stillDrawn(page, place === 'harvest');
  const repeats: Moved[] = [];
  for (let repeat = 0; repeat < REPEATS; repeat++) {
    repeats.push(await page.evaluate(move, FRAMES));
    await stillDrawn(page, place === 'harvest');
  }
  return repeats.sort((a, b) => a.frameMs - b.frameMs)[REPEATS >> 1]!;
}

/** Waits until nothing more is drawn, and, where there are passes, until they were. */
async function stillDrawn(page: Page, withPoints: boolean): Promise<void> {
  await page.waitForFunction(
    (points) => {
      const { seen } = globalThis as unknown as Watched;
      return performance.now() - seen.drawnAt > 1500 && (!points || seen.last > 0);
    },
    withPoints,
    WAIT,
  );
}

interface Watched {
  /** Points since they were set to none; those of the last frame in which any was drawn; when anything was drawn last. */
  seen: { points: number; last: number; drawnAt: number };
}

/** Runs in the page before its scripts: only the passes are drawn from bare arrays, a box or a line from a point to the next. */
function watchFrames(): void {
  const watched = globalThis as unknown as Watched;
  watched.seen = { points: 0, last: 0, drawnAt: 0 };
  const card = WebGL2RenderingContext.prototype;
  const { drawArrays, drawElements } = card;
  let inFrame = 0;
  const nextFrame = () => {
    if (inFrame > 0) watched.seen.last = inFrame;
    inFrame = 0;
    requestAnimationFrame(nextFrame);
  };
  nextFrame();
  card.drawArrays = function (...given) {
    const points = given[2] / (given[0] === this.LINES ? 2 : 6);
    inFrame += points;
    watched.seen.points += points;
    watched.seen.drawnAt = performance.now();
    drawArrays.apply(this, given);
  };
  card.drawElements = function (...given) {
    watched.seen.drawnAt = performance.now();
    drawElements.apply(this, given);
  };
}

/** Runs in the page: the map is dragged to and fro, a step a frame, and let go at rest. */
async function move(frames: number): Promise<Moved> {
  const { seen } = globalThis as unknown as Watched;
  const hand = (globalThis as unknown as WithHand).handOnMap();
  const nextFrame = () => new Promise<number>((resolve) => requestAnimationFrame(resolve));
  const took: number[] = [];
  const points: number[] = [];
  const all = seen.last;
  hand.down();
  let before = await nextFrame();
  for (let n = 0; n < frames; n++) {
    hand.step();
    seen.points = 0;
    // The map asked for this frame first, and has drawn in it by now.
    const now = await nextFrame();
    took.push(now - before);
    before = now;
    points.push(seen.points);
  }
  // A hand that rests before it lets go throws nothing.
  await new Promise((resolve) => setTimeout(resolve, 400));
  hand.rest();
  await nextFrame();
  seen.points = 0;
  const rests = performance.now();
  hand.up();
  let allAfterMs: number | null = all === 0 ? 0 : null;
  while (allAfterMs === null && performance.now() - rests < 5000) {
    seen.points = 0;
    await nextFrame();
    await new Promise((resolve) => setTimeout(resolve));
    if (seen.points >= all) allAfterMs = performance.now() - rests;
  }
  took.sort((a, b) => a - b);
  return { frameMs: took[took.length >> 1]!, points: Math.max(...points), allAfterMs, all };
}
