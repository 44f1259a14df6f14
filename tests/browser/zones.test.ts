/** The consultant checks the evidence, draws and changes zones by hand and sees their numbers follow, and compares the programs. */
import { expect, type Locator, type Page, test } from '@playwright/test';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';
import { groundOf, handsOf, type Metres } from '../support/hands.ts';
import { DESK_AND_PHONE } from '../support/screens.ts';

const M2_PER_ACRE = 4046.8564224;
const drawing = (page: Page) => page.getByRole('region', { name: 'Drawing' });
const inBar = (page: Page, name: string) => drawing(page).getByRole('button', { name, exact: true });
/** A finger takes an edge from far. */
const snaps = (page: Page) => drawing(page).getByRole('checkbox', { name: 'Snap to edges' });
const zones = (page: Page) => page.getByRole('region', { name: /of West/ });
const headOf = (page: Page, letter: string) =>
  zones(page).getByRole('button', { name: new RegExp(`^${letter} [\\d.]`) });
const undo = (page: Page) => page.getByRole('button', { name: /^Undo ?: (?!nothing)/ });
const redo = (page: Page) => page.getByRole('button', { name: /^Redo ?: (?!nothing)/ });

async function acres(at: Locator): Promise<number> {
  const words = await at.innerText();
  return Number(/([\d.]+) ac/.exec(words)?.[1] ?? `no acres in "${words}"`);
}

/** Waits until a zone has this area, as the page shows it: to the hundredth of an acre. */
async function holds(page: Page, letter: string, areaM2: number, withinM2 = 60): Promise<void> {
  await expect(headOf(page, letter)).toBeVisible();
  await expect
    .poll(async () => Math.abs((await acres(headOf(page, letter))) * M2_PER_ACRE - areaM2), {
      message: `zone ${letter}`,
    })
    .toBeLessThan(withinM2);
}

async function open(page: Page, letter: string): Promise<void> {
  const head = headOf(page, letter);
  if ((await head.getAttribute('aria-expanded')) !== 'true') await head.click();
  await expect(head).toHaveAttribute('aria-expanded', 'true');
}

function areaM2(corners: readonly Metres[]): number {
  return (
    Math.abs(
      corners.reduce((sum, [x, y], i) => {
        const [nx, ny] = corners[(i + 1) % corners.length]!;
        return sum + x * ny - nx * y;
      }, 0),
    ) / 2
  );
}

async function openZones(page: Page): Promise<void> {
  await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: 'Plan' }).click();
  await page.getByRole('button', { name: 'Zones', exact: true }).click();
  await expect(zones(page).getByRole('button', { name: 'Draw a zone' })).toBeVisible();
}

