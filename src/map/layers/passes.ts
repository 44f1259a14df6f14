/** The passes of the combine: thin ink lines with a tick each minute; retraced, they grow and what came down glows and dries. */
import type { MapLayer } from '../gl-sheet.ts';
import { PathPainter } from '../path-painter.ts';
import { pointsOf } from '../path-points.ts';

export const passesLayer: MapLayer = {
  id: 'passes',
  open({ inks, put }) {
    const painter = new PathPainter(inks);
    put(painter);
    return [
      ({ paths, retracedField, isPlaying, heldAtS, selected }) => {
        const ahead = retracedField ?? selected;
        const shown = isPlaying ? [...paths].filter(([field]) => field !== retracedField) : [...paths];
        painter.show(
          shown.map(([field, path]) => ({
            points: pointsOf(path),
            untilS: field === retracedField ? heldAtS : null,
            behind: ahead !== null && paths.has(ahead) && field !== ahead,
          })),
        );
      },
    ];
  },
};
