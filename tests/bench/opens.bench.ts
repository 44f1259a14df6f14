/**
 * The built page in Chromium, a fresh browser each time: from the sample's raw files to the first ranked list and to the whole study;
 * the same farm again from what was stored; a rating pressed until the new ranking is drawn. And the size of the first script.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { gzipSync } from 'node:zlib';
import { type Browser, chromium, type Page } from '@playwright/test';
import { build, preview } from 'vite';
import browserSettings from '../../playwright.config.ts';
import { type Row, row, short } from './row.ts';

const REPEATS = 3;
const PORT = 4193;
const FOLDER = resolve('.cache/bench/page');
const WAIT = { timeout: 600_000 };
/** In the order pressed, on the field that nobody looked at: each changes the ranking. No word comes twice: a known one is only looked up. */
const RATINGS = ['few', 'patches', 'throughout', 'none seen'];

export async function run(): Promise<{ rows: Row[] }> {
  await build({ logLevel: 'warn', build: { outDir: FOLDER, emptyOutDir: true } });
  const server = await preview({
    logLevel: 'warn',
    preview: { port: PORT, strictPort: true },
    build: { outDir: FOLDER },
  });
  const options = browserSettings.use!.launchOptions!;
  // Put together by the processor, as on a machine without a graphics card: a graphics device that is only imitated takes it away from the study.
  const browser = await chromium.launch({ ...options, args: [...options.args!, '--disable-gpu-compositing'] });
  try {
    const seen = {
      ranked: [] as number[],
      certain: [] as number[],
      whole: [] as number[],
      stored: [] as number[],
      firstEdit: [] as number[],
      edit: [] as number[],
      studied: [] as number[],
    };
    for (let repeat = 0; repeat < REPEATS; repeat++) {
      const { ranked, certain, whole, stored, edit, studied } = await once(browser);
      console.log(
        `raw: first list ${short(ranked)} ms, certain ${short(certain)} ms, whole ${short(whole)} ms; stored ${short(stored)} ms; ratings: ranked ${edit.map(short).join(', ')} ms, studied ${studied.map(short).join(', ')} ms`,
      );
      seen.ranked.push(ranked);
      seen.certain.push(certain);
      seen.whole.push(whole);
      seen.stored.push(stored);
      seen.firstEdit.push(edit[0]!);
      seen.edit.push(...edit);
      seen.studied.push(...studied);
    }
    const best = (values: readonly number[]) => Math.min(...values);
    const { first, all } = scriptBytes();
    return {
      rows: [
        row('from raw files to the first ranked list', best(seen.ranked) / 1000, 's', { atMost: 8 }),
        row('from raw files to the certain ranked list', best(seen.certain) / 1000, 's'),
        row('from raw files to the whole study', best(seen.whole) / 1000, 's'),
        row('from stored results to the ranked list', best(seen.stored) / 1000, 's', { atMost: 2.5 }),
        row('a rating to the new ranking, median', median(seen.edit), 'ms', { atMost: 150 }),
        row('the first rating, at once after a reload', median(seen.firstEdit), 'ms'),
        row('a rating to the whole study, median', median(seen.studied), 'ms'),
        row('initial script with the map library, compressed', first / 1000, 'kB', { atMost: 500 }),
        row('all scripts of the page, compressed', all / 1000, 'kB'),
      ],
    };
  } finally {
    await browser.close();
    await server.close();
  }
}

async function once(browser: Browser) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  const page = await context.newPage();
  await page.addInitScript(noteEdits);
  const began = performance.now();
  await page.goto(`http://localhost:${PORT}/`);
  await rankedList(page);
  const ranked = performance.now() - began;
  await certainList(page);
  const certain = performance.now() - began;
  await wholeStudy(page);
  const whole = performance.now() - began;
  await resultsStored(page);

  const again = performance.now();
  await page.reload();
  await rankedList(page);
  const stored = performance.now() - again;
  await wholeStudy(page);
  const { rankedMs, studiedMs } = await ratings(page);
  await context.close();
  return { ranked, certain, whole, stored, edit: rankedMs, studied: studiedMs };
}

