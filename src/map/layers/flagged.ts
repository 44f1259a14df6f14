/** Records of a log with a flag that is looked at: small open diamonds of ink. */
import { type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import { inkMark, PIXEL_RATIO } from '../pictures.ts';

export const flaggedLayer: MapLayer = {
  id: 'flagged',
  open(sheet) {
    const { map, inks, put } = sheet;
    const fill = shapeSource(sheet, 'flagged');
    const diamond = inkMark(14, 'M7 2L12 7L7 12L2 7Z', inks, { haloPx: 3.5, inkPx: 1.8 });
    map.addImage('flagged record', diamond, { pixelRatio: PIXEL_RATIO });
    put({
      id: 'flagged',
      type: 'symbol',
      source: 'flagged',
      layout: {
        'icon-image': 'flagged record',
        'icon-allow-overlap': true,
        'icon-ignore-placement': true,
        // From afar many lie on one another.
        'icon-size': ['interpolate', ['linear'], ['zoom'], 13.5, 0.3, 16.5, 1],
      },
    });
    return [({ flagged }) => fill(flagged.map((at) => pointFeature(at, {})))];
  },
};
