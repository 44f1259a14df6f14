/** Names of the fields and what is said of each, where there is room for them. */
import { FONT, FONT_BOLD, type MapLayer, pointFeature, shapeSource } from '../gl-sheet.ts';
import type { FieldShape } from '../field-shapes.ts';

const LABELS = 'labels';
const [MARK_PX, NAME_PX] = [18, 14];
const LETTER_EM = 0.54;
/** A longer name is written in two lines. */
const LINE_EM = 7;

export const labelsLayer: MapLayer = {
  id: 'labels',
  open(sheet) {
    const { map, inks } = sheet;
    const fill = shapeSource(sheet, LABELS, { promoteId: 'id' });
    const paint = (shown: string) => ({
      'text-color': ['get', 'letters'] as never,
      'text-halo-color': ['get', 'halo'] as never,
      'text-halo-width': ['get', 'haloPx'] as never,
      'text-opacity': ['case', ['boolean', ['feature-state', shown], false], 1, 0] as never,
    });
    sheet.put({
      id: 'labels-name',
      type: 'symbol',
      source: LABELS,
      layout: {
        'text-field': ['get', 'name'],
        'text-font': [FONT],
        'text-size': NAME_PX * inks.bold,
        'text-max-width': LINE_EM,
        'text-anchor': 'top',
        'text-offset': ['case', ['==', ['get', 'mark'], ''], ['literal', [0, -0.6]], ['literal', [0, 0.35]]],
        'text-padding': 1,
      },
      paint: paint('named'),
    });
    sheet.put({
      id: 'labels-mark',
      type: 'symbol',
      source: LABELS,
      layout: {
        'text-field': ['get', 'mark'],
        'text-font': [FONT_BOLD],
        'text-size': MARK_PX * inks.bold,
        'text-anchor': 'bottom',
        'text-offset': [0, 0.1],
        'text-padding': 1,
      },
      paint: paint('marked'),
    });
    const shown = new Map<string, string>();
    return [
      ({ fields, withSurface }) =>
        fill(
          fields.map(({ id, name, mark, label, letters, color, faint }) => {
            const plain = color !== null && !withSurface.includes(id) && !faint;
            const ink = plain ? letters : inks.ink;
            return pointFeature(label, { id, name, mark, letters: ink, halo: plain ? color : inks.halo, haloPx: 2.5 });
          }),
        ),
      ({ shapes, fields, seen }) => {
        if (!seen) return;
        const marks = new Map(fields.map(({ id, mark }) => [id, mark]));
        for (const shape of shapes) {
          const room = roomFor(shape, marks.get(shape.id) ?? '', seen.pxPerM, inks.bold);
          const words = `${room.named} ${room.marked}`;
          if (shown.get(shape.id) === words) continue;
          shown.set(shape.id, words);
          map.setFeatureState({ source: LABELS, id: shape.id }, room);
        }
      },
    ];
  },
};

/** Whether the mark, and the name in one line or in two, stay inside the field. */
function roomFor(
  { name, roomM }: FieldShape,
  mark: string,
  pxPerM: number,
  bold: number,
): { named: boolean; marked: boolean } {
  const [widthPx, heightPx] = [roomM[0] * pxPerM, roomM[1] * pxPerM];
  const longestWord = Math.max(...name.split(' ').map((word) => word.length));
  const isOneLine = longestWord === name.length || name.length * LETTER_EM <= LINE_EM;
  const linePx = NAME_PX * bold * 1.2;
  const fits = (letters: number, lines: number) =>
    letters * LETTER_EM * NAME_PX * bold + 6 <= widthPx && 2 * (0.35 * NAME_PX * bold + lines * linePx) <= heightPx;
  return {
    named: isOneLine ? fits(name.length, 1) : fits(Math.max(longestWord, Math.ceil(name.length / 2)), 2),
    // A few letters may reach a little over the border, which their halo keeps apart.
    marked: widthPx >= Math.max(18, 0.85 * mark.length * LETTER_EM * MARK_PX * bold) && heightPx >= 16,
  };
}
