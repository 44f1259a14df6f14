/**
 * Exact factors to SI, one table. SI inside, the unit in the name; other units only at the borders.
 * @source Factors are exact by definition: international foot 0.3048 m, US survey foot 1200/3937 m, pound 0.453 592 37 kg,
 * US gallon 231 in³ (NIST Special Publication 811, appendix B; memory), bushel masses by US grain standards (see `bushelKg`).
 */

export type Quantity =
  | 'length'
  | 'area'
  | 'volume'
  | 'mass'
  | 'time'
  | 'speed'
  | 'mass flow'
  | 'fraction'
  | 'temperature'
  | 'angle'
  | 'mass per area'
  | 'mass per volume'
  | 'volume per area'
  | 'count'
  | 'count per area'
  | 'count per length'
  | 'money'
  | 'money per area'
  | 'money per mass'
  | 'seed count'
  | 'degree days'
  | 'ratio'
  | 'days';

interface Unit {
  readonly quantity: Quantity;
  /** SI value = value × factor + offset. */
  readonly factor: number;
  readonly offset?: number;
  readonly symbol: string;
}

const FOOT = 0.3048;
const INCH = 0.0254;
/** Winchester bushel, m³. @source NIST Handbook 44, appendix C (2150.42 in³; memory) */
const BUSHEL = 2150.42 * INCH ** 3;
const POUND = 0.45359237;
const ACRE = 43560 * FOOT * FOOT;
const GALLON = 231 * INCH ** 3;

