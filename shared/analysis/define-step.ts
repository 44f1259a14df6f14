import type { Step } from './step.ts';

/** Lets a step be written with its own types and stand in the registry with the common one. */
export function defineStep<Settings, Gives>(step: Step<Settings, Gives>): Step {
  return step as unknown as Step;
}
