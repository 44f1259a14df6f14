/** The manager follows the combine: where the seed went, what the machine held and let fall, and what came up without cover. */
import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';

const go = (page: Page, place: string) =>
  page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: place }).click();

/** "33 million" → 33e6. */
function amount(words: string): number {
  const [, digits, scale] = /([\d.,]+)(?:\s(thousand|million|billion))?/.exec(words) ?? [];
  const scales: Readonly<Record<string, number>> = { thousand: 1e3, million: 1e6, billion: 1e9 };
  return Number(digits!.replaceAll(',', '')) * (scale ? scales[scale]! : 1);
}

for (const { name, finger, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('the manager follows the seed through the harvest and the season', async ({ page }) => {
      const seen = watched(page);
      await openSmallFarm(page);
      await go(page, 'Harvest');
      const finding = page.getByRole('heading', { level: 1 });
      await expect(finding).toContainText(/made .+ seeds, most likely .+ rode into the next/);

      // The farm in the order of harvest, and the same as a table by one key.
      const carried = page.getByRole('figure', { name: /The most seed rode from West to Middle/ });
      await expect(carried.getByRole('img', { name: /in the order of harvest: 1 West, 2 Middle/ })).toBeVisible();
      await carried.getByRole('button', { name: 'As a table' }).focus();
      await page.keyboard.press('t');
      await expect(carried.getByRole('row').filter({ hasText: 'West' }).first()).toBeVisible();
      await page.keyboard.press('t');
      await expect(carried.getByRole('table')).toHaveCount(0);

      // A clean-out before the next field lets less ride in; taken back, it is as before.
      const middle = page
        .getByRole('listitem')
        .filter({ has: page.getByRole('checkbox', { name: 'Middle is harvested' }) });
      const rodeIn = middle.getByText(/^Rode in:/);
      const before = await rodeIn.innerText();
      const mostLikely = (words: string) => amount(/most likely (.+?) seeds/.exec(words)![1]!);
      await middle.getByRole('combobox', { name: 'Clean-out before Middle' }).selectOption({ index: 2 });
      await expect.poll(async () => mostLikely(await rodeIn.innerText())).toBeLessThan(mostLikely(before));
      await page.getByRole('button', { name: /^Undo ?: (?!nothing)/ }).click();
      await expect(rodeIn).toHaveText(before);

      // A field whose log is at hand is cut; it is said to be uncut, and that is undone by the keys.
      const tick = page.getByRole('checkbox', { name: 'Middle is harvested' });
      await expect(tick).toBeChecked();
      await tick.uncheck();
      await expect(page.getByRole('heading', { name: /1 of 3 fields (is|are) harvested/ })).toBeVisible();
      await page.locator('#reading').focus();
      await page.keyboard.press('Control+z');
      await expect(tick).toBeChecked();
      expect(await faults(page)).toEqual([]);

      // One field: its ledger closes in each case; its picture can be saved.
      await page.getByRole('row', { name: /^West/ }).getByRole('button', { name: 'West' }).click();
      await expect(finding).toContainText(/^West made .+ stayed on it/);
      const ledger = page.getByRole('figure', { name: /Of .+ seeds on West/ });
      for (const biology of ['mild', 'harsh', 'most likely']) {
        await ledger.getByRole('radio', { name: biology }).check();
        const stream = ledger.getByRole('img', { name: new RegExp(`Seed of West as a stream, ${biology} case`) });
        const words = (await stream.getAttribute('aria-label'))!.split('case. ')[1]!;
        const said = words.split(/, (?=[a-z])/).map((one) => [one, amount(one)] as const);
        const into = said.filter(([one]) => /^(carried in|produced here)/.test(one));
        const out = said.filter(([one]) => !/^(carried in|produced here)/.test(one));
        const sum = (parts: typeof said) => parts.reduce((total, [, value]) => total + value, 0);
        expect(out.length).toBeGreaterThan(5);
        // To the two figures that are said.
        expect(sum(out) / sum(into), biology).toBeCloseTo(1, 1);
      }
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        ledger.getByRole('button', { name: 'Save the picture as SVG' }).click(),
      ]);
      expect(file.suggestedFilename()).toBe('small-farm-west-seed-ledger.svg');
      expect(readFileSync(await file.path(), 'utf8')).toMatch(/^<\?xml|^<svg/);

      // The way of the combine is walked by keys and by a press; what it held and let fall is told for each moment.
      const moment = page.getByRole('slider', { name: 'Moment of the harvest' });
      const said = async () => (await moment.getAttribute('aria-valuetext'))!;
      await moment.focus();
      await page.keyboard.press('Home');
      await expect(moment).toHaveAttribute('aria-valuetext', /pass 1 of 13, header down, cutting, .+ seeds aboard/);
      const first = await said();
      await page.getByRole('button', { name: 'Next pass' }).click();
      await expect(moment).toHaveAttribute('aria-valuetext', /pass 2 of 13/);
      await expect(page.getByRole('img', { name: 'Seed aboard over the time at work in West' })).toBeVisible();
      const box = (await moment.boundingBox())!;
      await moment.click({ position: { x: box.width * 0.6, y: box.height / 2 } });
      await expect(moment).toHaveAttribute('aria-valuetext', /pass [789] of 13|between passes/);
      const pressed = await said();
      expect(pressed).not.toBe(first);
      const now = page.getByLabel('At this moment');
      const told = async (term: string) =>
        amount(
          await now
            .locator('div')
            .filter({ has: page.getByText(term, { exact: true }) })
            .getByRole('definition')
            .innerText(),
        );
      const held = (await Promise.all(['lodged', 'in the chaff', 'in the straw', 'with the grain'].map(told))).reduce(
        (sum, one) => sum + one,
      );
      expect(held / (await told('Aboard'))).toBeCloseTo(1, 1);
      expect(await told('Laid down in the last minute')).toBeGreaterThan(0);

      // What the log left out is shown, let count, and left out again.
      const flags = page.getByText(/records, none deleted;/);
      await flags.click();
      await page.getByRole('button', { name: 'Show the records flagged header-up on the map' }).click();
      await expect(page.getByText(/^Rows of the file: /)).toBeVisible();
      await page.getByRole('checkbox', { name: 'Count the records flagged ramp-end' }).check();
      await expect(flags).toContainText('1 of them lifted');
      await page.getByRole('button', { name: /^Undo ?: Count records flagged ramp-end on West/ }).click();
      await expect(flags).not.toContainText('lifted');

      // It plays, and stops where it is stopped.
      await page.getByRole('button', { name: 'Play', exact: true }).click();
      await expect(moment).not.toHaveAttribute('aria-valuetext', pressed);
      const sheets = page.locator('canvas[data-over="map"]');
      await expect(sheets).toHaveCount(3);
      await page.getByRole('button', { name: 'Pause', exact: true }).click();
      await expect(page.getByRole('button', { name: 'Play', exact: true })).toBeVisible();
      await expect(sheets).toHaveCount(0);
      await expect(page.getByRole('heading', { name: /^West gave .+ bu\/ac of soybean/ })).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // The passes are on the map, and the machine with them: it moves with the slider.
      if (!finger) {
        const map = page.locator('.maplibregl-canvas');
        await moment.focus();
        await page.keyboard.press('Home');
        let still = await map.screenshot();
        await expect
          .poll(async () => {
            const last = still;
            still = await map.screenshot();
            return last.equals(still);
          })
          .toBe(true);
        await page.keyboard.press('End');
        await expect.poll(async () => (await map.screenshot()).equals(still)).toBe(false);
      }

      // The season of the same field, and a day on its strip.
      await go(page, 'Season');
      await expect(finding).toContainText(/On West \d+ to \d+% of the waterhemp emerged uncovered/);
      const day = page.getByRole('slider', { name: 'Day of the season' });
      await day.focus();
      await expect(day).toHaveAttribute('aria-valuetext', /^May 16: waterhemp emerged by then/);
      await page.keyboard.press('ArrowRight');
      await expect(day).toHaveAttribute('aria-valuetext', /^May 17/);
      await page.getByRole('button', { name: 'Back to all fields' }).click();
      await expect(finding).toContainText(/Waterhemp slipped through most on/);
      expect(await faults(page)).toEqual([]);
      await saved(page);
      expect(seen).toEqual([]);
    });
  });
}
