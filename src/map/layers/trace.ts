/** Seed followed: where it went or came from, in the place of the field's shade; the ground it is asked of, and grounds to press. */
import { areaFeature, type MapLayer, shapeSource } from '../gl-sheet.ts';
import { addSurface, removeSurface, SurfaceCanvas } from '../surface-canvas.ts';

const SURFACE = 'trace-surface';

export const traceLayer: MapLayer = {
  id: 'trace',
  open(sheet) {
    const { inks, put } = sheet;
    const choices = shapeSource(sheet, 'trace-choices');
    const ground = shapeSource(sheet, 'trace-ground');
    const line = (id: string, source: string, color: string, widthPx: number, dashes?: number[]) =>
      put({
        id,
        type: 'line',
        source,
        layout: { 'line-join': 'round' },
        paint: { 'line-color': color, 'line-width': widthPx, ...(dashes ? { 'line-dasharray': dashes } : {}) },
      });
    // The surface is put before these each time, so that they stay above it.
    line('trace-choices-halo', 'trace-choices', inks.halo, 3.6);
    line('trace-choices', 'trace-choices', inks.ink, 1.4 * inks.bold, [2, 2]);
    line('trace-ground-halo', 'trace-ground', inks.halo, 6);
    line('trace-ground', 'trace-ground', inks.ink, 2.6 * inks.bold);
    return [
      ({ following }) => choices((following?.grounds ?? []).map((area) => areaFeature(area))),
      ({ traced }) => ground(traced ? [areaFeature(traced.ground)] : []),
      ({ traced }) => {
        removeSurface(sheet, SURFACE);
        if (!traced) return;
        const canvas = new SurfaceCanvas(traced.map, traced.shape);
        canvas.paint(traced.map, { color: (value) => traced.color(value), isFull: () => true, isShown: () => true });
        addSurface(sheet, SURFACE, canvas);
        sheet.map.moveLayer(SURFACE, 'trace-choices-halo');
      },
    ];
  },
};
