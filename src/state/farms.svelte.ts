/** The farms that are kept on this machine, side by side. Opening one puts it on the desk. */
import { carryOver, type Carried } from '../../shared/model/carry-over.ts';
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { emptyFarm } from '../../shared/model/new-farm.ts';
import { type Outcome, problem, type Problem, refused } from '../../shared/model/problem.ts';
import { freeId, idFromName, minutesFromUtc } from './farm-names.ts';
import type { Hold } from './hold.ts';
import type { KeptFarm, KeptFarms } from './kept-farms.ts';
import { SAMPLE } from './sample.ts';

/** What the desk does with a farm that was chosen here. */
export interface FarmOpener {
  /** On the desk now. */
  readonly farm: Farm | null;
  openKept(id: string): Promise<void>;
  openSample(): void;
  openEmpty(farm: Farm): Promise<void>;
  /** The farm is on its way out: nothing of it is written any more. */
  clear(): Promise<void>;
  edit(edit: Edit): void;
}

export interface NewFarm {
  readonly name: string;
  readonly display: Farm['display'];
}

export class Farms {
  private kept = $state.raw<readonly KeptFarm[]>([]);
  private known = $state(false);
  private trouble = $state.raw<Problem | null>(null);

  constructor(
    private readonly store: KeptFarms,
    private readonly hold: Hold,
    private readonly desk: FarmOpener,
  ) {
    hold.onFarmsChanged = () => void this.refresh();
  }

  /** The one that was saved last comes first. */
  get list(): readonly KeptFarm[] {
    return this.kept;
  }
  /** False until the list was read for the first time. */
  get isKnown(): boolean {
    return this.known;
  }
  /** Why the list cannot be read. */
  get problem(): Problem | null {
    return this.trouble;
  }

  async refresh(): Promise<void> {
    try {
      this.kept = await this.store.list();
      this.trouble = null;
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      this.trouble = problem('error', 'storage-refused', `This browser keeps no farms here: ${said}.`, {
        hint: 'Farms can be opened all the same. Save a farm file before you close the page.',
      });
    }
    this.known = true;
  }

  open(id: string): void {
    if (id === SAMPLE.id) this.desk.openSample();
    else void this.desk.openKept(id);
  }

  /** A farm with nothing in it but programs to start from. */
  async create({ name, display }: NewFarm): Promise<void> {
    const shown = name.trim().replace(/\s+/g, ' ') || 'My farm';
    const taken = [SAMPLE.id, ...this.kept.map((one) => one.id)];
    const utcOffsetMinutes = minutesFromUtc();
    await this.desk.openEmpty({ ...emptyFarm(freeId(idFromName(shown), taken), shown), display, utcOffsetMinutes });
  }

  /** Everything of it goes from this machine; the person was asked before. @returns why it could not be done */
  async remove(id: string): Promise<Problem | null> {
    const name = this.kept.find((one) => one.id === id)?.name ?? id;
    if (await this.hold.isElsewhere(id)) {
      return problem('error', 'farm-elsewhere', `${name} is open in another tab.`, {
        hint: 'Close it there, then delete it.',
      });
    }
    const isOpen = this.desk.farm?.id === id;
    try {
      if (isOpen) await this.desk.clear();
      await this.store.remove(id);
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      return problem('error', 'farm-not-deleted', `${name} could not be deleted: ${said}.`, { hint: 'Try again.' });
    }
    this.hold.tellFarmsChanged(id);
    await this.refresh();
    if (isOpen) this.open(this.kept[0]?.id ?? SAMPLE.id);
    return null;
  }

  /** Programs, products and prices of another farm as one edit that can be undone; records never cross. */
  async carryOver(from: string): Promise<Outcome<Carried>> {
    const into = this.desk.farm;
    const kept = await this.store.read(from);
    if (!into || !kept) {
      return refused(problem('error', 'farm-missing', 'The farm to carry over from is not on this machine any more.'));
    }
    if (!kept.farm.ok) return kept.farm;
    const carried = carryOver(into, kept.farm.value);
    if (carried.ok) this.desk.edit(carried.value.edit);
    return carried;
  }
}
