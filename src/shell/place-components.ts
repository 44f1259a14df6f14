/** The component of each place; loaded when it is first entered, so that the page opens light. */
import type { Component } from 'svelte';
import FarmPlace from '../places/farm/FarmPlace.svelte';
import type { PlaceId } from '../state/places.ts';

const LOADERS: Readonly<Record<PlaceId, () => Promise<{ default: Component }>>> = {
  farm: () => Promise.resolve({ default: FarmPlace }),
  infestation: () => import('../places/infestation/InfestationPlace.svelte'),
  harvest: () => import('../places/harvest/HarvestPlace.svelte'),
  season: () => import('../places/season/SeasonPlace.svelte'),
  plan: () => import('../places/plan/PlanPlace.svelte'),
  'hand-off': () => import('../places/hand-off/HandOffPlace.svelte'),
};

export async function placeComponent(place: PlaceId): Promise<Component> {
  return (await LOADERS[place]()).default;
}
