/** Files dropped on the page as a person drops them, and what such a journey waits for and watches. */
import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';

export async function drop(page: Page, files: Readonly<Record<string, string | Uint8Array>>): Promise<void> {
  const given = Object.entries(files).map(([name, content]) => ({
    name,
    base64: Buffer.from(content).toString('base64'),
  }));
  const transfer = await page.evaluateHandle((all) => {
    const carried = new DataTransfer();
    for (const { name, base64 } of all) {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      carried.items.add(new File([bytes], name));
    }
    return carried;
  }, given);
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}

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
  page.on('requestfailed', (request) => seen.push(`failed ${request.url()}`));
  return seen;
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
