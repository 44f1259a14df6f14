/** Files dropped on the page as a person drops them. */
import type { Page } from '@playwright/test';

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
