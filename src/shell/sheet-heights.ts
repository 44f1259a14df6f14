/** Shares of the screen that the sheet on a phone may take. */
export const SHEET_HEIGHTS = { low: 0.2, half: 0.5, full: 0.92 } as const;
export type SheetHeight = keyof typeof SHEET_HEIGHTS;

const ORDER: readonly SheetHeight[] = ['low', 'half', 'full'];

/** A press goes up, and from the top down to the map again. */
export function nextHeight(height: SheetHeight): SheetHeight {
  return ORDER[(ORDER.indexOf(height) + 1) % ORDER.length]!;
}

export function nearestHeight(fraction: number): SheetHeight {
  const away = (height: SheetHeight) => Math.abs(SHEET_HEIGHTS[height] - fraction);
  return ORDER.reduce((best, one) => (away(one) < away(best) ? one : best));
}
