/** Records of a log with a flag that is looked at: small open diamonds of ink. */
import { type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import type { Inks } from '../inks.ts';
import { drawnImage, PIXEL_RATIO } from '../pictures.ts';

const BOX_PX = 14;

export const flaggedLayer: MapLayer = {
  id: 'flagged',
  open(sheet) {
    const { map, inks, put } = sheet;
    const fill = shapeSource(sheet, 'flagged');
    map.addImage('flagged record', diamondOf(inks), { pixelRatio: PIXEL_RATIO });
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

function diamondOf(inks: Inks): ImageData {
  return drawnImage(BOX_PX, (context) => {
    const diamond = new Path2D('M7 2L12 7L7 12L2 7Z');
    context.lineJoin = 'round';
    context.strokeStyle = inks.halo;
    context.lineWidth = 3.5;
    context.stroke(diamond);
    context.strokeStyle = inks.ink;
    context.lineWidth = 1.8 * inks.bold;
    context.stroke(diamond);
  });
}
