/** Ground inside of fields that is not the field's: stippled, so that it never reads as a shade. */
import { areaFeature, type MapLayer, shapeSource } from '../gl-sheet.ts';
import { PIXEL_RATIO, stippleTile } from '../pictures.ts';

export const exclusionsLayer: MapLayer = {
  id: 'exclusions',
  open(sheet) {
    const { map, inks } = sheet;
    const fill = shapeSource(sheet, 'exclusions');
    map.addImage('stipple', stippleTile(inks.inkSoft, 0.9 * inks.bold, 8), { pixelRatio: PIXEL_RATIO });
    sheet.put({ id: 'exclusions-paper', type: 'fill', source: 'exclusions', paint: { 'fill-color': inks.paper } });
    sheet.put({ id: 'exclusions', type: 'fill', source: 'exclusions', paint: { 'fill-pattern': 'stipple' } });
    sheet.put({
      id: 'exclusions-edge',
      type: 'line',
      source: 'exclusions',
      paint: { 'line-color': inks.inkSoft, 'line-width': 0.75 * inks.bold },
    });
    return [({ shapes }) => fill(shapes.flatMap((one) => one.exclusions.map((area) => areaFeature(area))))];
  },
};
