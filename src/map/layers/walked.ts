/** Where somebody walked, as a dotted line of ink, and the places that they marked on the way, as small crosses. */
import type { Feature } from 'geojson';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { FONT, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import { inkMark, PIXEL_RATIO } from '../pictures.ts';

export const walkedLayer: MapLayer = {
  id: 'walked',
  open(sheet) {
    const { map, inks, put } = sheet;
    const lines = shapeSource(sheet, 'walked');
    const places = shapeSource(sheet, 'walked-places');
    const cross = inkMark(16, 'M4 4L12 12M12 4L4 12', inks, { haloPx: 5, inkPx: 2 });
    map.addImage('walked place', cross, { pixelRatio: PIXEL_RATIO });
    const round = { 'line-cap': 'round', 'line-join': 'round' } as const;
    put({
      id: 'walked-halo',
      type: 'line',
      source: 'walked',
      layout: round,
      paint: { 'line-color': inks.halo, 'line-width': 4.5 * inks.bold },
    });
    put({
      id: 'walked-ink',
      type: 'line',
      source: 'walked',
      layout: round,
      paint: { 'line-color': inks.ink, 'line-width': 2 * inks.bold, 'line-dasharray': [0.1, 2] },
    });
    put({
      id: 'walked-places',
      type: 'symbol',
      source: 'walked-places',
      layout: {
        'icon-image': 'walked place',
        'icon-allow-overlap': true,
        'text-field': ['step', ['zoom'], '', 14, ['get', 'words']],
        'text-font': [FONT],
        'text-size': 13 * inks.bold,
        'text-variable-anchor': ['left', 'right', 'bottom', 'top'],
        'text-radial-offset': 0.8,
        'text-max-width': 14,
        'text-optional': true,
      },
      paint: { 'text-color': inks.ink, 'text-halo-color': inks.halo, 'text-halo-width': 2.5 },
    });
    return [
      ({ walked }) => {
        lines((walked?.lines ?? []).map(lineFeature));
        places((walked?.places ?? []).map(({ at, words }) => pointFeature(at, { words })));
      },
    ];
  },
};

function lineFeature(line: readonly LonLat[]): Feature {
  return {
    type: 'Feature',
    properties: {},
    geometry: { type: 'LineString', coordinates: line.map(([lon, lat]) => [lon, lat]) },
  };
}
