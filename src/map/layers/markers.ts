/** Places that a page of the tool points at: a round mark with a letter or a number in it, and its words where there is room. */
import { FONT, FONT_BOLD, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';

export const markersLayer: MapLayer = {
  id: 'markers',
  open(sheet) {
    const { inks, put } = sheet;
    const fill = shapeSource(sheet, 'markers');
    put({
      id: 'markers-disk',
      type: 'circle',
      source: 'markers',
      paint: {
        'circle-radius': 11 * inks.bold,
        'circle-color': inks.ink,
        'circle-stroke-color': inks.halo,
        'circle-stroke-width': 2,
      },
    });
    put({
      id: 'markers-words',
      type: 'symbol',
      source: 'markers',
      layout: {
        'text-field': ['get', 'words'],
        'text-font': [FONT],
        'text-size': 13 * inks.bold,
        'text-variable-anchor': ['left', 'right', 'bottom', 'top'],
        'text-radial-offset': 1.2,
        'text-justify': 'auto',
        'text-max-width': 14,
      },
      minzoom: 14,
      paint: { 'text-color': inks.ink, 'text-halo-color': inks.halo, 'text-halo-width': 2.5 },
    });
    put({
      id: 'markers-mark',
      type: 'symbol',
      source: 'markers',
      layout: {
        'text-field': ['get', 'mark'],
        'text-font': [FONT_BOLD],
        'text-size': 13 * inks.bold,
        'text-allow-overlap': true,
        'text-ignore-placement': false,
      },
      paint: { 'text-color': inks.halo },
    });
    return [({ markers }) => fill(markers.map(({ at, mark, words }) => pointFeature(at, { mark, words })))];
  },
};
