/** A product while it is typed from its label: everything as text, read into a product or told what is wrong, field by field. */
import { CROPS } from '../../../shared/agronomy/crops.ts';
import type { Farm, Product } from '../../../shared/model/farm.ts';
import { idFromName } from '../../../shared/model/plan-edits.ts';
import { type Display, shownUnit } from '../../../shared/units/format.ts';
import { asTyped, neededNumber, type NumberRule, typedNumber } from '../../../shared/units/typed-number.ts';
import { fromSI, isUnit, type UnitId } from '../../../shared/units/units.ts';
import { gramsPerAmount, RATE_UNITS, strengthOf, strengthUnit } from '../../../shared/zones/label-rate.ts';

export interface PartDraft {
  ingredient: string;
  group: string;
  strength: string;
}

export interface ProductDraft {
  name: string;
  form: Product['form'];
  unit: UnitId;
  parts: PartDraft[];
  full: string;
  low: string;
  high: string;
  seasonMax: string;
  buffer: string;
  reentryHours: string;
  preHarvestDays: string;
  plantBack: Record<string, string>;
  latestCropStage: string;
  carrierMin: string;
  droplet: string;
  maxWeedHeight: string;
  costPerUnit: string;
}

export type Wrong = Record<string, string>;

/** Rules of the numbers, in the units that the person types. */
export function rulesFor(draft: Pick<ProductDraft, 'unit'>, display: Display) {
  const us = display === 'us';
  const rate = (what: string): NumberRule => ({ what, unit: draft.unit, least: 0, above: true });
  const plain = (what: string, unit: UnitId): NumberRule => ({ what, unit, least: 0 });
  return {
    full: rate('The full rate'),
    low: rate('The lowest rate'),
    high: rate('The highest rate'),
    seasonMax: rate('The most in a season'),
    buffer: plain('The buffer', shownUnit('length', display)),
    reentryHours: plain('The re-entry interval', 'ratio'),
    preHarvestDays: plain('Days before harvest', 'days'),
    plantBack: plain('Days to plant back', 'days'),
    carrierMin: { ...plain('The least spray volume', shownUnit('volume per area', display)), above: true },
    maxWeedHeight: { ...plain('The tallest weed', us ? 'in' : 'cm'), above: true },
    costPerUnit: plain('The cost', 'money'),
  } as const satisfies Record<string, NumberRule>;
}

export function draftOf(product: Product | null, display: Display): ProductDraft {
  const form = product?.form ?? 'liquid';
  const fallback = RATE_UNITS[form][display === 'us' ? 0 : RATE_UNITS[form].length - 1]!;
  const metric = form === 'liquid' ? 'L/ha' : 'kg/ha';
  const unit = product && isUnit(product.unit) ? product.unit : display === 'us' ? fallback : metric;
  const rules = rulesFor({ unit }, display);
  const label = product?.label;
  const rate = (value: number | undefined) => (value === undefined ? '' : String(value));
  return {
    name: product?.name ?? '',
    form,
    unit,
    parts: product?.parts.map(({ ingredient, group, gPerUnit }) => ({
      ingredient,
      group,
      strength: String(Number(strengthOf(gPerUnit, strengthUnit(form, display), unit).toPrecision(5))),
    })) ?? [{ ingredient: '', group: '', strength: '' }],
    full: rate(label?.full),
    low: rate(label?.low),
    high: rate(label?.high),
    seasonMax: rate(label?.seasonMax),
    buffer: asTyped(label?.bufferM, rules.buffer),
    reentryHours: rate(label?.reentryHours),
    preHarvestDays: rate(label?.preHarvestDays),
    plantBack: Object.fromEntries(CROPS.map(({ id }) => [id, rate(label?.plantBack?.[id])])),
    latestCropStage: label?.latestCropStage ?? '',
    carrierMin: asTyped(label?.carrierLHaMin, rules.carrierMin),
    droplet: label?.droplet ?? '',
    maxWeedHeight: asTyped(
      label?.maxWeedHeightMm === undefined ? null : label.maxWeedHeightMm / 1000,
      rules.maxWeedHeight,
    ),
    costPerUnit: rate(product?.costPerUnit),
  };
}

