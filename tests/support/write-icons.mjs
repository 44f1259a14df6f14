/** Draws public/icon.svg as PNG in the sizes that installing asks for. `node tests/support/write-icons.mjs` */
import { readFileSync } from 'node:fs';
import { chromium } from '@playwright/test';

const SIZES = [180, 192, 512];
const drawing = readFileSync('public/icon.svg', 'utf8');
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});
for (const size of SIZES) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  await page.setContent(`<style>body{margin:0}svg{display:block;width:${size}px;height:${size}px}</style>${drawing}`);
  await page.screenshot({ path: `public/icon-${size}.png` });
  await page.close();
}
await browser.close();
