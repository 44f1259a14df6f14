/** The coordinator behind a message port: opens a farm, drives its study in turns, and answers questions in between. Latest study wins. */
import type { StudyEvent } from '../../shared/analysis/study.ts';
import { openFarmFile } from './farm-file.ts';
import type { OpenFarm, Spread } from './open-farm.ts';
import { keptIn, openKept, openNew, takeOut } from './opening.ts';
import type { Reply, Request } from './protocol.ts';
import { type QuestionKind, questions } from './questions.ts';
import { StudyProgress } from './study-progress.ts';
import type { Tell } from './tell.ts';
import { transferablesIn } from './transferables.ts';
import { driveInTurns, messageTurn, type Turns } from './turns.ts';

interface Port {
  onmessage: ((event: { readonly data: Request }) => void) | null;
  postMessage(reply: Reply, transfer?: Transferable[]): void;
}
type Of<K extends Request['kind']> = Extract<Request, { kind: K }>;

const port = self as unknown as Port;
const turn = messageTurn();
const SAY_EVERY_MS = 250;
/** Nobody presses anything for so long before results are put away. */
const QUIET_MS = 700;
/** While the other computer is waited for, a stop is heard so often. */
const LISTEN_EVERY_MS = 50;

/** The request whose study may go on; none once it was stopped. */
let current: number | null = null;
let open: OpenFarm | null = null;
/** The request that opened it. */
let openedBy = 0;
/** What changes the farm that is open, or its document, happens in the order in which it was asked. */
let line: Promise<unknown> = Promise.resolve();

export function serveCore(): void {
  port.onmessage = ({ data }) => hear(data);
}

function hear(request: Request): void {
  const { number } = request;
  switch (request.kind) {
    case 'open':
    case 'reopen':
    case 'edit':
    case 'resume':
      current = number;
      return inLine(number, async () => {
        // Whoever waits behind goes on while this one is studied.
        if (await prepared(request)) void guarded(number, () => study(number, seasonOf(request)));
      });
    case 'stop':
      if (current === number) current = null;
      return;
    case 'ask':
      return inLine(number, async () => void guarded(number, () => answer(number, request.question, request.ask)));
  }
}

/** @returns whether there is a farm to be studied */
async function prepared(request: Of<'open' | 'reopen' | 'edit' | 'resume'>): Promise<boolean> {
  switch (request.kind) {
    case 'open':
      return openFile(request);
    case 'reopen':
      await reopen(request);
      return true;
    case 'edit':
      // The page was still at the farm before: it hears of this one in a moment.
      if (request.of !== openedBy) return stopped(request.number);
      openFarm().apply(request.edit);
      return true;
    case 'resume':
      return true;
  }
}

async function openFile({ number, name, bytes, how }: Of<'open'>): Promise<boolean> {
  port.postMessage({ kind: 'progress', number, progress: { title: 'Unpacking the farm file', done: 0, total: 1 } });
  const read = openFarmFile(name, new Uint8Array(bytes));
  if (!read.ok) return say({ kind: 'refused', number, problems: read.problems });
  const farm = how.as ? { ...read.value.farm, ...how.as } : read.value.farm;
  if (how.taken.includes(farm.id)) return say({ kind: 'taken', number, farm: { id: farm.id, name: farm.name } });
  if (current !== number) return stopped(number);
  await open?.close();
  const opened = await openNew(farm, how.keeps);
  take(number, opened);
  port.postMessage({ kind: 'opened', number, farm, problems: read.problems });
  const keep = await takeOut(opened, read.value);
  opened.keepFiles = once(async () => {
    const kept = await keep();
    if (how.keeps) port.postMessage({ kind: 'kept', number, kept });
  });
  return true;
}

async function reopen({ number, farm, named, keeps }: Of<'reopen'>): Promise<void> {
  await open?.close();
  const { open: opened, problems } = await openKept(farm, keeps);
  take(number, opened);
  port.postMessage({ kind: 'opened', number, farm, problems });
  if (!keeps) return;
  port.postMessage({ kind: 'kept', number, kept: keptIn(opened, []) });
  await opened.attachments.keepOnly(new Set([...named, ...farm.files.map((one) => one.sha256)]));
}

