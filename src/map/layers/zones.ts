/** Zones: each with a letter and a line style of its own; proposed ones are thinner than those a person accepted. */
import { labelOf } from '../field-shapes.ts';
import { areaFeature, FONT_BOLD, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';

/** Lengths of dash and gap in line widths, by the place of the letter in the alphabet. */
export const ZONE_DASHES: readonly number[][] = [
  [1, 0],
  [4, 1.6],
  [1, 1.4],
  [5, 1.4, 1, 1.4],
  [8, 2.5],
  [2.2, 1.2],
];

export function styleOfLetter(letter: string): number {
  return (letter.charCodeAt(letter.length - 1) - 'A'.charCodeAt(0) + ZONE_DASHES.length * 26) % ZONE_DASHES.length;
}

export const zonesLayer: MapLayer = {
  id: 'zones',
  open(sheet) {
    const { inks, put } = sheet;
    const fill = shapeSource(sheet, 'zones');
    const letters = shapeSource(sheet, 'zone-letters');
    const width = ['case', ['get', 'proposed'], 1.6 * inks.bold, 2.6 * inks.bold] as never;
    put({
      id: 'zones-halo',
      type: 'line',
      source: 'zones',
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.halo, 'line-width': ['case', ['get', 'proposed'], 3.6, 6] },
    });
    put({
      id: 'zones-ink',
      type: 'line',
      source: 'zones',
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': inks.ink,
        'line-width': width,
        'line-dasharray': [
          'match',
          ['get', 'style'],
          ...ZONE_DASHES.slice(1).flatMap((dashes, index) => [index + 1, ['literal', dashes]]),
          ['literal', ZONE_DASHES[0]],
        ] as never,
      },
    });
    put({
      id: 'zones-letter',
      type: 'symbol',
      source: 'zone-letters',
      layout: {
        'text-field': ['get', 'letter'],
        'text-font': [FONT_BOLD],
        'text-size': ['interpolate', ['linear'], ['zoom'], 13, 11 * inks.bold, 15.5, 17 * inks.bold],
        'text-padding': 0,
      },
      // Where a whole farm fits on a phone, letters would hide the fields.
      minzoom: 12.5,
      paint: { 'text-color': inks.ink, 'text-halo-color': inks.halo, 'text-halo-width': 3 },
    });
    return [
      ({ zones }) => {
        const shown = zones.filter((one) => one.area.length > 0);
        fill(shown.map(({ area, letter, proposed }) => areaFeature(area, { proposed, style: styleOfLetter(letter) })));
        letters(shown.map(({ area, letter }) => pointFeature(labelOf(area), { letter })));
      },
    ];
  },
};
