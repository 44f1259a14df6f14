/** Where the dots of a plot of counts stand: zeros in columns of their own, the rest on a logarithmic axis, stacked by bin. */

export interface DotPicture {
  readonly dots: readonly { readonly x: number; readonly y: number; readonly zero: boolean }[];
  readonly ticks: readonly { readonly x: number; readonly text: string }[];
  readonly zeroX: number;
  readonly thresholdX: number;
  readonly radiusPx: number;
  readonly heightPx: number;
  /** Places that a dot stands for; above 1 where single ones would tower. */
  readonly placesADot: number;
}

const ZERO_COLUMNS = 5;
const MARGIN_PX = 16;
const HIGHEST_PX = 120;
const RADII_PX = [4.5, 4, 3.5, 3, 2.5, 2, 1.5];
const STEPS = [1, 2, 5];

/**
 * @param densities at least 0
 * @param threshold above 0, in the same unit
 */
export function dotsOf(densities: readonly number[], threshold: number, widthPx: number): DotPicture {
  const found = densities.filter((one) => one > 0).sort((a, b) => a - b);
  const zeroCount = densities.length - found.length;
  const low = Math.min(threshold, found[0] ?? threshold) / 1.5;
  const high = Math.max(threshold, found.at(-1) ?? threshold) * 1.5;
  const radiusPx = RADII_PX.find((one) => 2 * one * tallest(one) <= HIGHEST_PX) ?? RADII_PX.at(-1)!;
  const stepPx = 2 * radiusPx;
  const placesADot = Math.max(1, Math.ceil((stepPx * tallest(radiusPx)) / HIGHEST_PX));

  function scaleOf(step: number): (value: number) => number {
    const from = ZERO_COLUMNS * step + 2 * MARGIN_PX;
    const to = Math.max(from + MARGIN_PX, widthPx - MARGIN_PX);
    return (value) => from + (Math.log(value / low) / Math.log(high / low)) * (to - from);
  }
  /** How many places stand in each column. */
  function binned(step: number): Map<number, number> {
    const at = scaleOf(step);
    const bins = new Map<number, number>();
    for (const one of found) {
      const bin = Math.round(at(one) / step);
      bins.set(bin, (bins.get(bin) ?? 0) + 1);
    }
    return bins;
  }
  function tallest(radius: number): number {
    let most = Math.max(1, Math.ceil(zeroCount / ZERO_COLUMNS));
    for (const count of binned(2 * radius).values()) most = Math.max(most, count);
    return most;
  }

  const zeros = Array.from({ length: Math.ceil(zeroCount / placesADot) }, (_, n) => ({
    x: MARGIN_PX / 2 + radiusPx + (n % ZERO_COLUMNS) * stepPx,
    y: radiusPx + Math.floor(n / ZERO_COLUMNS) * stepPx,
    zero: true,
  }));
  const stacked = [...binned(stepPx)].flatMap(([bin, count]) =>
    Array.from({ length: Math.ceil(count / placesADot) }, (_, n) => ({
      x: bin * stepPx,
      y: radiusPx + n * stepPx,
      zero: false,
    })),
  );
  const at = scaleOf(stepPx);
  return {
    dots: [...zeros, ...stacked],
    ticks: ticksBetween(low, high).map((value) => ({ x: at(value), text: String(Number(value.toPrecision(3))) })),
    zeroX: MARGIN_PX / 2 + (ZERO_COLUMNS * stepPx) / 2,
    thresholdX: at(threshold),
    radiusPx,
    heightPx: Math.max(40, stepPx * Math.ceil(tallest(radiusPx) / placesADot) + 8),
    placesADot,
  };
}

/** Round numbers inside the axis: one a decade where it is long, else 1, 2, 5. */
function ticksBetween(low: number, high: number): number[] {
  const steps = Math.log10(high / low) > 2.2 ? [1] : STEPS;
  const ticks: number[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power++) {
    for (const step of steps) {
      const value = step * 10 ** power;
      if (value >= low && value <= high) ticks.push(value);
    }
  }
  return ticks;
}
