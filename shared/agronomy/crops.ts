/** The crops that the tool knows, with the trade's conventions for their yield. */
import { bushelKg, UNITS } from '../units/units.ts';
import { parameter } from './parameter.ts';

export type CropId = 'corn' | 'soybean' | 'wheat' | 'cotton';

export interface Crop {
  readonly id: CropId;
  readonly name: string;
  readonly latin: string;
  readonly eppo: string;
  /** Wet basis. Cotton: lint. */
  readonly marketMoistureFraction: number;
  /** Mass of a bushel at market moisture; null where the crop is not sold by the bushel. */
  readonly bushelKg: number | null;
  /** kg/ha of one bushel an (international) acre. */
  readonly kgHaPerBuAc: number | null;
  /** kg/ha at market moisture where the farm gives no expected yield. */
  readonly weedFreeYieldKgHa: { readonly value: number; readonly low: number; readonly high: number };
}

const ACRE_HA = UNITS.ac.factor / UNITS.ha.factor;

function crop(id: CropId, name: string, latin: string, eppo: string): Crop {
  const { value, low, high } = parameter(`crop.${id}.weedFreeYieldKgHa`);
  const bushel = bushelKg[id] ?? null;
  return {
    id,
    name,
    latin,
    eppo,
    marketMoistureFraction: parameter(`crop.${id}.marketMoisture`).value,
    bushelKg: bushel,
    kgHaPerBuAc: bushel === null ? null : bushel / ACRE_HA,
    weedFreeYieldKgHa: { value, low, high },
  };
}

export const CROPS: readonly Crop[] = [
  crop('corn', 'corn', 'Zea mays', 'ZEAMX'),
  crop('soybean', 'soybean', 'Glycine max', 'GLXMA'),
  crop('wheat', 'wheat', 'Triticum aestivum', 'TRZAX'),
  crop('cotton', 'cotton', 'Gossypium hirsutum', 'GOSHI'),
];

const byId = new Map<string, Crop>(CROPS.map((one) => [one.id, one]));

export function isCrop(id: string): id is CropId {
  return byId.has(id);
}

/** @throws on an unknown id. */
export function cropOf(id: string): Crop {
  const found = byId.get(id);
  if (!found) throw new Error(`cropOf: no crop "${id}"`);
  return found;
}

/**
 * Mass of the same dry matter at another moisture: m · (1 − M_wet)/(1 − M_standard).
 * @param moistureFraction wet basis, 0–1 exclusive
 * @source biology.json equation `moisture` (usgrain, memory)
 */
export function massAtMoistureKg(massKg: number, moistureFraction: number, standardFraction: number): number {
  return (massKg * (1 - moistureFraction)) / (1 - standardFraction);
}
