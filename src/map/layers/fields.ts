/** The ground of the fields: one color a field, hatching where it is unknown. */
import type { ExpressionSpecification } from 'maplibre-gl';
import { areaFeature, type MapLayer, shapeSource } from '../gl-sheet.ts';
import { hatchTile, PIXEL_RATIO } from '../pictures.ts';

export const FIELDS = 'fields';

export const fieldsLayer: MapLayer = {
  id: 'fields',
  open(sheet) {
    const { map, inks } = sheet;
    const fill = shapeSource(sheet, FIELDS, { promoteId: 'id' });
    map.addImage('hatch', hatchTile(inks.hatch, inks.ground === 'sunlight' ? 1 : 1.2, 7), { pixelRatio: PIXEL_RATIO });
    sheet.put({
      id: 'fields-fill',
      type: 'fill',
      source: FIELDS,
      paint: {
        'fill-color': colorOr(inks.paper),
        'fill-opacity': ['case', ['boolean', ['feature-state', 'faint'], false], 0.18, 1],
        'fill-antialias': false,
      },
    });
    sheet.put({
      id: 'fields-unknown',
      type: 'fill',
      source: FIELDS,
      filter: ['boolean', false],
      paint: { 'fill-pattern': 'hatch' },
    });
    return [
      // What is unknown lets a base map show through its hatching.
      ({ baseMap }) =>
        map.setPaintProperty('fields-fill', 'fill-color', colorOr(baseMap.source ? 'rgba(0, 0, 0, 0)' : inks.paper)),
      ({ shapes }) => fill(shapes.map(({ id, boundary }) => areaFeature(boundary, { id }))),
      ({ fields, withSurface }) => {
        for (const { id, color, faint } of fields) {
          map.setFeatureState({ source: FIELDS, id }, { color: withSurface.includes(id) ? null : color, faint });
        }
      },
      ({ fields, withSurface, shading, retracedField }) => {
        const unknown =
          shading.readings.size === 0
            ? []
            : fields.filter(
                // Where the combine has not been yet is not unknown.
                ({ id, color }) => color === null || (withSurface.includes(id) && id !== retracedField),
              );
        map.setFilter('fields-unknown', ['in', ['get', 'id'], ['literal', unknown.map((one) => one.id)]]);
      },
    ];
  },
};

function colorOr(bare: string): ExpressionSpecification {
  const color: ExpressionSpecification = ['feature-state', 'color'];
  return ['case', ['==', color, null], bare, ['to-color', color, bare]];
}