export const UNITS = {
  m: { quantity: 'length', factor: 1, symbol: 'm' },
  cm: { quantity: 'length', factor: 0.01, symbol: 'cm' },
  mm: { quantity: 'length', factor: 0.001, symbol: 'mm' },
  km: { quantity: 'length', factor: 1000, symbol: 'km' },
  ft: { quantity: 'length', factor: FOOT, symbol: 'ft' },
  'US survey ft': { quantity: 'length', factor: 1200 / 3937, symbol: 'ft (US survey)' },
  in: { quantity: 'length', factor: INCH, symbol: 'in' },
  yd: { quantity: 'length', factor: 3 * FOOT, symbol: 'yd' },
  mi: { quantity: 'length', factor: 5280 * FOOT, symbol: 'mi' },
  m2: { quantity: 'area', factor: 1, symbol: 'm²' },
  ha: { quantity: 'area', factor: 10_000, symbol: 'ha' },
  ac: { quantity: 'area', factor: ACRE, symbol: 'ac' },
  ft2: { quantity: 'area', factor: FOOT * FOOT, symbol: 'ft²' },
  yd2: { quantity: 'area', factor: 9 * FOOT * FOOT, symbol: 'yd²' },
  in2: { quantity: 'area', factor: INCH * INCH, symbol: 'in²' },
  cm2: { quantity: 'area', factor: 1e-4, symbol: 'cm²' },
  L: { quantity: 'volume', factor: 0.001, symbol: 'L' },
  gal: { quantity: 'volume', factor: GALLON, symbol: 'gal' },
  'fl oz': { quantity: 'volume', factor: GALLON / 128, symbol: 'fl oz' },
  kg: { quantity: 'mass', factor: 1, symbol: 'kg' },
  g: { quantity: 'mass', factor: 0.001, symbol: 'g' },
  t: { quantity: 'mass', factor: 1000, symbol: 't' },
  lb: { quantity: 'mass', factor: POUND, symbol: 'lb' },
  oz: { quantity: 'mass', factor: POUND / 16, symbol: 'oz' },
  'US ton': { quantity: 'mass', factor: 2000 * POUND, symbol: 'US ton' },
  s: { quantity: 'time', factor: 1, symbol: 's' },
  ms: { quantity: 'time', factor: 0.001, symbol: 'ms' },
  min: { quantity: 'time', factor: 60, symbol: 'min' },
  h: { quantity: 'time', factor: 3600, symbol: 'h' },
  days: { quantity: 'days', factor: 1, symbol: 'days' },
  'm/s': { quantity: 'speed', factor: 1, symbol: 'm/s' },
  'km/h': { quantity: 'speed', factor: 1 / 3.6, symbol: 'km/h' },
  mph: { quantity: 'speed', factor: (5280 * FOOT) / 3600, symbol: 'mph' },
  'ft/s': { quantity: 'speed', factor: FOOT, symbol: 'ft/s' },
  'kg/s': { quantity: 'mass flow', factor: 1, symbol: 'kg/s' },
  'lb/s': { quantity: 'mass flow', factor: POUND, symbol: 'lb/s' },
  't/h': { quantity: 'mass flow', factor: 1000 / 3600, symbol: 't/h' },
  'kg/h': { quantity: 'mass flow', factor: 1 / 3600, symbol: 'kg/h' },
  'lb/h': { quantity: 'mass flow', factor: POUND / 3600, symbol: 'lb/h' },
  'US ton/h': { quantity: 'mass flow', factor: (2000 * POUND) / 3600, symbol: 'US ton/h' },
  fraction: { quantity: 'fraction', factor: 1, symbol: '' },
  '%': { quantity: 'fraction', factor: 0.01, symbol: '%' },
  '0.1 %': { quantity: 'fraction', factor: 0.001, symbol: '‰' },
  C: { quantity: 'temperature', factor: 1, symbol: '°C' },
  F: { quantity: 'temperature', factor: 5 / 9, offset: -160 / 9, symbol: '°F' },
  deg: { quantity: 'angle', factor: 1, symbol: '°' },
  rad: { quantity: 'angle', factor: 180 / Math.PI, symbol: 'rad' },
  'kg/ha': { quantity: 'mass per area', factor: 1, symbol: 'kg/ha' },
  't/ha': { quantity: 'mass per area', factor: 1000, symbol: 't/ha' },
  'q/ha': { quantity: 'mass per area', factor: 100, symbol: 'q/ha' },
  'g/ha': { quantity: 'mass per area', factor: 0.001, symbol: 'g/ha' },
  'oz/ac': { quantity: 'mass per area', factor: POUND / 16 / (ACRE / 10_000), symbol: 'oz/ac' },
  'lb/ac': { quantity: 'mass per area', factor: POUND / (ACRE / 10_000), symbol: 'lb/ac' },
  'US ton/ac': { quantity: 'mass per area', factor: (2000 * POUND) / (ACRE / 10_000), symbol: 'US ton/ac' },
  'bu/ac 56 lb': { quantity: 'mass per area', factor: (56 * POUND) / (ACRE / 10_000), symbol: 'bu/ac (56 lb)' },
  'bu/ac 60 lb': { quantity: 'mass per area', factor: (60 * POUND) / (ACRE / 10_000), symbol: 'bu/ac (60 lb)' },
  'kg/m3': { quantity: 'mass per volume', factor: 1, symbol: 'kg/m³' },
  'kg/hL': { quantity: 'mass per volume', factor: 10, symbol: 'kg/hL' },
  'kg/L': { quantity: 'mass per volume', factor: 1000, symbol: 'kg/L' },
  'lb/bu': { quantity: 'mass per volume', factor: POUND / BUSHEL, symbol: 'lb/bu' },
  'L/ha': { quantity: 'volume per area', factor: 1, symbol: 'L/ha' },
  'mL/ha': { quantity: 'volume per area', factor: 0.001, symbol: 'mL/ha' },
  'gal/ac': { quantity: 'volume per area', factor: (GALLON * 1000) / (ACRE / 10_000), symbol: 'gal/ac' },
  'fl oz/ac': { quantity: 'volume per area', factor: ((GALLON / 128) * 1000) / (ACRE / 10_000), symbol: 'fl oz/ac' },
  'pt/ac': { quantity: 'volume per area', factor: ((GALLON / 8) * 1000) / (ACRE / 10_000), symbol: 'pt/ac' },
  'qt/ac': { quantity: 'volume per area', factor: ((GALLON / 4) * 1000) / (ACRE / 10_000), symbol: 'qt/ac' },
  plants: { quantity: 'count', factor: 1, symbol: 'plants' },
  seeds: { quantity: 'seed count', factor: 1, symbol: 'seeds' },
  'per m2': { quantity: 'count per area', factor: 1, symbol: '/m²' },
  'per ac': { quantity: 'count per area', factor: 1 / ACRE, symbol: '/ac' },
  'per ha': { quantity: 'count per area', factor: 1e-4, symbol: '/ha' },
  'per ft2': { quantity: 'count per area', factor: 1 / (FOOT * FOOT), symbol: '/ft²' },
  'per m': { quantity: 'count per length', factor: 1, symbol: '/m of row' },
  'per ft': { quantity: 'count per length', factor: 1 / FOOT, symbol: '/ft of row' },
  money: { quantity: 'money', factor: 1, symbol: '$' },
  'money/ha': { quantity: 'money per area', factor: 1, symbol: '$/ha' },
  'money/ac': { quantity: 'money per area', factor: 10_000 / ACRE, symbol: '$/ac' },
  'money/kg': { quantity: 'money per mass', factor: 1, symbol: '$/kg' },
  'degree days C': { quantity: 'degree days', factor: 1, symbol: '°C d' },
  'degree days F': { quantity: 'degree days', factor: 5 / 9, symbol: '°F d' },
  ratio: { quantity: 'ratio', factor: 1, symbol: '' },
} as const satisfies Record<string, Unit>;

export type UnitId = keyof typeof UNITS;

export function isUnit(id: string): id is UnitId {
  return Object.hasOwn(UNITS, id);
}

/** A value in `unit` as SI (kg/ha, L/ha, °C, degrees and money stay as they are: they are this tool's base units). */
export function toSI(value: number, unit: UnitId): number {
  const { factor, offset = 0 } = UNITS[unit] as Unit;
  return value * factor + offset;
}

/** An SI value in `unit`. */
export function fromSI(value: number, unit: UnitId): number {
  const { factor, offset = 0 } = UNITS[unit] as Unit;
  return (value - offset) / factor;
}

export function quantityOf(unit: UnitId): Quantity {
  return UNITS[unit].quantity;
}

/**
 * Mass of a bushel at market moisture, kg: 56 lb corn, 60 lb soybean and wheat.
 * @source US grain trade, biology.json → crops.bushelKg (`usgrain`, memory).
 */
export const bushelKg: Readonly<Record<string, number>> = {
  corn: 56 * POUND,
  soybean: 60 * POUND,
  wheat: 60 * POUND,
};
