/** Borders of the fields: thin, stronger under the pointer, dotted where the keyboard stands. */
import type { MapLayer } from '../gl-sheet.ts';
import { FIELDS } from './fields.ts';

export const outlinesLayer: MapLayer = {
  id: 'outlines',
  open({ inks, put }) {
    const hovered = ['boolean', ['feature-state', 'hovered'], false];
    put({
      id: 'outlines',
      type: 'line',
      source: FIELDS,
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': ['case', hovered, inks.ink, inks.inkSoft] as never,
        'line-width': ['case', hovered, 2 * inks.bold, inks.bold] as never,
      },
    });
    put({
      id: 'outlines-focus',
      type: 'line',
      source: FIELDS,
      layout: { 'line-join': 'round', 'line-cap': 'round' },
      paint: {
        'line-color': inks.ink,
        'line-width': 4,
        'line-dasharray': [0.5, 1.8],
        'line-opacity': ['case', ['boolean', ['feature-state', 'focused'], false], 1, 0],
      },
    });
    return [];
  },
};
