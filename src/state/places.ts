/** The six places of the page, in the order of the work. */
export const PLACES = [
  { id: 'farm', name: 'Farm' },
  { id: 'infestation', name: 'Infestation' },
  { id: 'harvest', name: 'Harvest' },
  { id: 'season', name: 'Season' },
  { id: 'plan', name: 'Plan' },
  { id: 'hand-off', name: 'Hand-off' },
] as const;
export type PlaceId = (typeof PLACES)[number]['id'];

/** What is done by itself, over the whole screen. */
export const TASKS = ['in-field'] as const;
export type TaskId = (typeof TASKS)[number];

/** What the fields may be shaded by. */
export const SHADES = [
  { id: 'priority', name: 'Priority' },
  { id: 'density', name: 'Weed density' },
  { id: 'chance', name: 'Chance infested' },
  { id: 'confidence', name: 'Confidence' },
  { id: 'yield', name: 'Yield' },
  { id: 'yield-loss', name: 'Yield loss' },
  { id: 'seed-landed', name: 'Seed landed' },
  { id: 'seedbank', name: 'Seedbank' },
  { id: 'stake', name: 'Cost of doing nothing new' },
  { id: 'gain', name: 'Gain of the program' },
] as const;
export type ShadeId = (typeof SHADES)[number]['id'];

/** The shade that a place opens with. */
export const SHADE_OF_PLACE: Readonly<Record<PlaceId, ShadeId>> = {
  farm: 'priority',
  infestation: 'density',
  harvest: 'seed-landed',
  season: 'density',
  plan: 'seedbank',
  'hand-off': 'priority',
};
