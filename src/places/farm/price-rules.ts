/** In which unit a crop is sold: by the bushel or the pound in US customary units, by the metric ton elsewhere. */
import { cropOf, type CropId } from '../../../shared/agronomy/crops.ts';
import type { Display } from '../../../shared/units/format.ts';
import { UNITS } from '../../../shared/units/units.ts';

export interface PriceUnit {
  /** kg of one unit sold. */
  readonly kg: number;
  readonly symbol: string;
}

export function priceUnit(crop: CropId, display: Display): PriceUnit {
  if (display === 'metric') return { kg: 1000, symbol: '$ per t' };
  const { bushelKg } = cropOf(crop);
  return bushelKg === null ? { kg: UNITS.lb.factor, symbol: '$ per lb' } : { kg: bushelKg, symbol: '$ per bu' };
}
