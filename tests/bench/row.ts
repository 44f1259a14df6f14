/** One line of the table at the end of `npm run bench`: what was measured, and the target where there is one. */
export interface Row {
  readonly what: string;
  readonly measured: string;
  readonly target: string;
  /** null: measured without a target. */
  readonly met: boolean | null;
}

export interface Target {
  readonly atMost?: number;
  readonly atLeast?: number;
}

/** @param unit written behind the number: "s", "MiB", "records/s", or "" */
export function row(what: string, value: number, unit: string, { atMost, atLeast }: Target = {}): Row {
  const text = (number: number) => `${short(number)}${unit === '' ? '' : ` ${unit}`}`;
  const measured = text(value);
  if (atMost !== undefined) return { what, measured, target: `≤ ${text(atMost)}`, met: value <= atMost };
  if (atLeast !== undefined) return { what, measured, target: `≥ ${text(atLeast)}`, met: value >= atLeast };
  return { what, measured, target: '', met: null };
}

/** Three digits that count; thousands apart. */
export function short(value: number): string {
  if (Math.abs(value) >= 1000) return String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ' ');
  return String(Number(value.toPrecision(3)));
}
