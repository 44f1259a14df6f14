/** Drives a generator to its end without pausing, as the command line does. */
export function run<Result>(steps: Generator<unknown, Result, void>): Result {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
