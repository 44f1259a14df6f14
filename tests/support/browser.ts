/** What every journey in a browser needs: a watch on the page, farms to open, and what a person waits for. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { wholeFarm } from './small-farm.ts';

export const SCREENS = [
  { name: 'on a desk', viewport: { width: 1440, height: 900 } },
  { name: 'on a tablet', viewport: { width: 820, height: 1180 } },
  { name: 'on a phone', viewport: { width: 390, height: 844 } },
] as const;

const HOST = `localhost:${process.env['SEEDFALL_PORT'] ?? '4174'}`;

/** Everything that a page must not do: write to the console, fail, ask another origin. Empty where all is well. */
export function watched(page: Page): string[] {
  const seen: string[] = [];
  page.on('console', (message) => seen.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => seen.push(`error: ${error.message}`));
  page.on('request', (request) => {
    const { protocol, host } = new URL(request.url());
    if (!['data:', 'blob:'].includes(protocol) && host !== HOST) seen.push(`asked ${request.url()}`);
  });
  page.on('requestfailed', (request) => {
    // A page that is left while it loads gives up what it still waited for.
    if (request.failure()?.errorText !== 'net::ERR_ABORTED') seen.push(`failed ${request.url()}`);
  });
  return seen;
}

/** The sample farm, or another, was studied to its end. */
export async function studied(page: Page, fields = 14): Promise<void> {
  await expect(page.getByRole('heading', { level: 1 })).toContainText(new RegExp(`of ${fields}\\s+fields`));
  await expect(page.getByRole('progressbar')).toHaveCount(0);
}

/** Serious faults that a person who cannot see, or cannot point, would meet. */
export async function faults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter((one) => one.impact === 'serious' || one.impact === 'critical')
    .map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(' | ')}`);
}

/** The page without any farm: nothing is computed until one is opened. */
export async function openEmptyPage(page: Page): Promise<void> {
  await page.goto('/#/nobody-has-this/farm');
  await expect(page.getByText('There is no farm “nobody-has-this” on this machine.')).toBeVisible();
}

let small: Uint8Array | null = null;

/** A farm file of three small fields, made and filled by the built command line; studied in a second or two. */
export function smallFarmFile(): Uint8Array {
  return (small ??= farmFileOf(wholeFarm()));
}

/** The same from other records. */
export function farmFileOf(records: Readonly<Record<string, string>>): Uint8Array {
  return inFolder((folder) => {
    const files = Object.entries(records);
    for (const [name, text] of files) writeFileSync(join(folder, name), text);
    commandLine(folder, 'new', 'farm.zip', '--name', 'Small Farm');
    commandLine(folder, 'add', 'farm.zip', ...files.map(([name]) => name));
    return readFileSync(join(folder, 'farm.zip'));
  });
}

/** What the command line says of a farm file, as JSON. */
export function studiedByCommandLine(file: Uint8Array): { farm: { name: string }; summary: string } {
  return inFolder((folder) => {
    writeFileSync(join(folder, 'farm.zip'), file);
    return JSON.parse(commandLine(folder, 'study', 'farm.zip', '--json'));
  });
}

function commandLine(folder: string, ...words: string[]): string {
  return execFileSync(process.execPath, [resolve('dist-cli/seedfall.mjs'), ...words], {
    cwd: folder,
    encoding: 'utf8',
  });
}

function inFolder<T>(work: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'seedfall-journey-'));
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export async function chooseFarmFile(page: Page, name: string, bytes: Uint8Array): Promise<void> {
  await page
    .getByLabel('Choose a farm file or records')
    .first()
    .setInputFiles({ name, mimeType: 'application/zip', buffer: Buffer.from(bytes) });
}

/** A page that has the small farm on the desk, studied and saved. */
export async function openSmallFarm(page: Page, file = smallFarmFile()): Promise<void> {
  await openEmptyPage(page);
  await chooseFarmFile(page, 'small-farm.zip', file);
  await studied(page, 3);
  await saved(page);
}

export async function saved(page: Page): Promise<void> {
  await expect(page.getByText('Saved here')).toHaveCount(1);
}