for (const { name, finger, use } of DESK_AND_PHONE) {
  test.describe(name, () => {
    test.use(use);

    test('the consultant checks the evidence, draws a zone, changes it in every way, and finds it again', async ({
      page,
    }) => {
      const seen = watched(page);
      await openSmallFarm(page);
      const { press, drag } = handsOf(page, 'West', finger);

      // The evidence: what was counted, where, and what was made of it.
      await page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name: 'Infestation' }).click();
      await press([60, 30]);
      await expect(page.getByRole('heading', { level: 1 })).toContainText(/acres, most likely [\d.]+ of West/);
      await expect(page.getByRole('heading', { name: '15 of 25 places had no waterhemp' })).toBeVisible();
      await expect(page.getByText('25 places, 10 with the weed')).toBeVisible();

      // What the study proposes is there, and not yet the person's.
      await openZones(page);
      await expect(zones(page).getByText('Proposed by the study and not yet yours')).toBeVisible();
      const proposed = await acres(headOf(page, 'A'));

      // An outline that crosses itself is refused where it is drawn, with what to do.
      await zones(page).getByRole('button', { name: 'Draw a zone' }).click();
      await expect(drawing(page)).toContainText('Press its first corner on the map.');
      for (const at of [
        [20, 75],
        [100, 105],
        [100, 75],
        [20, 105],
      ] as const)
        await press(at);
      await expect(drawing(page)).toContainText(
        /The outline crosses itself \d+ ft from corner \d \(ringed on the map\)\./,
      );
      await expect(inBar(page, 'Done')).toBeDisabled();
      await expect(drawing(page).getByRole('button', { name: /^Mend it: keep all that it winds about/ })).toBeVisible();
      expect(await faults(page)).toEqual([]);

      // Taken back corner by corner, and drawn as it was meant; its numbers are told while it is drawn.
      for (let back = 0; back < 3; back++) await inBar(page, 'Undo').click();
      for (const at of [
        [100, 75],
        [100, 105],
        [20, 105],
      ] as const)
        await press(at);
      await press([20, 75]);
      await expect(drawing(page)).toContainText('Drag a corner to move it');
      await expect(drawing(page)).toContainText(/Zone B: 0\.[56]\d* ac · about .+ fell there/);
      await inBar(page, 'Done').click();
      let corners: Metres[] = [
        [20, 75],
        [100, 75],
        [100, 105],
        [20, 105],
      ];
      await holds(page, 'B', areaM2(corners));
      await holds(page, 'A', proposed * M2_PER_ACRE);
      await expect(zones(page).getByText('Drawn or taken by you')).toBeVisible();
      await expect(zones(page).getByRole('heading', { level: 2 })).toContainText(
        /^2 zones hold [\d.]+ ac of the 3\.56 ac/,
      );

      // A corner is dragged; another is deleted.
      await open(page, 'B');
      await zones(page).getByRole('button', { name: 'Reshape' }).click();
      await expect(drawing(page)).toBeVisible();
      await snaps(page).uncheck();
      await drag([100, 105], [108, 108]);
      await expect(drawing(page)).toContainText('4 corners');
      await inBar(page, 'Done').click();
      corners = [
        [20, 75],
        [100, 75],
        [108, 108],
        [20, 105],
      ];
      await holds(page, 'B', areaM2(corners));

      await open(page, 'B');
      await zones(page).getByRole('button', { name: 'Reshape' }).click();
      await expect(drawing(page)).toBeVisible();
      await press([20, 75]);
      await expect(inBar(page, 'Delete corner')).toBeVisible();
      if (finger) await inBar(page, 'Delete corner').click();
      else await page.keyboard.press('Delete');
      await expect(drawing(page)).toContainText('3 corners');
      await inBar(page, 'Done').click();
      await holds(page, 'B', areaM2(corners.slice(1)));

      // Undo and redo, of the farm.
      await undo(page).click();
      await holds(page, 'B', areaM2(corners));
      await redo(page).click();
      await holds(page, 'B', areaM2(corners.slice(1)));
      await undo(page).click();
      await holds(page, 'B', areaM2(corners));

      // Split by a line from side to side, and one again.
      await open(page, 'B');
      await zones(page).getByRole('button', { name: 'Split by a line' }).click();
      await expect(drawing(page)).toBeVisible();
      await press([62, 66]);
      await press([62, 116]);
      await inBar(page, 'Done').click();
      await expect(headOf(page, 'C')).toBeVisible();
      await expect
        .poll(async () => ((await acres(headOf(page, 'B'))) + (await acres(headOf(page, 'C')))) * M2_PER_ACRE)
        .toBeLessThan(areaM2(corners) + 100);
      expect(await acres(headOf(page, 'C'))).toBeGreaterThan(0.25);
      await open(page, 'B');
      await zones(page).getByLabel('Merge with').selectOption({ label: 'zone C' });
      await zones(page).getByRole('button', { name: 'Merge both' }).click();
      await expect(headOf(page, 'C')).toHaveCount(0);
      await holds(page, 'B', areaM2(corners));

      // A hole is cut; an edge is moved outward, and nonsense is refused where it is typed.
      await open(page, 'B');
      await zones(page).getByRole('button', { name: 'Cut a hole' }).click();
      await expect(drawing(page)).toBeVisible();
      await snaps(page).uncheck();
      for (const at of [
        [40, 85],
        [75, 85],
        [75, 96],
        [40, 96],
      ] as const)
        await press(at);
      await inBar(page, 'Done').click();
      const holed = areaM2(corners) - 35 * 11;
      await holds(page, 'B', holed);
      await open(page, 'B');
      const distance = zones(page).getByRole('textbox', { name: 'Move its edge by' });
      await distance.fill('a little');
      await zones(page).getByRole('button', { name: 'Grow' }).click();
      await expect(zones(page).getByText('Type how many ft the edge is to move, above 0.')).toBeVisible();
      await holds(page, 'B', holed);
      await distance.fill('3');
      await zones(page).getByRole('button', { name: 'Grow' }).click();
      await expect.poll(async () => (await acres(headOf(page, 'B'))) * M2_PER_ACRE).toBeGreaterThan(holed + 150);

      // Zones never overlap: what another holds is cut off, and told.
      await zones(page).getByRole('button', { name: 'Draw a zone' }).click();
      await expect(drawing(page)).toBeVisible();
      for (const at of [
        [80, 40],
        [107, 40],
        [107, 90],
        [80, 90],
      ] as const)
        await press(at);
      await inBar(page, 'Done').click();
      await expect(
        zones(page).getByText(/ of zone C belong to zone A already and were cut off: zones never overlap/),
      ).toBeVisible();
      await holds(page, 'A', proposed * M2_PER_ACRE);
      expect(await acres(headOf(page, 'C'))).toBeLessThan(0.3);
      await undo(page).click();
      await expect(headOf(page, 'C')).toHaveCount(0);
      expect(await faults(page)).toEqual([]);

      // All of it is there after a reload.
      await saved(page);
      const before = await zones(page).getByRole('heading', { level: 2 }).innerText();
      await page.reload();
      await page.getByRole('button', { name: 'Zones', exact: true }).click();
      await expect(zones(page).getByRole('heading', { level: 2 })).toHaveText(before);
      await expect(undo(page)).toBeEnabled();

      // The programs of the field side by side, and one chosen for it.
      await page.getByRole('button', { name: 'One field', exact: true }).click();
      const programs = page.getByRole('region', { name: /West/ }).getByRole('listitem');
      await expect(programs.filter({ hasText: 'Beside now' }).first()).toBeVisible();
      await expect(programs.first().getByRole('img')).toBeVisible();
      const choose = page.getByRole('button', { name: 'Choose for 2027' });
      const choices = await choose.count();
      expect(choices).toBeGreaterThan(1);
      await choose.last().click();
      await expect(page.getByRole('button', { name: 'Chosen for 2027: take it back' })).toHaveCount(1);
      await expect(choose).toHaveCount(choices - 1);
      expect(await faults(page)).toEqual([]);
      expect(seen).toEqual([]);
    });
  });
}