function seasonOf(request: Of<'open' | 'reopen' | 'edit' | 'resume'>): number | null {
  return request.kind === 'open' ? request.how.season : request.season;
}

function take(number: number, opened: OpenFarm): void {
  open = opened;
  openedBy = number;
}

async function study(number: number, season: number | null): Promise<void> {
  const studied = openFarm();
  const progress = new StudyProgress(studied.farm);
  let said = -Infinity;
  const turns: Turns<StudyEvent> = {
    stopped: () => current !== number,
    now: () => performance.now(),
    turn,
    onProgress(seen: StudyEvent) {
      if ('ranking' in seen) {
        port.postMessage({ kind: 'ranking', number, ranking: seen.ranking });
        // The files are kept once nothing waits for them.
        if (!seen.ranking.seedStays) void guarded(number, studied.keepFiles);
        return;
      }
      progress.see(seen);
      const now = performance.now();
      if (now - said < SAY_EVERY_MS) return;
      said = now;
      port.postMessage({ kind: 'progress', number, progress: progress.line() });
    },
  };
  const fields = studied.spread(season);
  try {
    if (fields) await beside(fields, turns);
    const waiting = await driveInTurns(studied.sight(season), turns);
    const chains = waiting && waiting.length > 0 ? studied.spreadChains(waiting) : null;
    if (chains) await beside(chains, turns).finally(() => chains.end());
    const run = await driveInTurns(studied.study(season), turns);
    if (run === null) return void stopped(number);
    port.postMessage({ kind: 'result', number, study: run.study });
  } finally {
    fields?.end();
    void guarded(number, studied.keepFiles);
  }
  await guarded(number, () => inQuiet(number, studied));
}

/** Computes this computer's share, then waits for the other's. */
async function beside({ mine, rankable }: Spread, turns: Turns<StudyEvent>): Promise<void> {
  await driveInTurns(mine, turns);
  while (!(await settledWithin(rankable, LISTEN_EVERY_MS))) if (turns.stopped()) return;
}

function settledWithin(promise: Promise<void>, milliseconds: number): Promise<boolean> {
  const later = new Promise<boolean>((resolve) => setTimeout(() => resolve(false), milliseconds));
  return Promise.race([promise.then(() => true), later]);
}

/** While nothing else is asked: what the next rating needs is computed, and results go to the disk. */
async function inQuiet(number: number, studied: OpenFarm): Promise<void> {
  const stopped = () => current !== number;
  if (stopped()) return;
  await driveInTurns(studied.ahead(), { stopped, now: () => performance.now(), turn, onProgress: () => undefined });
  await new Promise((resolve) => setTimeout(resolve, QUIET_MS));
  if (!stopped()) await studied.putAway(turn, stopped);
}

/** The first call does the work, later ones wait for it. */
function once(work: () => Promise<void>): () => Promise<void> {
  let done: Promise<void> | null = null;
  return () => (done ??= work());
}

async function answer(number: number, kind: QuestionKind, ask: unknown): Promise<void> {
  const question = questions[kind] as (open: OpenFarm, ask: unknown, tell: Tell) => unknown;
  let said = performance.now();
  const tell: Tell = (progress) => {
    const now = performance.now();
    if (now - said < SAY_EVERY_MS) return;
    said = now;
    port.postMessage({ kind: 'progress', number, progress });
  };
  const given = await question(openFarm(), ask, tell);
  port.postMessage({ kind: 'answer', number, answer: given }, transferablesIn(given));
}

function openFarm(): OpenFarm {
  if (!open) throw new Error('core: no farm is open');
  return open;
}

function inLine(number: number, work: () => Promise<void>): void {
  line = line.then(() => guarded(number, work));
}

/** A fault ends what was asked, and nothing else. */
async function guarded(number: number, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    const text = error instanceof Error ? error.message : String(error);
    port.postMessage({ kind: 'broken', number, text });
  }
}

function say(reply: Reply): false {
  port.postMessage(reply);
  return false;
}
function stopped(number: number): false {
  return say({ kind: 'stopped', number });
}
