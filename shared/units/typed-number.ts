/** A number as a person types it, with or without a unit, held inside limits that are told in the person's own unit. */
import { formatNumber } from './format.ts';
import { fromSI, isUnit, quantityOf, toSI, type UnitId, UNITS } from './units.ts';

export interface NumberRule {
  /** Begins the sentence that refuses: "Row spacing". */
  readonly what: string;
  /** Of what is typed without a unit, and of the limits. */
  readonly unit: UnitId;
  /** In `unit`. */
  readonly least?: number;
  readonly most?: number;
  /** The least itself is refused: "above 0". */
  readonly above?: boolean;
  readonly whole?: boolean;
}

export type Typed<T> = { readonly value: T } | { readonly wrong: string };

/** SI, or null where nothing was typed; else why it is not taken. */
export function typedNumber(text: string, rule: NumberRule): Typed<number | null> {
  const plain = text.trim();
  if (plain === '') return { value: null };
  const match = /^([+−-]?[\d.,\s]*\d[\d.,]*)\s*(\D.*)?$/u.exec(plain);
  const number = match ? numberOf(match[1]!) : null;
  if (!match || number === null) return { wrong: `“${plain}” is no number. ${expected(rule)}` };
  const unit = unitOf(match[2]?.trim() ?? '', rule.unit);
  if (unit === null) return { wrong: `“${match[2]!.trim()}” is no unit of it. ${expected(rule)}` };
  const value = toSI(number, unit);
  const inRule = unit === rule.unit ? number : fromSI(value, rule.unit);
  if (rule.whole && !Number.isInteger(inRule)) return { wrong: `${rule.what} is a whole number.` };
  const low = rule.least !== undefined && (rule.above ? inRule <= rule.least : inRule < rule.least);
  if (low || (rule.most !== undefined && inRule > rule.most))
    return { wrong: `${expected(rule)} It cannot be ${plain}.` };
  return { value };
}

/** As typedNumber, but something must be typed. */
export function neededNumber(text: string, rule: NumberRule): Typed<number> {
  const typed = typedNumber(text, rule);
  if ('wrong' in typed) return typed;
  return typed.value === null ? { wrong: `${rule.what} is missing. ${expected(rule)}` } : { value: typed.value };
}

/** An SI value as it would be typed, in the rule's unit; '' for null. Six figures are kept. */
export function asTyped(value: number | null | undefined, { unit }: Pick<NumberRule, 'unit'>): string {
  return value === null || value === undefined ? '' : String(Number(fromSI(value, unit).toPrecision(6)));
}

function expected({ what, unit, least, most, above }: NumberRule): string {
  const { symbol } = UNITS[unit];
  const after = symbol === '' ? '' : ` ${symbol.replace(/^\//, 'per ')}`;
  const text = (value: number) => formatNumber(value, Number.isInteger(value) ? 0 : 2);
  if (least !== undefined && most !== undefined)
    return above
      ? `${what} is above ${text(least)} and at most ${text(most)}${after}.`
      : `${what} is ${text(least)} to ${text(most)}${after}.`;
  if (least !== undefined) return `${what} is ${above ? 'above' : 'at least'} ${text(least)}${after}.`;
  return `${what} is a number${after === '' ? '' : ` of${after}`}.`;
}

/** "1,200" and "1 200" are thousands; "1,5" could be either, and is refused. */
function numberOf(text: string): number | null {
  const plain = text.trim().replace('−', '-');
  const grouped = /^[+-]?\d{1,3}(?:[, ]\d{3})+(?:\.\d+)?$/.test(plain);
  const number = Number(grouped ? plain.replace(/[, ]/g, '') : plain);
  return Number.isFinite(number) ? number : null;
}

const SPELLED: Readonly<Record<string, UnitId>> = {
  '"': 'in',
  inch: 'in',
  inches: 'in',
  "'": 'ft',
  feet: 'ft',
  foot: 'ft',
  meter: 'm',
  meters: 'm',
  acres: 'ac',
  acre: 'ac',
  'ft²': 'ft2',
  'sq ft': 'ft2',
  'm²': 'm2',
  'in²': 'in2',
  'cm²': 'cm2',
  percent: '%',
  '/m²': 'per m2',
  '/ft²': 'per ft2',
};

function unitOf(text: string, usual: UnitId): UnitId | null {
  if (text === '' || text === UNITS[usual].symbol) return usual;
  const id = SPELLED[text.toLowerCase()] ?? text;
  return isUnit(id) && quantityOf(id) === quantityOf(usual) ? id : null;
}
