/** Where the map is looked at from: what is on screen, and how large the ground is drawn. */
import type { Bounds, LonLat } from '../../shared/geometry/types.ts';

export interface Seen {
  /** West, south, east, north; degrees. */
  readonly bounds: Bounds;
  readonly middle: LonLat;
  readonly pxPerM: number;
}

export class Camera {
  private now = $state.raw<Seen | null>(null);
  private rest = $state.raw<Seen | null>(null);

  /** While moving too. */
  get seen(): Seen | null {
    return this.now;
  }
  /** Since the last movement ended; null before the first. */
  get atRest(): Seen | null {
    return this.rest;
  }
  move(seen: Seen): void {
    this.now = seen;
  }
  settle(seen: Seen): void {
    this.now = this.rest = seen;
  }
}