/** @param known the product that is changed; null: a new one */
export function productOf(
  draft: ProductDraft,
  farm: Pick<Farm, 'display' | 'products'>,
  known: Product | null,
): { readonly product: Product } | { readonly wrong: Wrong } {
  const wrong: Wrong = {};
  const { display } = farm;
  const rules = rulesFor(draft, display);
  const take = (name: keyof typeof rules, text: string, key: string = name): number | undefined => {
    const read = typedNumber(text, rules[name]);
    if ('wrong' in read) wrong[key] = read.wrong;
    else if (read.value !== null) return read.value;
    return undefined;
  };
  /** Rates stand in the label's own unit. */
  const takeRate = (name: 'full' | 'low' | 'high' | 'seasonMax'): number | undefined => {
    const value = take(name, draft[name]);
    return value === undefined ? undefined : plainNumber(fromSI(value, draft.unit));
  };
  const name = draft.name.trim();
  if (name === '') wrong['name'] = 'The product needs a name, to know it again.';
  else if (farm.products.some((one) => one.id !== known?.id && one.name === name))
    wrong['name'] = 'Another product has this name.';
  const parts = draft.parts.flatMap((part, at) => partOf(part, at, draft, display, wrong) ?? []);
  if (draft.full.trim() === '') wrong['full'] = 'The full rate is missing: type it from the label.';
  const [full, low, high, seasonMax] = [takeRate('full'), takeRate('low'), takeRate('high'), takeRate('seasonMax')];
  if (full !== undefined && low !== undefined && low > full) wrong['low'] = 'The lowest rate is above the full rate.';
  if (full !== undefined && high !== undefined && high < full)
    wrong['high'] = 'The highest rate is below the full rate.';
  if (full !== undefined && seasonMax !== undefined && seasonMax < full)
    wrong['seasonMax'] = 'The most in a season is below one full rate.';
  const heightM = take('maxWeedHeight', draft.maxWeedHeight);
  const plantBack = Object.fromEntries(
    Object.entries(draft.plantBack).flatMap(([crop, text]) => {
      const days = take('plantBack', text, `plantBack ${crop}`);
      return days === undefined ? [] : [[crop, days]];
    }),
  );
  const told = {
    low,
    high,
    seasonMax,
    bufferM: take('buffer', draft.buffer),
    reentryHours: take('reentryHours', draft.reentryHours),
    preHarvestDays: take('preHarvestDays', draft.preHarvestDays),
    plantBack: Object.keys(plantBack).length > 0 ? plantBack : undefined,
    latestCropStage: draft.latestCropStage.trim() || undefined,
    carrierLHaMin: take('carrierMin', draft.carrierMin),
    droplet: draft.droplet.trim() || undefined,
    maxWeedHeightMm: heightM === undefined ? undefined : plainNumber(heightM * 1000),
  };
  const costPerUnit = take('costPerUnit', draft.costPerUnit);
  if (Object.keys(wrong).length > 0 || full === undefined) return { wrong };
  const ids = farm.products.map((one) => one.id);
  return {
    product: {
      id: known?.id ?? idFromName(name, ids, 'product'),
      name,
      parts,
      form: draft.form,
      unit: draft.unit,
      label: { full, ...withoutUndefined(told) },
      ...(costPerUnit === undefined ? {} : { costPerUnit }),
    },
  };
}

function partOf(
  { ingredient, group, strength }: PartDraft,
  at: number,
  draft: ProductDraft,
  display: Display,
  wrong: Wrong,
): Product['parts'][number] | null {
  if (ingredient.trim() === '') wrong[`ingredient ${at}`] = 'Type the active ingredient from the label.';
  if (group.trim() === '') wrong[`group ${at}`] = 'Type the group number from the label.';
  const rule = { what: 'The strength', unit: 'ratio', least: 0, above: true } as const;
  const read = neededNumber(strength, rule);
  if ('wrong' in read) {
    wrong[`strength ${at}`] = read.wrong;
    return null;
  }
  const gPerUnit = gramsPerAmount(read.value, strengthUnit(draft.form, display), draft.unit);
  return { ingredient: ingredient.trim(), group: group.trim(), gPerUnit: plainNumber(gPerUnit) };
}

/** Twelve figures: what came through a conversion of units is again what was typed. */
function plainNumber(value: number): number {
  return Number(value.toPrecision(12));
}

function withoutUndefined<T extends object>(given: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}