/** Fields with their ranks, in the reading. */
async function rankedList(page: Page): Promise<void> {
  await page.locator('#reading ol > li').nth(12).waitFor(WAIT);
}

/** Its logs are retraced. */
async function certainList(page: Page): Promise<void> {
  await page
    .getByRole('heading', { level: 1 })
    .filter({ hasNotText: /^At a first look/ })
    .waitFor(WAIT);
}

async function wholeStudy(page: Page): Promise<void> {
  await page
    .getByRole('heading', { level: 1 })
    .filter({ hasText: /of 14\s+fields/ })
    .waitFor(WAIT);
}

/** Nothing more is written, and something was. */
async function resultsStored(page: Page): Promise<void> {
  for (let before = -1; ;) {
    const bytes = await page.evaluate(async () => {
      const estimate = await navigator.storage.estimate();
      return estimate.usage ?? 0;
    });
    if (bytes === before && bytes > 50e6) return;
    before = bytes;
    await page.waitForTimeout(3000);
  }
}

async function ratings(page: Page): Promise<Noted> {
  await page.getByRole('button', { name: 'Rate fields in a word' }).click();
  const group = page.getByRole('group', { name: /^Rate Far Piece / }).first();
  for (const word of RATINGS) {
    await group.getByRole('button', { name: word, exact: true }).click();
    await page.waitForFunction(() => (globalThis as unknown as Noted).waiting === 0, null, WAIT);
    await page.waitForTimeout(1500);
  }
  return page.evaluate(() => {
    const { waiting, rankedMs, studiedMs } = globalThis as unknown as Noted;
    return { waiting, rankedMs, studiedMs };
  });
}

interface Noted {
  waiting: number;
  rankedMs: number[];
  studiedMs: number[];
}

/** Runs in the page: from the moment that an edit goes to the worker until the frame after its ranking, and after its study. */
function noteEdits(): void {
  const noted = globalThis as unknown as Noted;
  noted.waiting = 0;
  noted.rankedMs = [];
  noted.studiedMs = [];
  const post = Worker.prototype.postMessage as (this: Worker, ...said: unknown[]) => void;
  Worker.prototype.postMessage = function (this: Worker, ...said: unknown[]): void {
    const { kind, number } = said[0] as { kind?: string; number?: number };
    if (kind === 'edit') {
      const began = performance.now();
      noted.waiting++;
      const heard = ({ data }: MessageEvent<{ kind: string; number: number }>) => {
        if ((data.kind !== 'ranking' && data.kind !== 'result') || data.number !== number) return;
        const isWhole = data.kind === 'result';
        if (isWhole) this.removeEventListener('message', heard);
        requestAnimationFrame(() =>
          setTimeout(() => {
            (isWhole ? noted.studiedMs : noted.rankedMs).push(performance.now() - began);
            if (isWhole) noted.waiting--;
          }),
        );
      };
      this.addEventListener('message', heard);
    }
    post.apply(this, said);
  };
}

/** What the page asks for before anything is pressed: the scripts that its document names, and the map library. */
function scriptBytes(): { first: number; all: number } {
  const assets = join(FOLDER, 'assets');
  const size = (name: string) => gzipSync(readFileSync(join(assets, name)), { level: 9 }).length;
  const names = readdirSync(assets).filter((name) => name.endsWith('.js'));
  const document = readFileSync(join(FOLDER, 'index.html'), 'utf8');
  const isFirst = (name: string) => document.includes(name) || name.startsWith('map-library');
  const sum = (list: readonly string[]) => list.reduce((total, name) => total + size(name), 0);
  return { first: sum(names.filter(isFirst)), all: sum(names) };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)]!;
}
