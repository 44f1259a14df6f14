/** A typed rate beside its label: in the label's own unit, and per hectare. */
import type { Product } from '../model/farm.ts';
import { formatNumber } from '../units/format.ts';
import { isUnit, quantityOf, toSI, type UnitId } from '../units/units.ts';

/** The rate in the unit of the product's label; null where it is another kind of quantity. */
export function rateInLabelUnit(rate: {
  readonly product: Pick<Product, 'unit'>;
  readonly ratePerArea: number;
  readonly unit: UnitId;
}): number | null {
  const { unit } = rate.product;
  if (unit === rate.unit) return rate.ratePerArea;
  if (!isUnit(unit) || quantityOf(unit) !== quantityOf(rate.unit)) return null;
  return toSI(rate.ratePerArea, rate.unit) / toSI(1, unit);
}

/** "1.2 L/ha" → 1.2 L a hectare; "20 fl oz/ac" → the same liquid in fl oz a hectare. */
export function perHectare(rate: number, unit: UnitId): { readonly amount: number; readonly unit: string } {
  const [amountUnit, areaUnit] = unit.split('/') as [string, string];
  return { amount: rate / (toSI(1, areaUnit === 'ac' ? 'ac' : 'ha') / 10_000), unit: amountUnit };
}

/** Units in which a product's rate may be given, the usual ones of each display first. */
export const RATE_UNITS: Readonly<Record<Product['form'], readonly UnitId[]>> = {
  liquid: ['fl oz/ac', 'pt/ac', 'qt/ac', 'gal/ac', 'L/ha', 'mL/ha'],
  dry: ['oz/ac', 'lb/ac', 'g/ha', 'kg/ha'],
};

/** The larger unit that an amount is easier carried in. */
const CARRIED_IN: Readonly<Record<string, { readonly unit: string; readonly factor: number }>> = {
  'fl oz': { unit: 'gal', factor: 1 / 128 },
  pt: { unit: 'gal', factor: 1 / 8 },
  qt: { unit: 'gal', factor: 1 / 4 },
  mL: { unit: 'L', factor: 1 / 1000 },
  oz: { unit: 'lb', factor: 1 / 16 },
  g: { unit: 'kg', factor: 1 / 1000 },
};

/** An amount of product: "2,560 fl oz (20 gal)", "1.25 L". Four figures: more than a measuring jug tells. */
export function amountText(amount: number, unit: string): string {
  const figures = (value: number) =>
    formatNumber(value, Math.max(0, Math.min(4, 3 - Math.floor(Math.log10(value || 1)))));
  const plain = (value: number) =>
    figures(value)
      .replace(/(\.\d*?)0+$/, '$1')
      .replace(/\.$/, '');
  const larger = CARRIED_IN[unit];
  const inLarger = larger && amount * larger.factor >= 1 ? ` (${plain(amount * larger.factor)} ${larger.unit})` : '';
  return `${plain(amount)} ${unit}${inLarger}`;
}

/** Liters or kilograms of one of the amounts that a rate counts: one fl oz of "fl oz/ac". */
export function amountSI(unit: UnitId): number {
  return toSI(1, unit) * (toSI(1, unit.endsWith('/ac') ? 'ac' : 'ha') / 10_000);
}

const GRAMS_PER_LB = toSI(1, 'lb') * 1000;
const LITERS_PER_GAL = toSI(1, 'gal') * 1000;

/** How strong a product is, as labels say it: lb a gallon or g a liter of a liquid, per cent by weight of a dry one. */
export type StrengthUnit = 'lb/gal' | 'g/L' | '% by weight';

export function strengthUnit(form: Product['form'], display: 'us' | 'metric'): StrengthUnit {
  return form === 'dry' ? '% by weight' : display === 'us' ? 'lb/gal' : 'g/L';
}

/** Grams of ingredient in one amount of the product. */
export function gramsPerAmount(strength: number, of: StrengthUnit, unit: UnitId): number {
  const perSI = of === 'lb/gal' ? GRAMS_PER_LB / LITERS_PER_GAL : of === 'g/L' ? 1 : 10;
  return strength * perSI * amountSI(unit);
}

export function strengthOf(gPerUnit: number, of: StrengthUnit, unit: UnitId): number {
  return gPerUnit / gramsPerAmount(1, of, unit);
}
