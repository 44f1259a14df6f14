/** An arrow as one filled shape whose shaft is as wide as what it stands for, bent to one side so that ways there and back lie apart. */
export interface ArrowShape {
  readonly path: string;
  /** Middle of the shaft, and the direction across it (unit vector). */
  readonly middle: readonly [x: number, y: number];
  readonly across: readonly [x: number, y: number];
}

type Point = readonly [x: number, y: number];

const STEPS = 16;
const BEND = 0.16;

/**
 * @param widthPx of the shaft; the head is wider by `headPx` on either side
 * @param clearPx the arrow begins and ends so far from its two points
 */
export function arrowShape(from: Point, to: Point, widthPx: number, clearPx: number, headPx = 3.5): ArrowShape {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy) || 1;
  const control: Point = [(from[0] + to[0]) / 2 - dy * BEND, (from[1] + to[1]) / 2 + dx * BEND];
  const clear = Math.min(0.35, clearPx / length);
  const headLength = Math.min(0.4 * length, widthPx / 2 + 2 * headPx);
  const headFrom = Math.max(clear, 1 - clear - headLength / length);
  const at = (t: number): Point => [
    (1 - t) ** 2 * from[0] + 2 * t * (1 - t) * control[0] + t * t * to[0],
    (1 - t) ** 2 * from[1] + 2 * t * (1 - t) * control[1] + t * t * to[1],
  ];
  const side = (t: number): Point => {
    const x = 2 * (1 - t) * (control[0] - from[0]) + 2 * t * (to[0] - control[0]);
    const y = 2 * (1 - t) * (control[1] - from[1]) + 2 * t * (to[1] - control[1]);
    const size = Math.hypot(x, y) || 1;
    return [-y / size, x / size];
  };
  const edge = (t: number, by: number): string => {
    const [[x, y], [ax, ay]] = [at(t), side(t)];
    return `${(x + ax * by).toFixed(1)} ${(y + ay * by).toFixed(1)}`;
  };
  const ts = Array.from({ length: STEPS + 1 }, (_, k) => clear + (k / STEPS) * (headFrom - clear));
  const half = widthPx / 2;
  const tip = at(1 - clear);
  const outline = [
    ...ts.map((t) => edge(t, half)),
    edge(headFrom, half + headPx),
    `${tip[0].toFixed(1)} ${tip[1].toFixed(1)}`,
    edge(headFrom, -half - headPx),
    ...[...ts].reverse().map((t) => edge(t, -half)),
  ];
  const middle = (clear + headFrom) / 2;
  return { path: `M${outline.join('L')}Z`, middle: at(middle), across: side(middle) };
}
