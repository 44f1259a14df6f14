/** What is being drawn on the map. A place asks, the map lets the person draw, and the answer comes back as a promise. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';

interface Ground {
  /** What the person is asked, in words: "Draw a zone on Home". */
  readonly prompt: string;
  /** Its edges are snapped to; an area is kept inside it. */
  readonly field?: string | null;
  /** Further areas whose edges are snapped to: neighboring zones. */
  readonly beside?: readonly MultiPolygon[];
}

export type DrawingWish =
  /** One place: a count, a find. */
  | ({ readonly kind: 'point' } & Ground)
  /** A line across something: a cut. */
  | ({ readonly kind: 'line' } & Ground)
  /** An area; `start` is reshaped, or drawn anew where it is null. */
  | ({ readonly kind: 'area'; readonly start: MultiPolygon | null } & Ground);

export type DrawnOf<W extends DrawingWish> = W extends { kind: 'point' }
  ? LonLat
  : W extends { kind: 'line' }
    ? readonly LonLat[]
    : MultiPolygon;

export class Drawing {
  private current = $state.raw<DrawingWish | null>(null);
  private drawn = $state.raw<MultiPolygon | null>(null);
  private words = $state<string | null>(null);
  private answer: ((drawn: unknown) => void) | null = null;

  get wish(): DrawingWish | null {
    return this.current;
  }
  /** The area as it is drawn so far, for numbers that follow; null where it is none yet, or crosses itself. */
  get draft(): MultiPolygon | null {
    return this.drawn;
  }
  /** A sentence of the place that asked, shown while the person draws: its numbers of the draft. */
  get told(): string | null {
    return this.words;
  }

  /** One drawing at a time: an older one is given up. @returns null where the person gave up */
  ask<W extends DrawingWish>(wish: W): Promise<DrawnOf<W> | null> {
    this.cancel();
    this.current = wish;
    return new Promise((resolve) => (this.answer = resolve as (drawn: unknown) => void));
  }

  /** The map says what is drawn so far. */
  follow(draft: MultiPolygon | null): void {
    this.drawn = draft;
  }
  tell(words: string | null): void {
    this.words = words;
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
    this.drawn = null;
    this.words = null;
    answer?.(drawn);
  }
}
