/** Prices, and how money over years is counted. */
import type { Edit } from '../edit.ts';
import type { Farm } from '../farm.ts';
import type { Named } from './named.ts';
import { changeSeasons } from './seasons.ts';

/** @param perKg money a kg; null takes the price back */
export function setPrice(farm: Farm, year: number, crop: Named, perKg: number | null): Edit {
  const seasons = changeSeasons(farm, [year], (season) => {
    const prices = { ...season.prices };
    if (perKg === null) delete prices[crop.id];
    else prices[crop.id] = perKg;
    return { ...season, prices };
  });
  return { label: `Price of ${crop.name} in ${year}`, sets: [{ path: ['seasons'], value: seasons }] };
}

const PLANNING_WORDS = {
  horizonYears: 'Years looked ahead',
  discountFraction: 'Discount a year',
  budget: 'Budget a year',
} as const;

export function setPlanning(name: keyof typeof PLANNING_WORDS, value: number | null): Edit {
  return { label: PLANNING_WORDS[name], sets: [{ path: ['planning', name], value }] };
}

export function setCurrency(currency: string): Edit {
  return { label: `Money in ${currency}`, sets: [{ path: ['currency'], value: currency }] };
}
