/**
 * Places that a page of the tool points at: a round mark with a letter or a number in it, and its words where there is room. Marks
 * that belong together lie over each other from afar: there one mark stands for them, with how many they are.
 */
import type { ExpressionSpecification } from 'maplibre-gl';
import type { LonLat } from '../../../shared/geometry/types.ts';
import type { Marker } from '../../state/stage.svelte.ts';
import { FONT, FONT_BOLD, type GlSheet, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';

/** From here on each mark stands alone: neighboring stops are then wider apart than a mark is. */
const NEAR_ZOOM = 13.6;
const WORDS_ZOOM = 14;

export const markersLayer: MapLayer = {
  id: 'markers',
  open(sheet) {
    const near = shapeSource(sheet, 'markers');
    const far = shapeSource(sheet, 'markers-together');
    putMarks(sheet, 'markers', { minzoom: NEAR_ZOOM });
    putMarks(sheet, 'markers-together', { maxzoom: NEAR_ZOOM });
    const features = (marks: readonly FarMark[]) =>
      marks.map(({ at, mark, words, stands }) => pointFeature(at, { mark, words, open: stands !== undefined }));
    return [({ markers }) => near(features(markers)), ({ markers }) => far(features(together(markers)))];
  },
};

/** @property stands for so many marks */
type FarMark = Marker & { readonly stands?: number };

/** One mark for those of a group, amid them; a mark without a group, or alone in it, stays itself. */
export function together(markers: readonly Marker[]): readonly FarMark[] {
  const groups = new Map<string, Marker[]>();
  markers.forEach((one, index) => {
    const group = one.group ?? `alone ${index}`;
    groups.set(group, [...(groups.get(group) ?? []), one]);
  });
  return [...groups.values()].map((all) =>
    all.length === 1
      ? all[0]!
      : { at: middleOf(all), mark: String(all.length), words: all[0]!.group!, stands: all.length },
  );
}

/** Where zoomed in, full marks; where one stands for several, an open one, so that its number is not taken for a stop's. */
function putMarks({ inks, put }: GlSheet, source: string, zooms: { minzoom: number } | { maxzoom: number }): void {
  const isOpen: ExpressionSpecification = ['get', 'open'];
  put({
    id: `${source}-disk`,
    type: 'circle',
    source,
    ...zooms,
    paint: {
      'circle-radius': ['case', isOpen, 10 * inks.bold, 11 * inks.bold],
      'circle-color': ['case', isOpen, inks.halo, inks.ink],
      'circle-stroke-color': ['case', isOpen, inks.ink, inks.halo],
      'circle-stroke-width': ['case', isOpen, 2.5 * inks.bold, 2],
    },
  });
  if ('minzoom' in zooms)
    put({
      id: `${source}-words`,
      type: 'symbol',
      source,
      layout: {
        'text-field': ['get', 'words'],
        'text-font': [FONT],
        'text-size': 13 * inks.bold,
        'text-variable-anchor': ['left', 'right', 'bottom', 'top'],
        'text-radial-offset': 1.2,
        'text-justify': 'auto',
        'text-max-width': 14,
      },
      minzoom: WORDS_ZOOM,
      paint: { 'text-color': inks.ink, 'text-halo-color': inks.halo, 'text-halo-width': 2.5 },
    });
  put({
    id: `${source}-mark`,
    type: 'symbol',
    source,
    ...zooms,
    layout: {
      'text-field': ['get', 'mark'],
      'text-font': [FONT_BOLD],
      'text-size': 13 * inks.bold,
      'text-allow-overlap': true,
      'text-ignore-placement': false,
    },
    paint: { 'text-color': ['case', isOpen, inks.ink, inks.halo] },
  });
}

function middleOf(all: readonly Marker[]): LonLat {
  const mean = (axis: 0 | 1) => all.reduce((sum, one) => sum + one.at[axis], 0) / all.length;
  return [mean(0), mean(1)];
}
