/** The review, for every component under the page. */
import { getContext, setContext } from 'svelte';
import type { Review } from './review.svelte.ts';

const KEY = Symbol('review');

export function setReview(review: Review): Review {
  return setContext(KEY, review);
}
export function getReview(): Review {
  return getContext<Review>(KEY);
}
