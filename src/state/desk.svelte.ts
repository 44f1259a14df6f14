/** The desk: which farm lies on it, its document, what is known of it, and what is looked at. One for the page. */
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { problem, type Problem } from '../../shared/model/problem.ts';
import type { CoreClient, Listener, Work } from '../worker/client.ts';
import { Analysis } from './analysis.svelte.ts';
import { FarmDocument } from './document.svelte.ts';
import { Drawing } from './drawing.svelte.ts';
import { fetchBytes } from './fetch-bytes.ts';
import { Stage } from './stage.svelte.ts';
import { smallStore, Theme } from './theme.svelte.ts';
import { View } from './view.svelte.ts';

const SAMPLE = 'the sample farm';
/** More than this cannot be held in a page's memory with room to compute. */
const LARGEST_FILE_BYTES = 2 ** 30;

export class Desk {
  readonly view = new View();
  readonly stage = new Stage();
  readonly theme = new Theme(smallStore());
  readonly drawing = new Drawing();
  readonly document: FarmDocument;
  readonly analysis: Analysis;
  private openingProblems = $state.raw<readonly Problem[]>([]);
  private sample = $state(true);
  private repeat: () => void = () => this.openSample();

  constructor(
    private readonly core: CoreClient,
    private readonly sampleAddress: string,
  ) {
    this.analysis = new Analysis(core);
    this.document = new FarmDocument((edit) => this.follow((listener) => core.edit(edit, this.view.season, listener)));
  }

  get farm(): Farm | null {
    return this.document.farm;
  }
  get showsSample(): boolean {
    return this.sample;
  }
  /** Everything that was told while the farm was opened and studied. */
  get problems(): readonly Problem[] {
    return [...this.openingProblems, ...(this.analysis.study?.problems ?? [])];
  }

  edit(edit: Edit): void {
    this.document.edit(edit);
  }

  openSample(): void {
    this.repeat = () => this.openSample();
    const fetching = new AbortController();
    const tell = this.analysis.prepare(SAMPLE, 'Fetching its raw files', () => fetching.abort());
    const title = 'Fetching its raw files';
    fetchBytes(this.sampleAddress, fetching.signal, (done, total) => tell({ title, done, total })).then(
      (bytes) => tell({ title, done: 1, total: 1 }) && this.open(SAMPLE, 'farm.zip', bytes, true),
      (error: unknown) => {
        if (fetching.signal.aborted || !tell({ title, done: 0, total: 0 })) return;
        const text = error instanceof Error ? error.message : String(error);
        this.analysis.refuse(SAMPLE, [
          problem('error', 'sample-missing', `The sample farm could not be fetched: ${text}.`, {
            hint: 'Build the page again, or start with your own files.',
          }),
        ]);
      },
    );
  }

  async openFile(file: File): Promise<void> {
    this.repeat = () => void this.openFile(file);
    if (file.size > LARGEST_FILE_BYTES) {
      const text = `${file.name} is larger than 1 GiB: more than a page can hold.`;
      const hint = 'Study it on the command line: seedfall study FARM.';
      return this.analysis.refuse(file.name, [problem('error', 'file-large', text, { hint })]);
    }
    const title = 'Reading the file';
    const tell = this.analysis.prepare(file.name, title, () => undefined);
    try {
      const bytes = await file.arrayBuffer();
      if (tell({ title, done: 1, total: 1 })) this.open(file.name, file.name, bytes, false);
    } catch {
      if (!tell({ title, done: 0, total: 0 })) return;
      const text = `${file.name} could not be read: it may have been moved, or it is a folder.`;
      this.analysis.refuse(file.name, [problem('error', 'file-unreadable', text)]);
    }
  }

  again(): void {
    this.repeat();
  }

  /** Studies another season of the farm, or the last one again. */
  studySeason(season: number | null): void {
    this.view.lookAtSeason(season);
    this.follow((listener) => this.core.resume(season, listener));
  }

  private open(on: string, name: string, bytes: ArrayBuffer, sample: boolean): void {
    void this.analysis.follow(on, (listener) =>
      this.core.open(name, bytes, {
        ...listener,
        opened: (farm, problems) => {
          this.analysis.forget();
          this.document.open(farm);
          this.openingProblems = problems;
          this.sample = sample;
          this.repeat = () => this.follow((again) => this.core.resume(this.view.season, again));
        },
      }),
    );
  }

  private follow(begin: (listener: Listener) => Work): void {
    const name = this.farm?.name ?? 'the farm';
    void this.analysis.follow(name, (listener) => begin({ ...listener, opened: () => undefined }));
  }
}
