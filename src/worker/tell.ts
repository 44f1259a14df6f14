import type { Progress } from './protocol.ts';

/** Says how far the answer to a question is; heard at most a few times a second. */
export type Tell = (progress: Progress) => void;
