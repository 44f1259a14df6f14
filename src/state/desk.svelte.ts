/** The desk: which farm lies on it, its document, what is known of it, and what is looked at. One for the page. */
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { CoreClient } from '../worker/client.ts';
import { Analysis } from './analysis.svelte.ts';
import { BaseMap } from './base-map.svelte.ts';
import { FarmDocument } from './document.svelte.ts';
import { saveToDisk } from './download.ts';
import { Drawing } from './drawing.svelte.ts';
import { Farms } from './farms.svelte.ts';
import { Hold } from './hold.ts';
import { KeptFarms } from './kept-farms.ts';
import { Offline } from './offline.svelte.ts';
import { type Clash, Opener } from './opener.svelte.ts';
import { SAMPLE } from './sample.ts';
import { Saving } from './saving.svelte.ts';
import { Stage } from './stage.svelte.ts';
import { smallStore, Theme } from './theme.svelte.ts';
import { View } from './view.svelte.ts';

export class Desk {
  readonly view = new View();
  readonly stage = new Stage();
  readonly theme = new Theme(smallStore());
  readonly drawing = new Drawing();
  /** Work without a network, new versions, installing. */
  readonly offline = new Offline();
  /** A base map from an address that the person typed. */
  readonly baseMap: BaseMap;
  readonly document: FarmDocument;
  readonly analysis: Analysis;
  /** Whether what is on the desk is kept on this machine. */
  readonly saving: Saving;
  /** The farms that are kept on this machine. */
  readonly farms: Farms;
  private readonly opener: Opener;

  constructor(
    private readonly core: CoreClient,
    /** Address of the page's folder. */
    base: string,
    store = new KeptFarms(),
    hold = new Hold(),
  ) {
    this.analysis = new Analysis(core);
    this.document = new FarmDocument((edit) => {
      this.saving.note();
      this.opener.follow((listener) => core.edit(edit, this.view.season, listener));
    });
    this.saving = new Saving(() => {
      const { farm, history } = this.document;
      return async (now) => {
        if (!farm) return;
        await store.write(farm, history, now);
        hold.tellFarmsChanged(farm.id);
        await this.farms.refresh();
      };
    });
    const { view, document, analysis, saving } = this;
    const small = smallStore();
    this.baseMap = new BaseMap(small, base);
    const sampleAddress = base + SAMPLE.file;
    this.opener = new Opener({ core, sampleAddress, view, document, analysis, saving, store, hold, small });
    this.farms = new Farms(store, hold, this);
  }

  get farm(): Farm | null {
    return this.document.farm;
  }
  get showsSample(): boolean {
    return this.farm?.id === SAMPLE.id;
  }
  /** Everything that was told while the farm was opened and studied. */
  get problems(): readonly Problem[] {
    return [...this.opener.problems, ...(this.analysis.study?.problems ?? [])];
  }
  /** True in a tab that only looks, since another one has the farm: nothing can be changed here until it is taken over. */
  get isLooking(): boolean {
    return this.opener.isLooking;
  }
  /** The id in the address, where no farm of that id is on this machine. */
  get missing(): string | null {
    return this.opener.missing;
  }
  /** A farm file that holds a farm which is here already. */
  get clash(): Clash | null {
    return this.opener.clash;
  }

  /** Opens what the address names, else the farm that lay here last, else the sample. */
  async start(address: string): Promise<void> {
    this.view.goTo(address);
    void this.baseMap.start();
    await this.farms.refresh();
    const { last } = this.opener;
    const wanted = this.view.farm ?? this.farms.list.find((one) => one.id === last)?.id ?? SAMPLE.id;
    this.farms.open(wanted);
  }

  /** The address was changed by hand, by a link, or by going back. */
  goTo(address: string): void {
    const { season } = this.view;
    this.view.goTo(address);
    const { farm } = this.view;
    if (farm !== null && farm !== this.farm?.id) this.farms.open(farm);
    else if (this.farm && season !== this.view.season) this.studySeason(this.view.season);
  }

  edit(edit: Edit): void {
    this.document.edit(edit);
  }

  openSample(): void {
    this.opener.openSample();
  }
  openKept(id: string): Promise<void> {
    return this.opener.openKept(id);
  }
  openEmpty(farm: Farm): Promise<void> {
    return this.opener.openEmpty(farm);
  }
  openFile(file: File): Promise<void> {
    return this.opener.openFile(file);
  }
  answerClash(answer: 'replace' | 'keep both' | null): void {
    this.opener.answerClash(answer);
  }
  takeOver(): Promise<void> {
    return this.opener.takeOver();
  }
  clear(): Promise<void> {
    return this.opener.clear();
  }
  again(): void {
    this.opener.again();
  }

  /** The whole farm in one file of the person's own, which the command line reads too. */
  async saveFarmFile(): Promise<Problem | null> {
    const made = await this.analysis.ask('farm file', null);
    if (!made.ok) return made.problems[0]!;
    saveToDisk(made.value.name, new Blob([made.value.bytes], { type: 'application/zip' }));
    return null;
  }

  /** Studies another season of the farm, or the last one again. */
  studySeason(season: number | null): void {
    this.view.lookAtSeason(season);
    this.opener.follow((listener) => this.core.resume(season, listener));
  }
}
