/** The chosen field: an ink outline with a halo, that reads on every shade. */
import type { MapLayer } from '../gl-sheet.ts';
import { FIELDS } from './fields.ts';

export const selectionLayer: MapLayer = {
  id: 'selection',
  open({ map, inks, put }) {
    const outline = (id: string, color: string, widthPx: number) =>
      put({
        id,
        type: 'line',
        source: FIELDS,
        layout: { 'line-join': 'round' },
        paint: {
          'line-color': color,
          'line-width': widthPx,
          'line-opacity': ['case', ['boolean', ['feature-state', 'chosen'], false], 1, 0],
        },
      });
    outline('selection-halo', inks.halo, 7 * inks.bold);
    outline('selection-ink', inks.ink, 3 * inks.bold);
    return [
      ({ shapes, selected }) => {
        for (const { id } of shapes) map.setFeatureState({ source: FIELDS, id }, { chosen: id === selected });
      },
    ];
  },
};
