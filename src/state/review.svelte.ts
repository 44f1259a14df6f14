/**
 * The review of what was dropped. Nothing of the farm changes until it is accepted; then all accepted files are one edit. Files are
 * read in a worker of their own, which ends with the review.
 */
import type { FileReview } from '../../shared/analysis/review-file.ts';
import type { ShownRows } from '../../shared/analysis/review-rows.ts';
import type { ReadingWishes } from '../../shared/import/importer.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { emptyFarm } from '../../shared/model/new-farm.ts';
import type { Progress } from '../worker/protocol.ts';
import type { ReviewClient } from '../worker/review/client.ts';
import type { Gathered, GivenFile, ItemChange, ReviewChange } from '../worker/review/protocol.ts';
import type { Desk } from './desk.svelte.ts';
import { filesDropped } from './dropped-files.ts';

export interface ReviewItem {
  readonly id: number;
  readonly folder: string;
  readonly name: string;
  readonly bytes: number;
  /** null until it was read. */
  readonly review: FileReview | null;
  readonly wishes: ReadingWishes;
  /** False where the person left it out. */
  readonly wanted: boolean;
  readonly isReading: boolean;
  /** What it would change; null until that is known, or where it is not read or left out. */
  readonly change: ItemChange | null;
}

export type Target = 'open farm' | 'new farm';

export class Review {
  private shown = $state(false);
  private list = $state.raw<readonly ReviewItem[]>([]);
  private asides = $state.raw<readonly string[]>([]);
  private farmFiles = $state.raw<readonly File[]>([]);
  private chosenId = $state<number | null>(null);
  private now = $state.raw<Progress | null>(null);
  private whole = $state.raw<ReviewChange | null>(null);
  private aim = $state<Target>('open farm');
  private newName = $state('My farm');
  private fault = $state<string | null>(null);
  private isTaking = $state(false);
  private label = $state<string | null>(null);
  private client: ReviewClient | null = null;
  /** Rises with each question about the change: the latest wins. */
  private turn = 0;

  constructor(
    private readonly desk: Desk,
    private readonly start: () => ReviewClient,
  ) {}

  get isOpen(): boolean {
    return this.shown;
  }
  get items(): readonly ReviewItem[] {
    return this.list;
  }
  /** What was left alone, a sentence a drop. */
  get aside(): readonly string[] {
    return this.asides;
  }
  /** Farm files that came along: each is opened by itself. */
  get farmsAlong(): readonly File[] {
    return this.farmFiles;
  }
  get chosen(): ReviewItem | null {
    return this.list.find((one) => one.id === this.chosenId) ?? null;
  }
  /** The file that was pressed, else the first that was looked at: where there is room it stands beside the list. */
  get inView(): ReviewItem | null {
    return this.chosen ?? this.list.find((one) => one.review !== null) ?? null;
  }
  /** What is being read; null where nothing is. */
  get progress(): Progress | null {
    return this.now;
  }
  get isBusy(): boolean {
    return this.now !== null || this.isTaking;
  }
  get change(): ReviewChange | null {
    return this.whole;
  }
  /** Something in the program went wrong: its words. */
  get broken(): string | null {
    return this.fault;
  }
  get target(): Target {
    return this.aim;
  }
  get nameOfNew(): string {
    return this.newName;
  }
  /** The label of the edit that the last review made; null once it was put away. */
  get added(): string | null {
    return this.label;
  }
  dismiss(): void {
    this.label = null;
  }
  /** The farm that the files would go into. */
  get farm(): Farm {
    const { farm } = this.desk;
    if (this.aim === 'open farm' && farm) return farm;
    return { ...emptyFarm('new', this.newName), display: farm?.display ?? 'us' };
  }

  /** Files that were dropped or chosen: a farm file by itself is opened, everything else comes under review. */
  async take(given: readonly GivenFile[]): Promise<void> {
    if (given.length === 0) return;
    const isFirst = !this.shown;
    if (isFirst) this.aim = this.desk.farm && !this.desk.farm.invented ? 'open farm' : 'new farm';
    this.shown = !isFirst || given.length > 1 || !/\.zip$/i.test(given[0]!.name);
    await this.guarded(async (client) => {
      this.now = { title: 'Looking at what was dropped', done: 0, total: 0 };
      const gathered = await client.ask('gather', { files: given }, (progress) => (this.now = progress));
      if (client !== this.client) return;
      if (gathered) await this.open(given, gathered.answer, client);
      else this.now = null;
      if (this.list.length === 0 && this.asides.length === 0 && this.farmFiles.length === 0) this.close();
    });
  }

  async drop(transfer: DataTransfer): Promise<void> {
    // Asked for at once: after the event the entries are gone.
    const files = filesDropped(transfer);
    await this.guarded(async () => this.take(await files));
  }

  choose(id: number | null): void {
    this.chosenId = id;
  }

  /** Against a guess: the file is read again at once. */
  async say(id: number, wishes: ReadingWishes): Promise<void> {
    await this.guarded(async (client) => {
      await this.read(client, id, wishes);
      await this.refresh();
    });
  }

