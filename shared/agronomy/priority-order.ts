/** Which zone or field first: gain per money, with rules for ties, and how firm that order is. */

export interface PriorityItem {
  readonly id: string;
  readonly gain: number;
  /** Beyond now. */
  readonly cost: number;
  readonly stake: number;
  readonly areaHa: number;
}

export interface PriorityPlace {
  readonly id: string;
  /** Gain per money; null where nothing is spent: there is no such ratio. */
  readonly gainPerMoney: number | null;
}

/**
 * Order of priority: what gains without cost first, then by gain per money; ties by stake, then area (larger first), then
 * id. What neither gains nor costs stands between gain and loss; what saves money now but loses more comes last.
 * @throws where a number is unknown: leave such items out and list them apart
 * @source methods-season §7; reference case ranking-rules
 * @cost O(n log n)
 */
export function orderByPriority(items: readonly PriorityItem[]): PriorityPlace[] {
  for (const { id, gain, cost, stake, areaHa } of items) {
    if (![gain, cost, stake, areaHa].every(Number.isFinite)) {
      throw new RangeError(`orderByPriority: ${id} has an unknown gain, cost, stake or area`);
    }
  }
  const sorted = [...items].sort(
    (a, b) =>
      rankKey(b) - rankKey(a) ||
      digits12(b.stake) - digits12(a.stake) ||
      digits12(b.areaHa) - digits12(a.areaHa) ||
      (a.id < b.id ? -1 : a.id > b.id ? 1 : 0),
  );
  return sorted.map((item) => ({ id: item.id, gainPerMoney: gainPerMoney(item.gain, item.cost) }));
}

/** Gain per money spent; null where nothing is spent. */
export function gainPerMoney(gain: number, cost: number): number | null {
  return cost > 0 ? gain / cost : null;
}

/** Finite, so that two of one kind differ by 0 and not by NaN. */
function rankKey({ gain, cost }: PriorityItem): number {
  const ratio = gainPerMoney(gain, cost);
  if (ratio !== null) return digits12(ratio);
  return gain > 0 ? Number.MAX_VALUE : gain < 0 ? -Number.MAX_VALUE : 0;
}

/** Ties are ties up to rounding: 2 and 2.0000000000000004 are one ratio. */
function digits12(value: number): number {
  return Number(value.toPrecision(12));
}
