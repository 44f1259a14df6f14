/** What a layer is given to draw on, and what it gives back. */
import type { Feature, Geometry } from 'geojson';
import type { AddLayerObject, GeoJSONSource, Map, SourceSpecification } from 'maplibre-gl';
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import type { Inks } from './inks.ts';
import type { Picture } from './picture.svelte.ts';

/** Names of the bundled letters in the style. */
export const FONT = 'Farm';
export const FONT_BOLD = 'Farm Bold';

/** On a sheet lower than this the tools stand side by side along its top, else one below the other along its right. */
export const LOW_SHEET_PX = 420;

/** Room about what the map is fitted to. */
export function fitPadding({ clientHeight }: HTMLElement) {
  return clientHeight < LOW_SHEET_PX
    ? { top: 64, bottom: 16, left: 16, right: 16 }
    : { top: 28, bottom: 28, left: 28, right: 112 };
}

export interface GlSheet {
  readonly map: Map;
  readonly inks: Inks;
  /** Adds a style layer among those of the layer that is being opened, above the ones it has put already. */
  put(layer: AddLayerObject): void;
}

/** Each is run again, alone, when a part of the picture that it read has changed. */
export type Draw = (picture: Picture) => void;

export interface MapLayer {
  readonly id: string;
  /** Puts sources, images and style layers on a blank sheet. */
  open(sheet: GlSheet): readonly Draw[];
}

/** A source of shapes, empty at first. @returns what fills it */
export function shapeSource(
  { map }: GlSheet,
  id: string,
  more: Partial<SourceSpecification> = {},
): (features: readonly Feature[]) => void {
  map.addSource(id, { type: 'geojson', data: collection([]), ...more } as SourceSpecification);
  return (features) => map.getSource<GeoJSONSource>(id)?.setData(collection(features));
}

function collection(features: readonly Feature[]) {
  return { type: 'FeatureCollection' as const, features: [...features] };
}

export function areaFeature(area: MultiPolygon, properties: Record<string, unknown> = {}): Feature {
  return feature({ type: 'MultiPolygon', coordinates: area as unknown as [number, number][][][] }, properties);
}

export function pointFeature(at: LonLat, properties: Record<string, unknown> = {}): Feature {
  return feature({ type: 'Point', coordinates: [...at] }, properties);
}

function feature(geometry: Geometry, properties: Record<string, unknown>): Feature {
  return { type: 'Feature', properties, geometry };
}
