/** Brings a farm to the desk: the sample, one that is kept on this machine, a farm file, a new one. */
import type { Farm } from '../../shared/model/farm.ts';
import { problem, type Problem } from '../../shared/model/problem.ts';
import type { CoreClient, Listener, Work } from '../worker/client.ts';
import type { OpenHow } from '../worker/protocol.ts';
import type { Analysis } from './analysis.svelte.ts';
import { type FarmDocument, type History, NO_HISTORY } from './document.svelte.ts';
import { freeId, freeName } from './farm-names.ts';
import { fetchBytes } from './fetch-bytes.ts';
import type { Hold } from './hold.ts';
import { hashesIn, type KeptFarm, type KeptFarms } from './kept-farms.ts';
import { SAMPLE } from './sample.ts';
import type { Saving } from './saving.svelte.ts';
import type { View } from './view.svelte.ts';

/** A farm file holds a farm that is here already: the person says what is to be done. */
export interface Clash {
  readonly file: File;
  readonly farm: { readonly id: string; readonly name: string };
  readonly here: KeptFarm;
  /** False where it is open in another tab. */
  readonly mayReplace: boolean;
}

/** More than this cannot be held in a page's memory with room to compute. */
const LARGEST_FILE_BYTES = 2 ** 30;
const LAST_FARM = 'seedfall.farm';

interface Around {
  readonly core: CoreClient;
  readonly sampleAddress: string;
  readonly view: View;
  readonly document: FarmDocument;
  readonly analysis: Analysis;
  readonly saving: Saving;
  readonly store: KeptFarms;
  readonly hold: Hold;
  readonly small: Pick<Storage, 'getItem' | 'setItem'> | null;
}

export class Opener {
  private asked = $state.raw<Clash | null>(null);
  private absent = $state<string | null>(null);
  private onlyLooks = $state(false);
  private told = $state.raw<readonly Problem[]>([]);
  /** Whether the farm on the desk is this tab's to write. */
  private holding: Promise<boolean> = Promise.resolve(false);
  private repeat: () => void = () => undefined;

  constructor(private readonly near: Around) {
    near.core.onKept = ({ farm, problems }) => {
      if (near.document.farm?.id !== farm) return;
      void this.holding.then((held) => {
        if (held && near.saving.state.is === 'nothing') near.saving.note();
        near.saving.tellFilesKept(problems);
      });
    };
    near.hold.onAsked = async () => {
      // It keeps the files too, without which nothing is saved.
      await near.core.ask('close farm', null).catch(() => undefined);
      await near.saving.finish();
    };
    near.hold.onLost = () => this.lookOnly(true);
  }

  get clash(): Clash | null {
    return this.asked;
  }
  get missing(): string | null {
    return this.absent;
  }
  get isLooking(): boolean {
    return this.onlyLooks;
  }
  get problems(): readonly Problem[] {
    return this.told;
  }
  /** The farm that lay on the desk last time. */
  get last(): string | null {
    return this.near.small?.getItem(LAST_FARM) ?? null;
  }

  again(): void {
    this.repeat();
  }

  openSample(): void {
    void this.openKept(SAMPLE.id, () => void this.fetchSample());
  }

  /** @param otherwise where it is not here; else the person is told */
  async openKept(id: string, otherwise?: () => void): Promise<void> {
    const { analysis, store, hold, saving } = this.near;
    this.repeat = () => void this.openKept(id, otherwise);
    const on = id === SAMPLE.id ? SAMPLE.name : id;
    const title = 'Reading what is kept on this machine';
    const still = analysis.prepare(on, title, () => undefined);
    const goesOn = () => still({ title, done: 0, total: 0 });
    await saving.finish();
    const kept = await store.read(id).catch(() => null);
    if (!goesOn()) return;
    if (!kept) {
      if (otherwise) return otherwise();
      this.absent = id;
      return analysis.giveUp();
    }
    if (!kept.farm.ok) return analysis.refuse(on, kept.farm.problems);
    const farm = kept.farm.value;
    const held = await hold.take(id);
    if (!goesOn()) return this.takeBack();
    this.lay(farm, kept.history, kept.savedAt, Promise.resolve(held));
    this.reopen(farm, hashesIn(kept.history), held);
  }

  async openEmpty(farm: Farm): Promise<void> {
    const { analysis, hold, saving } = this.near;
    analysis.giveUp();
    await saving.finish();
    const held = await hold.take(farm.id);
    this.lay(farm, NO_HISTORY, null, Promise.resolve(held));
    this.reopen(farm, [], held);
  }

  /** @param how what the person said about a farm that is here already */
  async openFile(file: File, how: 'ask' | 'replace' | 'keep both' = 'ask'): Promise<void> {
    const { analysis, store } = this.near;
    const clash = this.asked;
    this.asked = null;
    this.repeat = () => void this.openFile(file, how);
    if (file.size > LARGEST_FILE_BYTES) {
      const text = `${file.name} is larger than 1 GiB: more than a page can hold.`;
      const hint = 'Study it on the command line: seedfall study FARM.';
      return analysis.refuse(file.name, [problem('error', 'file-large', text, { hint })]);
    }
    const title = 'Reading the file';
    const goesOn = analysis.prepare(file.name, title, () => undefined);
    try {
      const bytes = await file.arrayBuffer();
      const here = await store.list().catch(() => []);
      if (!goesOn({ title, done: 1, total: 1 })) return;
      const both = how === 'keep both' && clash;
      this.open(file.name, file.name, bytes, {
        taken: how === 'ask' ? here.map((one) => one.id) : [],
        as: both ? copyOf(clash.farm, here) : null,
        keeps: true,
        season: null,
      }).then(
        (taken) =>
          taken &&
          this.ask(
            file,
            taken,
            here.find((one) => one.id === taken.id)!,
          ),
      );
    } catch {
      if (!goesOn({ title, done: 0, total: 0 })) return;
      const text = `${file.name} could not be read: it may have been moved, or it is a folder.`;
      analysis.refuse(file.name, [problem('error', 'file-unreadable', text)]);
    }
  }

