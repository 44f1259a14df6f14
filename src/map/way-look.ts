/** How the way of a combine looks: the same where the graphics card draws it and where it is retraced. Device pixels. */

/** Pieces of an assumed way, seconds, and the drawn share of each. */
export const DASH_S = 12;
export const DASH_SHARE = 0.6;
/** Where nothing is cut, of the ink elsewhere. */
export const UNCUT_SHARE = 0.3;
/** The fresh deposit has dried after so long. */
export const DRIES_IN_S = 180;
export const FRESH_ALPHA = 0.9;

const LINE_PX = 1.2;
/** Full ink where passes lie this far apart on screen; fainter the closer they are, so that the shade beneath shows. */
const CLEAR_PX = 14;
/** Ticks are drawn where a minute's way is at least this long on screen, at a combine's usual 2 m/s. */
const TICK_FROM_PX_A_MINUTE = 40;
const USUAL_SPEED_MS = 2;
const TICK_PX = [8, 1.6] as const;
/** Least size of the machine's picture on screen: its cutter bar, and its body behind it. */
const [BAR_PX, BODY_PX] = [14, 12];
const BODY_M = 7;

export interface WayLook {
  readonly alpha: number;
  readonly linePx: number;
  /** On a dark shade ink is not seen without some paper beside it; 0 where passes are too close for it. */
  readonly haloPx: number;
  readonly haloAlpha: number;
  readonly freshPx: number;
  /** Length and thickness; null where minutes are too short for ticks. */
  readonly tickPx: readonly [number, number] | null;
  readonly machine: {
    readonly barPx: number;
    readonly thickPx: number;
    readonly bodyPx: number;
    readonly edgePx: number;
  };
}

/** @param ratio device pixels a CSS pixel @param behind others: fainter */
export function wayLook(
  { headerWidthM, assumed }: { readonly headerWidthM: number; readonly assumed: boolean },
  pxPerM: number,
  ratio: number,
  bold: number,
  behind: boolean,
): WayLook {
  const swathPx = headerWidthM * pxPerM;
  const clear = Math.min(1, Math.max(0.14, swathPx / (CLEAR_PX * ratio)));
  const alpha = 0.8 * clear * (behind ? 0.35 : 1);
  const linePx = LINE_PX * bold * ratio;
  const minutePx = (60 * USUAL_SPEED_MS * pxPerM) / ratio;
  return {
    alpha,
    linePx,
    haloPx: clear === 1 ? 3 * linePx : 0,
    haloAlpha: 0.4 * alpha,
    freshPx: Math.max(2, swathPx),
    tickPx: assumed || minutePx < TICK_FROM_PX_A_MINUTE ? null : [TICK_PX[0] * ratio, TICK_PX[1] * bold * ratio],
    machine: {
      barPx: Math.max(BAR_PX * ratio, swathPx),
      thickPx: 4 * ratio,
      bodyPx: Math.max(BODY_PX * ratio, BODY_M * pxPerM),
      edgePx: 3 * ratio,
    },
  };
}