  async want(id: number, wanted: boolean): Promise<void> {
    this.set(id, { wanted });
    await this.refresh();
  }

  async aimAt(target: Target): Promise<void> {
    this.aim = target;
    await this.refresh();
  }
  nameNew(name: string): void {
    this.newName = name;
  }

  rows(id: number, from: number, count: number): Promise<ShownRows | null> {
    const answer = this.client?.ask('rows', { item: id, from, count });
    return answer ? answer.then((one) => one?.answer ?? null) : Promise.resolve(null);
  }

  /** Stops reading; what was not read is left, and can be read by a press. */
  stop(): void {
    this.client?.stop();
  }

  /** Everything is as it was. */
  close(): void {
    this.client?.end();
    this.client = null;
    this.shown = false;
    this.list = [];
    this.asides = [];
    this.farmFiles = [];
    this.chosenId = null;
    this.now = null;
    this.whole = null;
    this.fault = null;
    this.isTaking = false;
  }

  openFarmFile(file: File): void {
    this.close();
    void this.desk.openFile(file);
  }

  /** Takes in what can be taken and was not left out, as one edit. What could not be kept on this machine is told by the desk. */
  async accept(): Promise<void> {
    if (this.isBusy) return;
    this.isTaking = true;
    await this.guarded((client) => this.takeIn(client));
    this.isTaking = false;
  }

  private async takeIn(client: ReviewClient): Promise<void> {
    const { desk } = this;
    if (this.aim === 'new farm') {
      await desk.farms.create({ name: this.newName, display: this.farm.display });
      this.aim = 'open farm';
    }
    const ids = this.wantedIds();
    const taken = (await this.changeNow(client, ids)).items.filter((one) => one.summary !== null);
    const attachments = await client.ask('attachments', { items: taken.map((one) => one.id) });
    if (!attachments || client !== this.client) return;
    const told = await desk.analysis.ask('keep attachments', { files: attachments.answer });
    desk.saving.tellAttachments(told);
    // The document may have changed while the files were kept.
    const { edit } = await this.changeNow(client, ids);
    if (client !== this.client) return;
    if (edit) desk.edit(edit);
    else desk.studySeason(desk.view.season);
    this.label = edit?.label ?? null;
    this.close();
  }

  private async open(given: readonly GivenFile[], gathered: Gathered, client: ReviewClient): Promise<void> {
    const farms = gathered.farmFiles.map((index) => given[index]!.blob as File);
    if (farms.length === 1 && given.length === 1 && this.list.length === 0) return this.openFarmFile(farms[0]!);
    this.shown = true;
    this.farmFiles = [...this.farmFiles, ...farms];
    if (gathered.aside !== '') this.asides = [...this.asides, gathered.aside];
    const more = gathered.items.map((one) => ({ ...one, wishes: {}, wanted: true, isReading: false, change: null }));
    this.list = [...this.list, ...more];
    let isStopped = false;
    for (const { id, review } of more) {
      if (review || isStopped) continue;
      isStopped = !(await this.read(client, id, {}));
      if (client !== this.client) return;
    }
    this.now = null;
    await this.refresh();
  }

  /** @returns false where it was stopped */
  private async read(client: ReviewClient, id: number, wishes: ReadingWishes): Promise<boolean> {
    this.set(id, { wishes, isReading: true });
    const told = await client.ask('read', { item: id, wishes }, (progress) => (this.now = progress));
    if (client !== this.client) return false;
    this.set(id, { isReading: false, review: told?.answer ?? null, change: null });
    this.now = null;
    return told !== null;
  }

  /** Asks anew what would change. */
  async refresh(): Promise<void> {
    await this.guarded(async (client) => {
      const turn = ++this.turn;
      const change = await this.changeNow(client, this.wantedIds());
      if (turn !== this.turn || client !== this.client) return;
      this.whole = change;
      this.list = this.list.map((one) => ({
        ...one,
        change: change.items.find((other) => other.id === one.id) ?? null,
      }));
    });
  }

  private async changeNow(client: ReviewClient, items: readonly number[]): Promise<ReviewChange> {
    for (;;) {
      const { farm } = this;
      const lost =
        this.aim === 'open farm' && this.desk.farm ? await this.desk.analysis.ask('lost attachments', null) : [];
      const told = await client.ask('change', { farm, items, lost });
      if (told === null) return { edit: null, items: [] };
      if (this.aim === 'new farm' || farm === this.farm) return told.answer;
    }
  }

  private wantedIds(): number[] {
    return this.list.filter((one) => one.wanted && one.review?.isRead).map((one) => one.id);
  }

  private set(id: number, change: Partial<ReviewItem>): void {
    this.list = this.list.map((one) => (one.id === id ? { ...one, ...change } : one));
  }

  private async guarded(work: (client: ReviewClient) => Promise<void>): Promise<void> {
    const client = (this.client ??= this.start());
    try {
      await work(client);
    } catch (error) {
      if (client !== this.client) return;
      this.now = null;
      this.shown = true;
      this.fault = error instanceof Error ? error.message : String(error);
    }
  }
}
