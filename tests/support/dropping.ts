/** Files dropped on the page as a person drops them. */
import type { Page } from '@playwright/test';

/** A file of any size that is made in the page: a block over and over. */
export interface Huge {
  readonly head: string;
  readonly block: string;
  readonly bytes: number;
}

export async function drop(
  page: Page,
  files: Readonly<Record<string, string | Uint8Array>>,
  huge: Readonly<Record<string, Huge>> = {},
): Promise<void> {
  const given = Object.entries(files).map(([name, content]) => ({
    name,
    base64: Buffer.from(content).toString('base64'),
  }));
  const transfer = await page.evaluateHandle(
    ({ all, large }) => {
      const carried = new DataTransfer();
      for (const { name, base64 } of all) {
        const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
        carried.items.add(new File([bytes], name));
      }
      for (const [name, { head, block, bytes }] of large) {
        const part = new Blob([block]);
        const parts = Array.from({ length: Math.ceil(bytes / part.size) }, () => part);
        carried.items.add(new File([head, ...parts], name));
      }
      return carried;
    },
    { all: given, large: Object.entries(huge) },
  );
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}
