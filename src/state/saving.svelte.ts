/** Whether what is on the desk is kept on this machine. Saved a moment after each edit; an edit made meanwhile is saved next. */
import { problem, type Problem } from '../../shared/model/problem.ts';

export type SavingState =
  /** No farm is open, or nothing of it needs to be kept. */
  | { readonly is: 'nothing' }
  | { readonly is: 'saving' }
  | { readonly is: 'saved'; readonly at: number }
  | { readonly is: 'not saved'; readonly problem: Problem };

/** Edits that come thick and fast (a corner is dragged) are saved together. */
const A_MOMENT_MS = 120;

export class Saving {
  private current = $state.raw<SavingState>({ is: 'nothing' });
  private attachments = $state.raw<readonly Problem[]>([]);
  private mayStay = $state<boolean | null>(null);
  private waiting: ReturnType<typeof setTimeout> | null = null;
  private writing: Promise<void> = Promise.resolve();
  private files: Promise<void> = Promise.resolve();
  private filesAreTold: () => void = () => undefined;
  private asked = false;

  /**
   * @param snapshot takes what is on the desk now, and gives what keeps it
   * @param askToStay asks the browser never to clear this site's storage by itself; null where it cannot be asked
   */
  constructor(
    private readonly snapshot: () => (now: number) => Promise<void>,
    private readonly askToStay: () => Promise<boolean | null> = persist,
    private readonly clock: () => number = Date.now,
  ) {}

  get state(): SavingState {
    return this.current;
  }
  /** Files that the person gave and that could not be kept. */
  get problems(): readonly Problem[] {
    return this.attachments;
  }
  /** Whether the browser promised to keep what is stored: null where it was not asked yet or cannot say. */
  get isPromised(): boolean | null {
    return this.mayStay;
  }
  /** True where closing the page now would lose something. */
  get isPending(): boolean {
    return this.current.is === 'saving' || this.current.is === 'not saved' || this.attachments.some(isError);
  }

  /** The document changed. */
  note(): void {
    this.current = { is: 'saving' };
    this.waiting ??= setTimeout(() => void this.flush(), A_MOMENT_MS);
  }

  /** Saves at once what is not saved yet, and waits for it; its files come first, so that no document names what is not there. */
  flush(): Promise<void> {
    if (this.waiting === null) return this.writing;
    clearTimeout(this.waiting);
    this.waiting = null;
    const write = this.snapshot();
    const { files } = this;
    return (this.writing = this.writing.then(() => files).then(() => this.save(write)));
  }

  /** Before another farm is laid on the desk: waits for the files of this one too. */
  async finish(): Promise<void> {
    await this.files;
    await this.flush();
  }

  /** Tries again after it failed. */
  again(): void {
    if (this.current.is === 'not saved') this.note();
  }

  /** Another farm lies on the desk; `at` where it was saved before. @param withFiles its files are kept after it was laid there, and told */
  begin(at: number | null, withFiles = false): void {
    this.attachments = [];
    this.filesAreTold();
    this.files = withFiles ? new Promise((resolve) => (this.filesAreTold = resolve)) : Promise.resolve();
    this.current = at === null ? { is: 'nothing' } : { is: 'saved', at };
  }

  tellAttachments(problems: readonly Problem[]): void {
    this.attachments = problems;
  }

  /** The files that the farm came with are kept, as far as they can be. */
  tellFilesKept(problems: readonly Problem[]): void {
    this.attachments = problems;
    this.filesAreTold();
  }

  private async save(write: (now: number) => Promise<void>): Promise<void> {
    const now = this.clock();
    try {
      await write(now);
    } catch (error) {
      this.current = { is: 'not saved', problem: whyNot(error) };
      return;
    }
    if (this.waiting === null) this.current = { is: 'saved', at: now };
    if (this.asked) return;
    this.asked = true;
    this.mayStay = await this.askToStay().catch(() => null);
  }
}

function isError(one: Problem): boolean {
  return one.level === 'error';
}

function whyNot(error: unknown): Problem {
  const said = error instanceof Error ? error.message : String(error);
  const hint =
    'Everything is still here in this tab. Save a farm file before you close it; then delete a farm that you no longer need, or make room on the disk, and try again.';
  if (error instanceof DOMException && error.name === 'QuotaExceededError') {
    return problem('error', 'storage-full', 'Your last changes are not saved: the browser’s storage is full.', {
      hint,
    });
  }
  return problem('error', 'storage-refused', `Your last changes are not saved: the browser refused them (${said}).`, {
    hint,
  });
}

async function persist(): Promise<boolean | null> {
  return (await navigator.storage?.persist?.()) ?? null;
}
