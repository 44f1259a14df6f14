/**
 * The one function that makes the ramps of the map, in OKLCH: lightness runs evenly with the value, hue drifts a little, chroma is
 * moderate. On dark ground lightness runs the other way, so that more always stands out more from the ground.
 * @source B. Ottosson, "A perceptual color space for image processing" (2020): the matrices, from memory; held by a test.
 */
import type { GroundId } from '../state/theme.svelte.ts';

export type Ground = GroundId;

export interface Ramp {
  /** Hue at value 0 and at value 1, degrees. */
  readonly hueDeg: readonly [number, number];
  readonly chroma: readonly [number, number];
  /** Begins at the paper itself: what is not sure fades away. */
  readonly fromPaper?: boolean;
}

/** Away from the middle (value 0.5) to both sides, each with its own hue: less to value 0, more to value 1. */
export interface Diverging {
  readonly lessHueDeg: number;
  readonly moreHueDeg: number;
  readonly chroma: number;
}

/** Weed, infestation and what to treat first. */
export const ROSE_TO_PLUM: Ramp = { hueDeg: [12, -28], chroma: [0.045, 0.125] };
/** Seed: on the ground and in it. */
export const SAND_TO_UMBER: Ramp = { hueDeg: [84, 54], chroma: [0.05, 0.075] };
export const PALE_TO_TEAL: Ramp = { hueDeg: [182, 204], chroma: [0.03, 0.058] };
/** What is lost: yield, money. */
export const STRAW_TO_RUST: Ramp = { hueDeg: [98, 38], chroma: [0.095, 0.11] };
export const PAPER_TO_INK_BLUE: Ramp = { hueDeg: [264, 252], chroma: [0.004, 0.07], fromPaper: true };
/** Gain in ink blue, through paper, to loss in rust. */
export const RUST_TO_INK_BLUE: Diverging = { lessHueDeg: 40, moreHueDeg: 254, chroma: 0.1 };

const LIGHTNESS: Readonly<Record<Ground, readonly [number, number]>> = {
  light: [0.9, 0.36],
  dark: [0.33, 0.83],
  sunlight: [0.93, 0.28],
};
const PAPER_LIGHTNESS: Readonly<Record<Ground, number>> = { light: 0.95, dark: 0.25, sunlight: 0.97 };
const CHROMA_ON: Readonly<Record<Ground, number>> = { light: 1, dark: 0.62, sunlight: 0.85 };

/** @param value 0–1 */
export function rampColor(ramp: Ramp | Diverging, value: number, ground: Ground): string {
  if ('moreHueDeg' in ramp) return divergingColor(ramp, value, ground);
  const [least, most] = LIGHTNESS[ground];
  const lightness = between([ramp.fromPaper ? PAPER_LIGHTNESS[ground] : least, most], value);
  const chroma = between(ramp.chroma, value) * CHROMA_ON[ground];
  return hexOf(oklchToSrgb(lightness, chroma, between(ramp.hueDeg, value)));
}

function divergingColor(ramp: Diverging, value: number, ground: Ground): string {
  const away = Math.abs(2 * value - 1);
  const lightness = between([PAPER_LIGHTNESS[ground], LIGHTNESS[ground][1]], away);
  return hexOf(
    oklchToSrgb(lightness, ramp.chroma * away * CHROMA_ON[ground], value < 0.5 ? ramp.lessHueDeg : ramp.moreHueDeg),
  );
}

/** Colors of a ramp, each worked out once: cells are many and classes few. */
export function rampColors(ramp: Ramp | Diverging, ground: Ground): (place: number) => string {
  const known = new Map<number, string>();
  return (place) => {
    const before = known.get(place);
    if (before !== undefined) return before;
    const color = rampColor(ramp, place, ground);
    known.set(place, color);
    return color;
  };
}

function between([from, to]: readonly [number, number], value: number): number {
  return from + (to - from) * value;
}

/** Letters that read on the color: black or white, one of which always has a contrast of 4.58 or more. */
export function lettersOn(color: string): '#000000' | '#ffffff' {
  const luminance = luminanceOf(color);
  return (luminance + 0.05) / 0.05 >= 1.05 / (luminance + 0.05) ? '#000000' : '#ffffff';
}

/** Relative luminance of "#rrggbb" (WCAG 2.2). */
export function luminanceOf(color: string): number {
  const [r, g, b] = channelsOf(color).map((channel) => linearOf(channel / 255)) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export function linearOf(channel: number): number {
  return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
}

/** Red, green and blue of "#rrggbb", 0–255. */
export function channelsOf(color: string): [red: number, green: number, blue: number] {
  const at = (from: number) => parseInt(color.slice(from, from + 2), 16);
  return [at(1), at(3), at(5)];
}

function oklchToSrgb(lightness: number, chroma: number, hueDeg: number): [number, number, number] {
  const hue = (hueDeg * Math.PI) / 180;
  const [a, b] = [chroma * Math.cos(hue), chroma * Math.sin(hue)];
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

function hexOf(linear: readonly number[]): string {
  const channels = linear.map((value) => {
    const within = Math.min(1, Math.max(0, value));
    const coded = within <= 0.0031308 ? 12.92 * within : 1.055 * within ** (1 / 2.4) - 0.055;
    return Math.round(coded * 255)
      .toString(16)
      .padStart(2, '0');
  });
  return `#${channels.join('')}`;
}
