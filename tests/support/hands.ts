/** Hands on the map of the small farm: places in metres of a field become places on the screen, pressed and dragged by mouse or finger. */
import { expect, type Locator, type Page } from '@playwright/test';
import { type FieldName, FIELDS, SIDE_M } from './small-farm.ts';

export interface Pixel {
  readonly x: number;
  readonly y: number;
}
/** Metres from a field's south-west corner. */
export type Metres = readonly [x: number, y: number];

export interface Hands {
  readonly press: (at: Metres) => Promise<void>;
  readonly drag: (from: Metres, to: Metres) => Promise<void>;
}

const mapOf = (page: Page): Locator => page.getByRole('group', { name: /^Map of the fields/ });

/** The button of a field stands on the middle of a square field. */
async function middleOf(page: Page, field: FieldName): Promise<Pixel> {
  const box = await mapOf(page).locator(`[data-field=${field.toLowerCase()}]`).boundingBox();
  if (!box) throw new Error(`${field} is not on the map`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** Waits until the map stands still, with the field as large as it can be shown. @returns where a place of it is seen */
export async function groundOf(page: Page, field: FieldName): Promise<(at: Metres) => Pixel> {
  const look = async () => [await middleOf(page, 'West'), await middleOf(page, 'East')] as const;
  let last = await look();
  await expect
    .poll(
      async () => {
        const before = last;
        last = await look();
        return JSON.stringify(before) === JSON.stringify(last) && last[1].x - last[0].x > 1;
      },
      { intervals: [100] },
    )
    .toBe(true);
  const [west, east] = last;
  const pxPerM = (east.x - west.x) / (FIELDS.East - FIELDS.West);
  return ([x, y]) => ({
    x: west.x + (FIELDS[field] + x - SIDE_M / 2) * pxPerM,
    y: west.y - (y - SIDE_M / 2) * pxPerM,
  });
}

/** A mouse on a desk, a finger on a phone; each looks anew where the map is. */
export function handsOf(page: Page, field: FieldName, finger: boolean): Hands {
  const spot = async (at: Metres) => (await groundOf(page, field))(at);
  return {
    press: async (at) => {
      const { x, y } = await spot(at);
      await (finger ? page.touchscreen.tap(x, y) : page.mouse.click(x, y));
    },
    drag: async (from, to) => {
      const [a, b] = [await spot(from), await spot(to)];
      await (finger ? dragByFinger(page, a, b) : dragByMouse(page, a, b));
    },
  };
}

const STEPS = 6;

async function dragByMouse(page: Page, from: Pixel, to: Pixel): Promise<void> {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(to.x, to.y, { steps: STEPS });
  await page.mouse.up();
}

async function dragByFinger(page: Page, from: Pixel, to: Pixel): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', touchPoints: Pixel[]) =>
    session.send('Input.dispatchTouchEvent', { type, touchPoints });
  await touch('touchStart', [from]);
  for (let step = 1; step <= STEPS; step++) {
    const along = (a: number, b: number) => a + ((b - a) * step) / STEPS;
    await touch('touchMove', [{ x: along(from.x, to.x), y: along(from.y, to.y) }]);
  }
  await touch('touchEnd', []);
  await session.detach();
}

/** Red, green, blue of what is seen at a place. */
export async function colorAt(page: Page, { x, y }: Pixel): Promise<readonly [number, number, number]> {
  const clip = { x: Math.round(x), y: Math.round(y), width: 1, height: 1 };
  const png = (await page.screenshot({ clip })).toString('base64');
  return page.evaluate(async (text) => {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const context = new OffscreenCanvas(1, 1).getContext('2d')!;
    context.drawImage(picture, 0, 0);
    const [red, green, blue] = context.getImageData(0, 0, 1, 1).data;
    return [red!, green!, blue!] as const;
  }, png);
}
