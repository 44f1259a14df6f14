/** Mouse and finger on the map while something is drawn: corners are placed by a press, and moved by dragging. */
import type { Map, MapMouseEvent, MapTouchEvent, Point } from 'maplibre-gl';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { midpointsOf } from './drawing-layers.ts';
import { canClose, type CornerRef, cornerAt, cornersOf, edgesOf } from './sketch.ts';
import type { Sketching } from './sketching.svelte.ts';

/** How far from a handle a press still takes it: half of a target of 44 px for a finger. */
const REACH_PX = { mouse: 12, touch: 22 } as const;
/** A press that moved less is no drag. */
const STILL_PX = 4;
const ECHO_MS = 800;

type Handle = { readonly corner: CornerRef } | { readonly middleOf: CornerRef };

/** @param pxPerM as the map is looked at now @returns what lets go of the map again */
export function takeHands(map: Map, drawing: Sketching, pxPerM: () => number): () => void {
  let drag: { readonly handle: Handle; readonly from: Point; moving: boolean } | null = null;
  /** A press that took a handle is no press on the ground. */
  let taken = false;

  const reachM = (px: number) => px / pxPerM();

  function handleAt(point: Point, reachPx: number): Handle | null {
    let best: Handle | null = null;
    let bestPx = reachPx;
    const look = (at: LonLat, handle: Handle, lessPx = 0) => {
      const awayPx = map.project([...at]).dist(point) + lessPx;
      if (awayPx <= bestPx) [best, bestPx] = [handle, awayPx];
    };
    // Where both lie within reach, a corner goes before a middle.
    for (const { from, at } of midpointsOf(drawing)) look(at, { middleOf: from }, reachPx / 3);
    for (const corner of cornersOf(drawing.sketch)) look(cornerAt(drawing.sketch, corner), { corner });
    return best;
  }

  function down(event: MapMouseEvent | MapTouchEvent, reachPx: number): void {
    taken = false;
    const handle = handleAt(event.point, reachPx);
    if (!handle) return;
    event.preventDefault();
    taken = true;
    drag = { handle, from: event.point, moving: false };
  }

  function move(event: MapMouseEvent | MapTouchEvent, reachPx: number): void {
    const at: LonLat = [event.lngLat.lng, event.lngLat.lat];
    if (!drag) return drawing.point(at);
    if (!drag.moving) {
      if (event.point.dist(drag.from) < STILL_PX) return;
      drag.moving = true;
      grip(drag.handle, at);
    }
    drawing.moveTo(at, reachM(reachPx));
  }

  function grip(handle: Handle, at: LonLat): void {
    if ('corner' in handle) return drawing.take(handle.corner);
    const edge = edgesOf(drawing.sketch).find(
      ({ from }) => from.ring === handle.middleOf.ring && from.corner === handle.middleOf.corner,
    );
    if (edge) drawing.insert(edge, at);
  }

  function up(): void {
    if (!drag) return;
    const { handle, moving } = drag;
    drag = null;
    if (moving || !('corner' in handle)) return;
    const isFirst = handle.corner.ring === 0 && handle.corner.corner === 0;
    if (isFirst && canClose(drawing.sketch)) drawing.close();
    else drawing.choose(handle.corner);
  }

  /** After a touch the browser tells the same once more as a mouse. */
  let touchedMs = -Infinity;
  const isEcho = (event: MapMouseEvent) => event.originalEvent.timeStamp - touchedMs < ECHO_MS;
  const mouseDown = (event: MapMouseEvent) => {
    if (event.originalEvent.button === 0 && !isEcho(event)) down(event, REACH_PX.mouse);
  };
  const mouseMove = (event: MapMouseEvent) => {
    if (!isEcho(event)) move(event, REACH_PX.mouse);
  };
  const touchStart = (event: MapTouchEvent) => {
    if (event.points.length === 1) down(event, REACH_PX.touch);
    else drag = null;
  };
  const touchMove = (event: MapTouchEvent) => {
    if (event.points.length === 1 && drag) move(event, REACH_PX.touch);
  };
  const touchEnd = (event: MapTouchEvent) => {
    touchedMs = event.originalEvent.timeStamp;
    up();
  };
  function click(event: MapMouseEvent): void {
    const second = event.originalEvent.detail > 1;
    if (taken || second) return;
    const touched = (event.originalEvent as PointerEvent).pointerType === 'touch';
    const at: LonLat = [event.lngLat.lng, event.lngLat.lat];
    drawing.point(at);
    if (!drawing.place(at, reachM(REACH_PX[touched ? 'touch' : 'mouse']))) drawing.choose(null);
  }
  function doubleClick(event: MapMouseEvent): void {
    event.preventDefault();
    drawing.close();
  }

  const held = [
    map.on('mousedown', mouseDown),
    map.on('mousemove', mouseMove),
    map.on('touchstart', touchStart),
    map.on('touchmove', touchMove),
    map.on('touchend', touchEnd),
    map.on('touchcancel', touchEnd),
    map.on('click', click),
    map.on('dblclick', doubleClick),
  ];
  // The mouse may be let go beside the map.
  window.addEventListener('mouseup', up);
  return () => {
    for (const one of held) one.unsubscribe();
    window.removeEventListener('mouseup', up);
  };
}
