/** The desk, for every component under the page. */
import { getContext, setContext } from 'svelte';
import type { Desk } from './desk.svelte.ts';

const KEY = Symbol('desk');

export function setDesk(desk: Desk): Desk {
  return setContext(KEY, desk);
}
export function getDesk(): Desk {
  return getContext<Desk>(KEY);
}
