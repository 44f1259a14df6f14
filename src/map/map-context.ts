/** The map itself, for what draws on it beside its own layers. */
import type { Map } from 'maplibre-gl';
import { getContext, setContext } from 'svelte';

export interface MapContext {
  /** Loaded, its style in place; null until then, and where the browser has no WebGL. Read it in a `$derived` or an effect. */
  readonly map: Map | null;
}

const KEY = Symbol('map');

/** Called by the map's own component while it is made, with a getter over its `$state.raw`. */
export function setMapContext(context: MapContext): MapContext {
  return setContext(KEY, context);
}
export function getMapContext(): MapContext {
  return getContext<MapContext>(KEY);
}