test('a zone is drawn, reshaped and deleted by the keyboard alone', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  await page.goto('/#/small-farm/plan?field=west');
  await page.getByRole('button', { name: 'Zones', exact: true }).press('Enter');
  const draw = zones(page).getByRole('button', { name: 'Draw a zone' });
  await draw.press('Enter');
  const pad = page.getByRole('application', { name: 'Drawing pad. Draw a zone on West' });
  await expect(pad).toBeFocused();

  // The step is said; the cross begins in the middle of the field and is walked to each corner.
  await groundOf(page, 'West');
  await expect(drawing(page)).toContainText('Arrow keys move by 5 ft, Enter places');
  const walk = async (key: string, times: number) => {
    for (let n = 0; n < times; n++) await page.keyboard.press(key);
  };
  await walk('Shift+ArrowUp', 1);
  await walk('ArrowUp', 2);
  await page.keyboard.press('Enter');
  await walk('Shift+ArrowRight', 2);
  await page.keyboard.press('Enter');
  await walk('Shift+ArrowUp', 2);
  await page.keyboard.press('Enter');
  await walk('Shift+ArrowLeft', 2);
  await page.keyboard.press('Enter');
  await expect(drawing(page)).toContainText('4 corners');
  await page.keyboard.press('Control+Enter');
  await expect(drawing(page)).toHaveCount(0);
  // 100 ft each way.
  await holds(page, 'B', 30.48 ** 2);

  // Tab walks over the corners, an arrow moves the one that is said, Delete deletes it.
  if ((await headOf(page, 'B').getAttribute('aria-expanded')) !== 'true') await headOf(page, 'B').press('Enter');
  await zones(page).getByRole('button', { name: 'Reshape' }).press('Enter');
  await expect(page.getByRole('application', { name: /Reshape zone B/ })).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(page.getByText(/^Corner 1 of 4, /)).toBeAttached();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Delete');
  await expect(page.getByText('Corner deleted.')).toBeAttached();
  await page.keyboard.press('Control+Enter');
  await holds(page, 'B', 30.48 ** 2 / 2);

  // A drawing is given up without a trace.
  await draw.press('Enter');
  await expect(pad).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(drawing(page)).toContainText('1 corner');
  await page.keyboard.press('Escape');
  await expect(drawing(page)).toHaveCount(0);
  await expect(headOf(page, 'C')).toHaveCount(0);

  if ((await headOf(page, 'B').getAttribute('aria-expanded')) !== 'true') await headOf(page, 'B').press('Enter');
  await zones(page).getByRole('button', { name: 'Delete zone B' }).press('Enter');
  await expect(headOf(page, 'B')).toHaveCount(0);
  await page.keyboard.press('Control+z');
  await holds(page, 'B', 30.48 ** 2 / 2);
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});
