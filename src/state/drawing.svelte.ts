/** What is being drawn on the map. A place asks, the map lets the person draw, and the answer comes back as a promise. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';

export type DrawingWish =
  /** One place: a count, a find. */
  | { readonly kind: 'point'; readonly prompt: string }
  /** A line across something: a cut. */
  | { readonly kind: 'line'; readonly prompt: string }
  /** An area; `start` is reshaped, or drawn anew where it is null. `field` keeps it inside that field. */
  | {
      readonly kind: 'area';
      readonly prompt: string;
      readonly start: MultiPolygon | null;
      readonly field: string | null;
    };

export type DrawnOf<W extends DrawingWish> = W extends { kind: 'point' }
  ? LonLat
  : W extends { kind: 'line' }
    ? readonly LonLat[]
    : MultiPolygon;

export class Drawing {
  private current = $state.raw<DrawingWish | null>(null);
  private answer: ((drawn: unknown) => void) | null = null;

  get wish(): DrawingWish | null {
    return this.current;
  }

  /** One drawing at a time: an older one is given up. @returns null where the person gave up */
  ask<W extends DrawingWish>(wish: W): Promise<DrawnOf<W> | null> {
    this.cancel();
    this.current = wish;
    return new Promise((resolve) => (this.answer = resolve as (drawn: unknown) => void));
  }

  finish(drawn: LonLat | readonly LonLat[] | MultiPolygon): void {
    this.end(drawn);
  }
  cancel(): void {
    this.end(null);
  }

  private end(drawn: unknown): void {
    const { answer } = this;
    this.answer = null;
    this.current = null;
    answer?.(drawn);
  }
}
