/**
 * How people and machines write units, as an id of units/units.ts. One spelling can mean several units ("lbs" is a mass, and in
 * a flow column pounds a second): the quantity looked for decides.
 * @source Spellings: common practice, no source.
 */
import { UNITS } from '../units/units.ts';
import type { Quantity, UnitId } from '../units/units.ts';

/** Bushels an acre, whose mass hangs on the crop. */
export type UnitWord = UnitId | 'bu/ac';

const WORDS: Readonly<Record<string, readonly UnitWord[]>> = {
  m: ['m'],
  meter: ['m'],
  meters: ['m'],
  metre: ['m'],
  metres: ['m'],
  mtr: ['m'],
  metrs: ['m'],
  cm: ['cm'],
  mm: ['mm'],
  km: ['km'],
  ft: ['ft'],
  feet: ['ft'],
  foot: ['ft'],
  in: ['in'],
  inch: ['in'],
  inches: ['in'],
  yd: ['yd'],
  yard: ['yd'],
  yards: ['yd'],
  mi: ['mi'],
  miles: ['mi'],
  m2: ['m2'],
  sqm: ['m2'],
  'm²': ['m2'],
  ft2: ['ft2'],
  sqft: ['ft2'],
  'ft²': ['ft2'],
  yd2: ['yd2'],
  sqyd: ['yd2'],
  in2: ['in2'],
  sqin: ['in2'],
  cm2: ['cm2'],
  sqcm: ['cm2'],
  'cm²': ['cm2'],
  'in²': ['in2'],
  ha: ['ha'],
  hectare: ['ha'],
  hectares: ['ha'],
  ac: ['ac'],
  acre: ['ac'],
  acres: ['ac'],
  kg: ['kg', 'kg/s'],
  kgs: ['kg/s', 'kg'],
  g: ['g'],
  lb: ['lb', 'lb/s', 'lb/ac'],
  lbs: ['lb', 'lb/s', 'lb/ac'],
  pounds: ['lb', 'lb/s'],
  t: ['t', 't/h'],
  tonne: ['t'],
  tonnes: ['t'],
  s: ['s'],
  sec: ['s'],
  secs: ['s'],
  second: ['s'],
  seconds: ['s'],
  ms: ['ms', 'm/s'],
  msec: ['ms'],
  min: ['min'],
  h: ['h'],
  hr: ['h'],
  hours: ['h'],
  'm/s': ['m/s'],
  mps: ['m/s'],
  'km/h': ['km/h'],
  kmh: ['km/h'],
  kph: ['km/h'],
  kmph: ['km/h'],
  mph: ['mph'],
  mp: ['mph'],
  'mi/h': ['mph'],
  'ft/s': ['ft/s'],
  fps: ['ft/s'],
  'kg/s': ['kg/s'],
  kgsec: ['kg/s'],
  kgpers: ['kg/s'],
  'kg/sec': ['kg/s'],
  'lb/s': ['lb/s'],
  'lbs/s': ['lb/s'],
  'lb/sec': ['lb/s'],
  'lbs/sec': ['lb/s'],
  lbsec: ['lb/s'],
  lbssec: ['lb/s'],
  lbspers: ['lb/s'],
  lbpers: ['lb/s'],
  lbps: ['lb/s'],
  't/h': ['t/h'],
  tph: ['t/h'],
  't/hr': ['t/h'],
  'tonne/h': ['t/h'],
  th: ['t/h'],
  'kg/h': ['kg/h'],
  'kg/hr': ['kg/h'],
  'lb/h': ['lb/h'],
  'lbs/h': ['lb/h'],
  'lb/hr': ['lb/h'],
  'lbs/hr': ['lb/h'],
  'ton/h': ['US ton/h'],
  'kg/m3': ['kg/m3'],
  'kg/m³': ['kg/m3'],
  'kg/hl': ['kg/hL'],
  'kg/l': ['kg/L'],
  't/m3': ['kg/L'],
  't/m³': ['kg/L'],
  'g/cm3': ['kg/L'],
  'lb/bu': ['lb/bu'],
  'lbs/bu': ['lb/bu'],
  '%': ['%'],
  percent: ['%'],
  pct: ['%'],
  prc: ['%'],
  perc: ['%'],
  fraction: ['fraction'],
  share: ['fraction'],
  c: ['C'],
  degc: ['C'],
  '°c': ['C'],
  celsius: ['C'],
  f: ['F', 'ft'],
  degf: ['F', 'ft'],
  '°f': ['F'],
  fahrenheit: ['F'],
  deg: ['deg'],
  degs: ['deg'],
  d: ['deg'],
  degree: ['deg'],
  degrees: ['deg'],
  '°': ['deg'],
  dg: ['deg'],
  rad: ['rad'],
  radians: ['rad'],
  'kg/ha': ['kg/ha'],
  kgha: ['kg/ha'],
  't/ha': ['t/ha'],
  tha: ['t/ha'],
  'q/ha': ['q/ha'],
  'dt/ha': ['q/ha'],
  'lb/ac': ['lb/ac'],
  'lbs/ac': ['lb/ac'],
  lbac: ['lb/ac'],
  lbsac: ['lb/ac'],
  'lb/acre': ['lb/ac'],
  'lbs/acre': ['lb/ac'],
  'bu/ac': ['bu/ac'],
  buac: ['bu/ac'],
  'bu/acre': ['bu/ac'],
  bupac: ['bu/ac'],
  bpa: ['bu/ac'],
  bu: ['bu/ac'],
  'ton/ac': ['US ton/ac'],
};

const quantityOfWord = (unit: UnitWord): Quantity => (unit === 'bu/ac' ? 'mass per area' : UNITS[unit].quantity);

/** The unit that `text` means for a column of `quantity`, or null. A unit's own id is understood too. */
export function unitOfWord(text: string, quantity: Quantity): UnitWord | null {
  const word = text.trim();
  if (Object.hasOwn(UNITS, word) && UNITS[word as UnitId].quantity === quantity) return word as UnitId;
  const spelled = word
    .toLowerCase()
    .replace(/[[\](){}]/g, '')
    .replace(/\s*(per|\/)\s*/g, '/')
    .replace(/[\s.]/g, '');
  const meant = Object.hasOwn(WORDS, spelled) ? WORDS[spelled]! : [];
  return meant.find((unit) => quantityOfWord(unit) === quantity) ?? null;
}

/** Whether `text` is a unit of anything: a second row of such words is a row of units. */
export function isUnitText(text: string): boolean {
  const spelled = text
    .trim()
    .toLowerCase()
    .replace(/[[\](){}]/g, '')
    .replace(/\s*(per|\/)\s*/g, '/')
    .replace(/[\s.]/g, '');
  return Object.hasOwn(WORDS, spelled) || Object.hasOwn(UNITS, text.trim());
}
