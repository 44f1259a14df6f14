/**
 * Parameters as data with a pedigree: value, honest farm-scale range, unit, source, how far it was verified, and which
 * end of the range is harsh for the farm. Made from the science files by tests/reference/science/make-parameters.mjs.
 *
 * Id scheme: `waterhemp.yieldLoss.soybean.I`, `waterhemp.seedProduction.soybean.perPlant` (`.maxPerArea`, `.lateness`),
 * `waterhemp.seedRetention.soybean.R0` (`.k`), `waterhemp.seedbank.survival.tilled` (`.no-till`), `waterhemp.survival.soybean.k`,
 * `crop.soybean.marketMoisture`, `machine.headerLossFraction`, `residual.<ingredient>.coverDays`, `economics.discountFraction`;
 * `parameterIds()` lists them all.
 */
import type { OwnValue } from '../model/farm.ts';
import type { Case } from '../model/range.ts';
import table from './parameters.json';

export type ParameterId = string;

export interface Parameter {
  readonly id: ParameterId;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  /** Key of sources.ts. */
  readonly source: string;
  readonly verified: 'read' | 'abstract' | 'memory';
  readonly note?: string;
  /** Set where the science has no value for this id: whose value stands here, and why. */
  readonly borrowed?: { readonly from: ParameterId; readonly because: string };
  /** The end of the range that costs the farm more yield or puts more seed in the soil; 'none' stays central in every case. */
  readonly harsh: 'high' | 'low' | 'none';
}

/** Resolved numbers of one case, by id. */
export type Values = Readonly<Record<ParameterId, number>>;

const byId: ReadonlyMap<ParameterId, Parameter> = new Map(
  (table as unknown as readonly Parameter[]).map((one) => [one.id, one]),
);

export function parameterIds(): ParameterId[] {
  return [...byId.keys()];
}

export function hasParameter(id: ParameterId): boolean {
  return byId.has(id);
}

/** @throws on an id that no parameter has: nothing stands in for it. */
export function parameter(id: ParameterId): Parameter {
  const found = byId.get(id);
  if (!found) throw new Error(`parameter: no parameter "${id}"`);
  return found;
}

/**
 * A parameter together with what was taken over from elsewhere, so that a screen can say it: a value missing for one
 * species or crop is never filled in silence.
 * @throws on an unknown id.
 */
export function parameterOrBorrowed(id: ParameterId): {
  parameter: Parameter;
  borrowed: { from: ParameterId; because: string } | null;
} {
  const one = parameter(id);
  return { parameter: one, borrowed: one.borrowed ?? null };
}

/** The parameters among `ids` whose value was taken over from another species or crop. */
export function borrowedAmong(ids: readonly ParameterId[]): Parameter[] {
  return ids.map(parameter).filter((one) => one.borrowed !== undefined);
}

/**
 * Value of the triangular distribution (low, mode, high) below which the share `p` lies; inverse in closed form.
 * @param p 0–1
 */
export function triangularQuantile(p: number, low: number, mode: number, high: number): number {
  if (!(low <= mode && mode <= high)) throw new Error('triangularQuantile: expected low ≤ mode ≤ high');
  if (high === low) return low;
  const left = (mode - low) / (high - low);
  return p < left
    ? low + Math.sqrt(p * (high - low) * (mode - low))
    : high - Math.sqrt((1 - p) * (high - low) * (high - mode));
}

/**
 * The number a case computes with: central = the value; mild and harsh = the quartiles of triangular(low, value, high)
 * at the harmless and the harsh end. In a lopsided range a quartile can lie beyond the value; it then stays at the value,
 * so that mild is never harsher than central (nor harsh milder).
 * @param own the farm's own value and range, in place of the published ones
 * @source DESIGN of ranges: all-worst of many parameters spans orders of magnitude, hence quartiles (*assumed*).
 */
export function resolveParameter(id: ParameterId, which: Case, own?: OwnValue): number {
  const one = parameter(id);
  if (own !== undefined && own.parameter !== id)
    throw new Error(`resolveParameter: own value of "${own.parameter}" given for "${id}"`);
  const { value, low, high } = own ?? one;
  if (which === 'central' || one.harsh === 'none') return value;
  const upper = (which === 'harsh') === (one.harsh === 'high');
  return upper
    ? Math.max(value, triangularQuantile(0.75, low, value, high))
    : Math.min(value, triangularQuantile(0.25, low, value, high));
}

/** Resolved numbers of many parameters; own values are matched by id, the last one of an id rules. */
export function resolveParameters(ids: readonly ParameterId[], which: Case, own: readonly OwnValue[] = []): Values {
  const mine = new Map(own.map((one) => [one.parameter, one]));
  const values: Record<ParameterId, number> = {};
  for (const id of ids) values[id] = resolveParameter(id, which, mine.get(id));
  return values;
}

/** @throws where a step reads a parameter that it did not name. */
export function valueOf(values: Values, id: ParameterId): number {
  const value = values[id];
  if (value === undefined) throw new Error(`valueOf: "${id}" was not resolved for this step`);
  return value;
}
