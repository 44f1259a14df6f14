/**
 * How a machine drove through a field in each case. No ground that is asked of changes it: it is worked out for the first one and
 * kept for those after it.
 */
import { type DrivenTimes, driveThrough } from '../harvest/machine-drive.ts';
import type { MovementInput } from '../harvest/movement-input.ts';
import type { Progress } from './step.ts';

/** Of one field as it is. */
export class FieldDrives {
  private readonly known = new Map<string, DrivenTimes>();

  /** @param run names the case and the way along the path */
  *drive(run: string, input: MovementInput): Generator<Progress, DrivenTimes, void> {
    const times = this.known.get(run) ?? (yield* driveThrough(input));
    this.known.set(run, times);
    return times;
  }
}

/** Those of the field that was asked of last: of 200 000 records about 60 MB. */
export class KeptDrives {
  private last: { readonly rests: readonly unknown[]; readonly drives: FieldDrives } | null = null;

  /** @param rests all that the drives rest on, the same objects where it is the same */
  of(rests: readonly unknown[]): FieldDrives {
    const { last } = this;
    if (last && last.rests.length === rests.length && last.rests.every((one, index) => one === rests[index]))
      return last.drives;
    const drives = new FieldDrives();
    this.last = { rests, drives };
    return drives;
  }
}
