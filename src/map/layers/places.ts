/** Where somebody looked: larger with more ground looked at; an open ring where none was seen, filled by density where some were. */
import type { ScoutedPlace } from '../../state/answers.ts';
import { type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import { drawnImage, PIXEL_RATIO } from '../pictures.ts';
import type { Inks } from '../inks.ts';

/** A mark is drawn in a box of this size; its ring has half of it across. */
const BOX_PX = 28;
/** From afar marks are small, and drawn small: a large drawing made small falls to pieces. */
const FAR_BOX_PX = 10;
const NEAR_ZOOM = 14.5;

type Kind = 'none' | 'counted' | 'at least' | 'seen' | 'not seen';

export function kindOf({
  count,
  presenceOnly,
  atLeast,
}: Pick<ScoutedPlace, 'count' | 'presenceOnly' | 'atLeast'>): Kind {
  if (presenceOnly) return count > 0 ? 'seen' : 'not seen';
  if (atLeast && count > 0) return 'at least';
  return count > 0 ? 'counted' : 'none';
}

/** Share of the full size: area goes with the ground that was looked at, 10 m² being full. */
export function sizeOf(effortM2: number): number {
  return Math.min(1.4, Math.max(0.45, Math.sqrt(effortM2 / 10)));
}

export const placesLayer: MapLayer = {
  id: 'places',
  open(sheet) {
    const { map, inks, put } = sheet;
    const fill = shapeSource(sheet, 'places');
    put({
      id: 'places',
      type: 'symbol',
      source: 'places',
      layout: {
        'icon-image': ['step', ['zoom'], ['concat', 'far ', ['get', 'image']], NEAR_ZOOM, ['get', 'image']],
        'icon-size': [
          'interpolate',
          ['linear'],
          ['zoom'],
          12.5,
          ['max', 0.9, ['*', 0.8, ['get', 'size']]],
          NEAR_ZOOM - 0.001,
          ['*', 2, ['max', 0.75, ['get', 'size']]],
          NEAR_ZOOM,
          ['*', 0.74, ['get', 'size']],
          16,
          ['*', 1.1, ['get', 'size']],
          18,
          ['*', 1.8, ['get', 'size']],
        ],
        'icon-allow-overlap': true,
        'icon-ignore-placement': true,
      },
    });
    return [
      ({ shownPlaces, densityColor }) =>
        fill(
          shownPlaces.map((place) => {
            const kind = kindOf(place);
            const color = kind === 'counted' || kind === 'at least' ? densityColor(place.count / place.effortM2) : '';
            const image = `place ${kind} ${color}`;
            if (!map.hasImage(image)) {
              map.addImage(image, markOf(kind, color, inks), { pixelRatio: PIXEL_RATIO });
              map.addImage(`far ${image}`, farMarkOf(kind, color, inks), { pixelRatio: PIXEL_RATIO });
            }
            return pointFeature(place.at, { image, size: sizeOf(place.effortM2) });
          }),
        ),
    ];
  },
};

/** Without what is too small to be seen: whether the count is a least one. */
function farMarkOf(kind: Kind, color: string, inks: Inks): ImageData {
  return drawnImage(FAR_BOX_PX, (context) => {
    const shape = shapeOf(kind, FAR_BOX_PX);
    context.strokeStyle = inks.halo;
    context.lineWidth = 3;
    context.stroke(shape);
    context.fillStyle = kind === 'seen' ? inks.ink : color || inks.halo;
    context.fill(shape);
    context.strokeStyle = inks.ink;
    context.lineWidth = 1.2 * inks.bold;
    context.stroke(shape);
  });
}

/** A ring where places were counted, a diamond where presence alone was told. */
function shapeOf(kind: Kind, boxPx: number): Path2D {
  const [middle, reach] = [boxPx / 2, boxPx / 4];
  const shape = new Path2D();
  if (kind === 'seen' || kind === 'not seen') {
    for (const [x, y] of [
      [0, -1.25],
      [1.25, 0],
      [0, 1.25],
      [-1.25, 0],
    ] as const)
      shape.lineTo(middle + x * reach, middle + y * reach);
    shape.closePath();
  } else shape.arc(middle, middle, reach, 0, 2 * Math.PI);
  return shape;
}

function markOf(kind: Kind, color: string, inks: Inks): ImageData {
  return drawnImage(BOX_PX, (context) => {
    const middle = BOX_PX / 2;
    const shape = shapeOf(kind, BOX_PX);
    context.lineJoin = 'round';
    context.strokeStyle = inks.halo;
    context.lineWidth = 5;
    context.stroke(shape);
    context.fillStyle = kind === 'seen' ? inks.ink : color || inks.halo;
    context.fill(shape);
    context.strokeStyle = inks.ink;
    context.lineWidth = 1.8 * inks.bold;
    context.stroke(shape);
    if (kind !== 'at least') return;
    const above = new Path2D();
    above.moveTo(middle - 4.5, 5.5);
    above.lineTo(middle, 1.5);
    above.lineTo(middle + 4.5, 5.5);
    context.stroke(above);
  });
}
