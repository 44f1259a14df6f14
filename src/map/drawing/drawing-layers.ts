/** The drawing on the map: one source of shapes, and how its outline, corners and marks look. */
import type { Feature } from 'geojson';
import type { FilterSpecification, GeoJSONSource, LayerSpecification, Map } from 'maplibre-gl';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { areaOf, type CornerRef, cornersOf, cornerAt, edgesOf } from './sketch.ts';
import type { Sketching } from './sketching.svelte.ts';

const SOURCE = 'drawing';

/** Colors of the page as it is now, from its tokens. */
export interface DrawingInks {
  readonly ink: string;
  readonly halo: string;
  readonly accent: string;
}

export function inksOf(element: Element): DrawingInks {
  const style = getComputedStyle(element);
  const token = (name: string) => style.getPropertyValue(name).trim();
  return { ink: token('--ink'), halo: token('--halo'), accent: token('--accent') };
}

/** Puts the layers on top of all others. @returns what takes them away again */
export function layDrawing(map: Map, inks: DrawingInks): () => void {
  map.addSource(SOURCE, { type: 'geojson', data: { type: 'FeatureCollection', features: [] } });
  const layers = layersIn(inks);
  for (const layer of layers) map.addLayer(layer);
  return () => {
    // A map that changes its style, or went away, has dropped them already.
    if (!map.style || !map.getSource(SOURCE)) return;
    for (const { id } of layers) if (map.getLayer(id)) map.removeLayer(id);
    map.removeSource(SOURCE);
  };
}

export function showDrawing(map: Map, drawing: Sketching, pointing: boolean): void {
  map.getSource<GeoJSONSource>(SOURCE)?.setData({ type: 'FeatureCollection', features: featuresOf(drawing, pointing) });
}

/** @param pointing whether a stretch leads from the last corner to the pointer */
export function featuresOf(drawing: Sketching, pointing: boolean): Feature[] {
  const { sketch, chosen, cross, crossesAt } = drawing;
  const features: Feature[] = [];
  const area = areaOf(sketch);
  if (area) {
    features.push({
      type: 'Feature',
      properties: { is: 'area' },
      geometry: { type: 'MultiPolygon', coordinates: area as unknown as [number, number][][][] },
    });
  }
  for (const { a, b } of edgesOf(sketch)) features.push(line('edge', [a, b]));
  const placed = sketch.rings[0]?.corners ?? [];
  if (sketch.phase === 'placing' && sketch.kind !== 'point' && pointing && placed.length > 0) {
    const ahead = [placed.at(-1)!, cross];
    if (sketch.kind === 'area' && placed.length > 1) ahead.push(placed[0]!);
    features.push(line('ahead', ahead));
  }
  for (const { at } of midpointsOf(drawing)) features.push(point('middle', at));
  for (const ref of cornersOf(sketch)) {
    const isChosen = ref.ring === chosen?.ring && ref.corner === chosen.corner;
    features.push(point(isChosen ? 'chosen' : 'corner', cornerAt(sketch, ref)));
  }
  if (crossesAt) features.push(point('fault', crossesAt));
  return features;
}

export interface Middle {
  readonly from: CornerRef;
  readonly at: LonLat;
}

/** Handles in the middle of the edges of what is closed, and of a line. */
export function midpointsOf({ sketch }: Sketching): Middle[] {
  if (sketch.phase === 'placing' && sketch.kind !== 'line') return [];
  return edgesOf(sketch).map(({ from, a, b }) => ({ from, at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] }));
}

function point(is: string, at: LonLat): Feature {
  return { type: 'Feature', properties: { is }, geometry: { type: 'Point', coordinates: [...at] } };
}
function line(is: string, through: readonly LonLat[]): Feature {
  const coordinates = through.map((at) => [...at]);
  return { type: 'Feature', properties: { is }, geometry: { type: 'LineString', coordinates } };
}

function layersIn({ ink, halo, accent }: DrawingInks): LayerSpecification[] {
  const only = (...is: string[]): { filter: FilterSpecification } => ({
    filter: ['match', ['get', 'is'], is, true, false],
  });
  const stroke = (id: string, color: string, width: number, of: string[], dash?: number[]): LayerSpecification => ({
    id: `drawing-${id}`,
    type: 'line',
    source: SOURCE,
    ...only(...of),
    layout: { 'line-cap': dash ? 'butt' : 'round', 'line-join': 'round' },
    paint: { 'line-color': color, 'line-width': width, ...(dash ? { 'line-dasharray': dash } : {}) },
  });
  const dot = (id: string, radius: number, fill: string, edge: string, edgeWidth: number): LayerSpecification => ({
    id: `drawing-${id}`,
    type: 'circle',
    source: SOURCE,
    ...only(id),
    paint: {
      'circle-radius': radius,
      'circle-color': fill,
      'circle-stroke-color': edge,
      'circle-stroke-width': edgeWidth,
    },
  });
  return [
    {
      id: 'drawing-area',
      type: 'fill',
      source: SOURCE,
      ...only('area'),
      paint: { 'fill-color': ink, 'fill-opacity': 0.1 },
    },
    stroke('halo', halo, 7, ['edge', 'ahead']),
    stroke('edge', ink, 2.5, ['edge']),
    stroke('ahead', ink, 2, ['ahead'], [2, 2]),
    dot('middle', 4.5, halo, accent, 2),
    dot('corner', 7, accent, halo, 2),
    dot('chosen', 9, accent, ink, 3.5),
    {
      id: 'drawing-fault',
      type: 'circle',
      source: SOURCE,
      ...only('fault'),
      paint: { 'circle-radius': 15, 'circle-opacity': 0, 'circle-stroke-color': ink, 'circle-stroke-width': 3.5 },
    },
  ];
}
