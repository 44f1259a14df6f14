/** What lies beside the fields and must not be harmed: a mark of its own and a word for each kind. */
import { labelOf } from '../field-shapes.ts';
import { areaFeature, FONT, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import { inkMark, PIXEL_RATIO } from '../pictures.ts';

const BOX_PX = 22;
export const NEIGHBOR_WORDS: Readonly<Record<string, string>> = {
  home: 'home',
  hives: 'hives',
  'sensitive-crop': 'sensitive crop',
  water: 'water',
  other: 'neighbor',
};

/** Lines of each mark, in a box of 22. */
const MARKS: Readonly<Record<string, string>> = {
  home: 'M4 11L11 4L18 11M6 10V18H16V10M9.5 18V13H12.5V18',
  hives: 'M7 7H15M5.5 11H16.5M5 15H17M7 18.5H15M7 7Q11 1 15 7',
  'sensitive-crop': 'M11 19V8M11 13Q5 13 5 8Q11 8 11 13M11 10Q17 10 17 5Q11 5 11 10',
  water: 'M3 8Q6 5 9 8T15 8T20 8M3 13Q6 10 9 13T15 13T20 13M3 18Q6 15 9 18T15 18T20 18',
  other: 'M11 4V18M4 11H18',
};

export const neighborsLayer: MapLayer = {
  id: 'neighbors',
  open(sheet) {
    const { map, inks, put } = sheet;
    for (const kind of Object.keys(MARKS)) {
      const mark = inkMark(BOX_PX, MARKS[kind]!, inks, { haloPx: 5, inkPx: 1.6 });
      map.addImage(`neighbor ${kind}`, mark, { pixelRatio: PIXEL_RATIO });
    }
    const areas = shapeSource(sheet, 'neighbor-areas');
    const points = shapeSource(sheet, 'neighbors');
    put({
      id: 'neighbor-areas',
      type: 'line',
      source: 'neighbor-areas',
      paint: { 'line-color': inks.inkSoft, 'line-width': 1.5 * inks.bold, 'line-dasharray': [1, 2] },
    });
    put({
      id: 'neighbors',
      type: 'symbol',
      source: 'neighbors',
      layout: {
        'icon-image': ['get', 'image'],
        'icon-allow-overlap': true,
        // Where a whole farm fits on a phone, the mark alone.
        'text-field': ['step', ['zoom'], '', 12.5, ['get', 'words']],
        'text-font': [FONT],
        'text-size': 13 * inks.bold,
        'text-variable-anchor': ['left', 'right', 'bottom', 'top'],
        'text-radial-offset': 0.95,
        'text-optional': true,
      },
      paint: { 'text-color': inks.inkSoft, 'text-halo-color': inks.halo, 'text-halo-width': 2 },
    });
    return [
      ({ neighbors }) => {
        areas(neighbors.flatMap(({ area }) => (area ? [areaFeature(area)] : [])));
        points(
          neighbors.flatMap(({ kind, at, area }) => {
            const place = at ?? (area && area.length > 0 ? labelOf(area) : null);
            const known = kind in MARKS ? kind : 'other';
            return place ? [pointFeature(place, { image: `neighbor ${known}`, words: NEIGHBOR_WORDS[known] })] : [];
          }),
        );
      },
    ];
  },
};
