/** What a person is told about header, heading and cut width of a harvest log. */
import { problem } from '../model/problem.ts';
import type { Findings, Telling } from './harvest-findings.ts';

export function tellMachine({ input, path, flagged }: Findings, { note, warn, add }: Telling): void {
  if (!path.headerKnown) {
    note('no-header-state', 'The log never says header up: only passes (found by heading and pauses) count as cut.');
  } else if (flagged['header-up'] > 0.7 * input.log.count) {
    const share = Math.round((100 * flagged['header-up']) / input.log.count);
    warn(
      'mostly-header-up',
      `${share}% of the records have the header up.`,
      'Is the header state the wrong way round?',
    );
  }
  if (path.headings === 'from positions') note('no-heading', 'The log has no heading: it is taken from the positions.');
  if (path.headings === 'logged, not believed') {
    warn(
      'heading-not-believed',
      'The logged heading does not point where the machine goes: positions are used instead.',
    );
  }
  if (path.swathMissing > 0) {
    add(
      problem(
        'error',
        'no-swath',
        `${path.swathMissing} records with the header down have no cut width: what they cut is not known.`,
        { hint: "Enter the machine's header width." },
      ),
    );
  }
  let narrow = 0;
  for (let k = 0; k < path.count; k++) {
    if (path.headerDown[k] === 1 && path.swathM[k]! < 0.95 * path.usualSwathM) narrow++;
  }
  if (narrow > 0) {
    note(
      'narrow-swaths',
      `${narrow} records cut narrower than usual; the log does not say on which side, so their swaths are centered.`,
    );
  }
  if (path.swathFromMachine > 0) {
    note(
      'swath-from-machine',
      `${path.swathFromMachine} records have no cut width: the header's ${input.headerWidthM} m is used.`,
    );
  }
}
