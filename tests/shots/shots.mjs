/**
 * A picture of every place at every size on every ground: `npm run shots [PLACE…]`, after `npm run build`. They lie in
 * test-results/shots and are there to be looked at.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync } from 'node:fs';
import { chromium } from '@playwright/test';

const PORT = Number(process.env.SEEDFALL_PORT ?? 4175);
const SIZES = [
  ['desk', 1440, 900],
  ['tablet', 820, 1180],
  ['phone', 390, 844],
];
const GROUNDS = ['light', 'dark', 'sunlight'];
const PLACES = ['farm', 'infestation', 'harvest', 'season', 'plan', 'hand-off'];
const FIELD = 'home';
const OUT = 'test-results/shots';
const wanted = process.argv.slice(2);

const executablePath = [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/google-chrome'].find(
  (path) => path && existsSync(path),
);
if (!executablePath || !existsSync('dist/index.html')) {
  console.error(executablePath ? 'Build first: npm run build.' : 'No Chromium was found: set CHROMIUM to its path.');
  process.exit(1);
}
mkdirSync(OUT, { recursive: true });
const server = spawn('npx', ['vite', 'preview', '--port', String(PORT), '--strictPort'], { detached: true });
const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader'],
});
const told = [];
try {
  await reachable();
  const page = await browser.newPage();
  page.on('console', (message) => told.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => told.push(`error: ${error.message}`));
  await page.goto(`http://localhost:${PORT}/`);
  await page.waitForFunction(() => document.querySelector('h1') && !document.querySelector('progress'), null, {
    timeout: 180_000,
    polling: 500,
  });
  for (const place of PLACES.filter((one) => wanted.length === 0 || wanted.includes(one))) {
    for (const field of [null, FIELD]) {
      await page.evaluate(
        ([to, at]) => (location.hash = location.hash.replace(/\/[^/?]*(\?.*)?$/, `/${to}${at ? `?field=${at}` : ''}`)),
        [place, field],
      );
      for (const ground of GROUNDS) {
        await page.evaluate((to) => (document.documentElement.dataset.theme = to), ground);
        await page.emulateMedia({
          colorScheme: ground === 'dark' ? 'dark' : 'light',
          contrast: ground === 'sunlight' ? 'more' : 'no-preference',
        });
        for (const [size, width, height] of SIZES) {
          await page.setViewportSize({ width, height });
          await page.waitForTimeout(900);
          const name = `${place}${field ? '-field' : ''}-${size}-${ground}.png`;
          await page.screenshot({ path: `${OUT}/${name}`, timeout: 180_000 });
          console.log(`${OUT}/${name}`);
        }
      }
    }
  }
} finally {
  await browser.close();
  process.kill(-server.pid);
}
for (const one of told) console.error(one);
process.exit(told.length === 0 ? 0 : 1);

async function reachable() {
  for (let tries = 0; tries < 100; tries++) {
    const answer = await fetch(`http://localhost:${PORT}/`).catch(() => null);
    if (answer?.ok) return;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error(`nothing answers on port ${PORT}`);
}
