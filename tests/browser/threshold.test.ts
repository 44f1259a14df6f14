/** The consultant asks from which density on ground should count as infested, and sees on the map what each would mean. */
import { expect, test } from '@playwright/test';
import { faults, openSmallFarm, saved, watched } from '../support/browser.ts';

test('a threshold is tried by hand, left, taken, and undone', async ({ page }) => {
  const seen = watched(page);
  await openSmallFarm(page);
  await page.getByRole('button', { name: 'Infestation' }).click();
  await page.getByLabel('Where', { exact: true }).selectOption({ label: 'West' });
  const slider = page.getByRole('slider', { name: /Ground counts as infested from/ });
  const usual = await slider.inputValue();
  const finding = page.getByRole('heading', { level: 1 });
  const before = await finding.textContent();
  const legend = page.getByLabel('Shade the fields by');
  await expect(legend).toHaveValue('density');

  for (let step = 0; step < 12; step++) await slider.press('ArrowRight');
  const told = page.getByRole('status').filter({ hasText: /Waterhemp stands at .* or more on/ });
  // What is told is the last step's, once its answer is there.
  const last = async () => ` ${await slider.getAttribute('aria-valuetext')} or more`;
  await expect(told).toContainText(await last());
  await expect(legend).toHaveValue('chance');
  await expect(finding).toHaveText(before!);
  const tried = await told.innerText();
  await page.getByRole('button', { name: /^Leave it at/ }).click();
  await expect(told).toBeHidden();
  await expect(slider).toHaveValue(usual);
  await expect(legend).toHaveValue('density');

  for (let step = 0; step < 12; step++) await slider.press('ArrowRight');
  await expect(told).toContainText(await last());
  await expect(told).toHaveText(tried);
  await page.getByRole('button', { name: 'Take this threshold on the whole farm' }).click();
  await expect(told).toBeHidden();
  // What was tried is what the study says.
  const area = / on (.*?); the map/.exec(tried)![1]!;
  await expect(finding).toContainText(area);
  await saved(page);
  await page.reload();
  await expect(finding).toContainText(area);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(finding).toHaveText(before!);
  await expect(slider).toHaveValue(usual);
  expect(await faults(page)).toEqual([]);
  expect(seen).toEqual([]);
});
