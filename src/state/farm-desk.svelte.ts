/** The farm on the desk: which one is shown, what is known of it, and the attempt that is under way or that failed. */
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { problem, type Problem } from '../../shared/model/problem.ts';
import type { CoreClient, Ending, Work } from '../worker/client.ts';
import type { Progress } from '../worker/protocol.ts';

export type Attempt =
  | { readonly is: 'none' }
  | { readonly is: 'working'; readonly on: string; readonly progress: Progress }
  /** Stopped by the person; `again` goes on where it can. */
  | { readonly is: 'stopped'; readonly on: string }
  | { readonly is: 'refused'; readonly on: string; readonly problems: readonly Problem[] }
  | { readonly is: 'broken'; readonly on: string; readonly text: string };

const SAMPLE = 'the sample farm';
/** More than this cannot be held in a page's memory with room to compute. */
const LARGEST_FILE_BYTES = 2 ** 30;

export class FarmDesk {
  private shownFarm = $state.raw<Farm | null>(null);
  private knownStudy = $state.raw<Study | null>(null);
  private openingProblems = $state.raw<readonly Problem[]>([]);
  private currentAttempt = $state.raw<Attempt>({ is: 'none' });
  private isSample = $state(true);
  private work: Work | null = null;
  /** Rises with every attempt: what an older one still has to say is not heard. */
  private turn = 0;
  private repeat: () => void = () => this.openSample();

  constructor(
    private readonly core: CoreClient,
    private readonly sampleAddress: string,
  ) {}

  get farm(): Farm | null {
    return this.shownFarm;
  }
  get study(): Study | null {
    return this.knownStudy;
  }
  get attempt(): Attempt {
    return this.currentAttempt;
  }
  get showsSample(): boolean {
    return this.isSample;
  }
  /** Everything that was told while the farm was opened and studied. */
  get problems(): readonly Problem[] {
    return [...this.openingProblems, ...(this.knownStudy?.problems ?? [])];
  }

  openSample(): void {
    const turn = this.begin(SAMPLE, 'Fetching its raw files');
    this.repeat = () => this.openSample();
    const fetching = new AbortController();
    this.work = { ending: new Promise<never>(() => undefined), return: () => fetching.abort() };
    this.fetchSample(fetching.signal, turn).then(
      (bytes) => turn === this.turn && this.hand(SAMPLE, bytes, true),
      (error: unknown) => {
        if (turn !== this.turn || fetching.signal.aborted) return;
        const text = error instanceof Error ? error.message : String(error);
        this.currentAttempt = {
          is: 'refused',
          on: SAMPLE,
          problems: [
            problem('error', 'sample-missing', `The sample farm could not be fetched: ${text}.`, {
              hint: 'Build the page again, or start with your own farm file.',
            }),
          ],
        };
      },
    );
  }

  async openFile(file: File): Promise<void> {
    const turn = this.begin(file.name, 'Reading the file');
    this.repeat = () => void this.openFile(file);
    if (file.size > LARGEST_FILE_BYTES) {
      const text = `${file.name} is larger than 1 GiB: more than a page can hold.`;
      const hint = 'Study it on the command line: seedfall study FARM.';
      this.currentAttempt = {
        is: 'refused',
        on: file.name,
        problems: [problem('error', 'file-large', text, { hint })],
      };
      return;
    }
    try {
      const bytes = await file.arrayBuffer();
      if (turn === this.turn) this.hand(file.name, bytes, false);
    } catch {
      if (turn !== this.turn) return;
      const text = `${file.name} could not be read: it may have been moved, or it is a folder.`;
      this.currentAttempt = { is: 'refused', on: file.name, problems: [problem('error', 'file-unreadable', text)] };
    }
  }

  /** Stops what is under way; what was computed until then is kept for going on. */
  stop(): void {
    if (this.currentAttempt.is !== 'working') return;
    this.turn++;
    this.work?.return();
    this.currentAttempt = { is: 'stopped', on: this.currentAttempt.on };
  }

  again(): void {
    this.repeat();
  }

  private begin(on: string, title: string): number {
    this.work?.return();
    this.currentAttempt = { is: 'working', on, progress: { title, done: 0, total: 0 } };
    return ++this.turn;
  }

  private async fetchSample(signal: AbortSignal, turn: number): Promise<ArrayBuffer> {
    const response = await fetch(this.sampleAddress, { signal });
    if (!response.ok || !response.body) throw new Error(`the server answered ${response.status}`);
    const total = Number(response.headers.get('Content-Length') ?? 0);
    const parts: Uint8Array[] = [];
    let done = 0;
    for (const reader = response.body.getReader(); ;) {
      const part = await reader.read();
      if (part.done) break;
      parts.push(part.value);
      done += part.value.length;
      if (turn === this.turn) this.tell(SAMPLE, { title: 'Fetching its raw files', done, total });
    }
    const bytes = new Uint8Array(done);
    let at = 0;
    for (const part of parts) {
      bytes.set(part, at);
      at += part.length;
    }
    return bytes.buffer;
  }

  private hand(name: string, bytes: ArrayBuffer, sample: boolean): void {
    this.follow(name, (listener) => this.core.open(name === SAMPLE ? 'farm.zip' : name, bytes, listener), sample);
  }

  private follow(
    name: string,
    ask: (listener: { opened(farm: Farm, problems: readonly Problem[]): void; progress(it: Progress): void }) => Work,
    sample: boolean,
  ): void {
    const turn = this.turn;
    this.work = ask({
      opened: (farm, problems) => {
        this.shownFarm = farm;
        this.knownStudy = null;
        this.openingProblems = problems;
        this.isSample = sample;
        this.repeat = () => {
          this.begin(name, 'Going on');
          this.follow(name, (listener) => this.core.resume(listener), sample);
        };
      },
      progress: (progress) => this.tell(name, progress),
    });
    void this.work.ending.then((ending) => turn === this.turn && this.close(name, ending));
  }

  private tell(on: string, progress: Progress): void {
    this.currentAttempt = { is: 'working', on, progress };
  }

  private close(on: string, ending: Ending): void {
    switch (ending.kind) {
      case 'result':
        this.knownStudy = ending.study;
        this.currentAttempt = { is: 'none' };
        break;
      case 'refused':
        this.currentAttempt = { is: 'refused', on, problems: ending.problems };
        break;
      case 'broken':
        this.currentAttempt = { is: 'broken', on, text: ending.text };
        break;
      case 'stopped':
        this.currentAttempt = { is: 'stopped', on };
        break;
      case 'overtaken':
        break;
    }
  }
}
