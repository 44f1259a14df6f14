/**
 * The one function that makes the ramps of the map, in OKLCH: lightness runs evenly with the value, hue drifts a little, chroma is
 * moderate. On dark ground lightness runs the other way, so that more always stands out more from the ground.
 * @source B. Ottosson, "A perceptual color space for image processing" (2020): the matrices, from memory; held by a test.
 */
export type Ground = 'light' | 'dark';

export interface Ramp {
  /** Hue at value 0 and at value 1, degrees. */
  readonly hueDeg: readonly [number, number];
  readonly chroma: readonly [number, number];
}

/** Weed, infestation and what to treat first. */
export const ROSE_TO_PLUM: Ramp = { hueDeg: [12, -28], chroma: [0.045, 0.125] };

const LIGHTNESS: Readonly<Record<Ground, readonly [number, number]>> = { light: [0.9, 0.36], dark: [0.33, 0.83] };
const CHROMA_ON_DARK = 0.62;

/** @param value 0–1 */
export function rampColor(ramp: Ramp, value: number, ground: Ground): string {
  const between = ([from, to]: readonly [number, number]) => from + (to - from) * value;
  const chroma = between(ramp.chroma) * (ground === 'dark' ? CHROMA_ON_DARK : 1);
  return hexOf(oklchToSrgb(between(LIGHTNESS[ground]), chroma, between(ramp.hueDeg)));
}

/** Letters that read on the color: black or white, one of which always has a contrast of 4.58 or more. */
export function lettersOn(color: string): '#000000' | '#ffffff' {
  const luminance = luminanceOf(color);
  return (luminance + 0.05) / 0.05 >= 1.05 / (luminance + 0.05) ? '#000000' : '#ffffff';
}

/** Relative luminance of "#rrggbb" (WCAG 2.2). */
export function luminanceOf(color: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => linearOf(parseInt(color.slice(at, at + 2), 16) / 255)) as [
    number,
    number,
    number,
  ];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export function linearOf(channel: number): number {
  return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
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
