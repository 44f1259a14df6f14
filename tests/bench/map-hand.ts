/** A hand on the map of the built page, a step a frame. */

export interface MapHand {
  down(): void;
  /** To and fro, a little further with each step. */
  step(): void;
  /** Where it is. */
  rest(): void;
  up(): void;
}

/** Runs in the page before its scripts: gives `handOnMap()`, the hand at the middle of the map. */
export function watchHand(): void {
  const given = globalThis as unknown as { handOnMap: () => MapHand };
  given.handOnMap = () => {
    const canvas = document.querySelector('canvas.maplibregl-canvas')!;
    const box = canvas.getBoundingClientRect();
    let [x, steps] = [box.x + box.width / 2, 0];
    const send = (type: string, to: Element | Document) =>
      to.dispatchEvent(
        new MouseEvent(type, {
          bubbles: true,
          cancelable: true,
          view: window,
          clientX: x,
          clientY: box.y + box.height / 2,
          button: 0,
          buttons: type === 'mouseup' ? 0 : 1,
        }),
      );
    return {
      down: () => void send('mousedown', canvas),
      step() {
        x += steps++ % 20 < 10 ? 9 : -9;
        send('mousemove', document);
      },
      rest: () => void send('mousemove', document),
      up: () => void send('mouseup', canvas),
    };
  };
}

/** What it gives, as seen from functions that run in the page. */
export interface WithHand {
  handOnMap(): MapHand;
}