  answerClash(answer: 'replace' | 'keep both' | null): void {
    const clash = this.asked;
    if (answer === null) this.asked = null;
    else if (clash) void this.openFile(clash.file, answer);
  }

  /** Another tab gives the farm up; it is read again as that tab saved it. */
  async takeOver(): Promise<void> {
    const { document, hold } = this.near;
    if (!document.farm) return;
    const { id } = document.farm;
    await hold.takeOver(id);
    await this.openKept(id);
  }

  /** The farm goes from the desk, and nothing of it is written any more. */
  async clear(): Promise<void> {
    const { analysis, core, document, hold, saving } = this.near;
    analysis.giveUp();
    await saving.finish();
    await core.ask('close farm', null);
    hold.release();
    document.close();
    analysis.forget();
    saving.begin(null);
  }

  /** Sets off a study of the farm that is on the desk. */
  follow(begin: (listener: Listener) => Work): void {
    const { analysis, document } = this.near;
    const name = document.farm?.name ?? 'the farm';
    void analysis.follow(name, (listener) => begin({ ...listener, opened: () => undefined }));
  }

  private async fetchSample(): Promise<void> {
    const { analysis, sampleAddress } = this.near;
    this.repeat = () => this.openSample();
    const title = 'Fetching its raw files';
    const fetching = new AbortController();
    const goesOn = analysis.prepare(SAMPLE.name, title, () => fetching.abort());
    try {
      const tell = (done: number, total: number) => void goesOn({ title, done, total });
      const bytes = await fetchBytes(sampleAddress, fetching.signal, tell);
      if (!goesOn({ title, done: 1, total: 1 })) return;
      const { season } = this.near.view;
      await this.open(SAMPLE.name, 'farm.zip', bytes, { taken: [], as: null, keeps: true, season });
    } catch (error) {
      if (fetching.signal.aborted || !goesOn({ title, done: 0, total: 0 })) return;
      const text = error instanceof Error ? error.message : String(error);
      const hint = 'Try again, or start with your own files.';
      analysis.refuse(SAMPLE.name, [
        problem('error', 'sample-missing', `The sample farm could not be fetched: ${text}.`, { hint }),
      ]);
    }
  }

  /** @returns the farm that is here already and was not to be replaced */
  private async open(on: string, name: string, bytes: ArrayBuffer, how: OpenHow) {
    const { analysis, core, hold, saving } = this.near;
    const ending = await analysis.follow(on, (listener) =>
      core.open(name, bytes, how, {
        ...listener,
        opened: (farm, problems) => {
          void saving.flush();
          const held = hold.take(farm.id);
          this.lay(farm, NO_HISTORY, null, held, how.keeps);
          this.told = problems;
          void held.then((mine) => this.lookOnly(!mine));
        },
      }),
    );
    // Nobody will tell of the files any more.
    if (ending.kind === 'broken') saving.tellFilesKept(saving.problems);
    return ending.kind === 'taken' ? ending.farm : null;
  }

  private reopen(farm: Farm, named: readonly string[], held: boolean): void {
    const { analysis, core, view } = this.near;
    void analysis.follow(farm.name, (listener) =>
      core.reopen(farm, named, held, view.season, {
        ...listener,
        opened: (_farm, problems) => (this.told = problems),
      }),
    );
  }

  private lay(farm: Farm, history: History, savedAt: number | null, held: Promise<boolean>, withFiles = false): void {
    const { analysis, core, document, saving, small, view } = this.near;
    analysis.forget();
    document.open(farm, history);
    this.told = [];
    this.absent = null;
    this.holding = held;
    view.turnTo(farm.id);
    saving.begin(savedAt, withFiles);
    small?.setItem(LAST_FARM, farm.id);
    void held.then((mine) => this.lookOnly(!mine));
    this.repeat = () => this.follow((again) => core.resume(view.season, again));
  }

  private lookOnly(looking: boolean): void {
    this.onlyLooks = looking;
    this.near.document.lock(looking);
    if (looking) this.holding = Promise.resolve(false);
  }

  /** Something else was begun meanwhile: the farm that stays on the desk is held again. */
  private takeBack(): void {
    const { document, hold } = this.near;
    if (!document.farm) return;
    this.holding = hold.take(document.farm.id);
    void this.holding.then((mine) => this.lookOnly(!mine));
  }

  private async ask(file: File, farm: Clash['farm'], here: KeptFarm): Promise<void> {
    const mayReplace = !(await this.near.hold.isElsewhere(farm.id));
    this.asked = { file, farm, here, mayReplace };
  }
}

function copyOf(farm: Clash['farm'], here: readonly KeptFarm[]): { id: string; name: string } {
  return {
    id: freeId(farm.id, [SAMPLE.id, ...here.map((one) => one.id)]),
    name: freeName(
      farm.name,
      here.map((one) => one.name),
    ),
  };
}
