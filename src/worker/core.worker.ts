/** The core behind a message port: opens a farm, drives its study in turns, and answers questions in between. Latest study wins. */
import { memoryStore } from '../../shared/analysis/memory-store.ts';
import { openFarmFile } from './farm-file.ts';
import { OpenFarm } from './open-farm.ts';
import type { Reply, Request } from './protocol.ts';
import { type QuestionKind, questions } from './questions.ts';
import { StudyProgress } from './study-progress.ts';
import { transferablesIn } from './transferables.ts';
import { driveInTurns, messageTurn } from './turns.ts';

interface Port {
  onmessage: ((event: { readonly data: Request }) => void) | null;
  postMessage(reply: Reply, transfer?: Transferable[]): void;
}
const port = self as unknown as Port;
const turn = messageTurn();
const SAY_EVERY_MS = 50;

/** The request whose study may go on; none once it was stopped. */
let current: number | null = null;
let open: OpenFarm | null = null;

port.onmessage = ({ data: request }) => {
  const { number } = request;
  switch (request.kind) {
    case 'open':
      return begin(number, () => openAndStudy(number, request.name, new Uint8Array(request.bytes)));
    case 'reopen':
      open = new OpenFarm(request.farm, { open: () => null }, memoryStore());
      return begin(number, () => study(number));
    case 'edit':
      openFarm().apply(request.edit);
      return begin(number, () => study(number));
    case 'resume':
      return begin(number, () => study(number));
    case 'stop':
      if (current === number) current = null;
      return;
    case 'ask':
      return answering(number, async () => answer(number, request.question, request.ask));
  }
};

function begin(number: number, work: () => Promise<void>): void {
  current = number;
  answering(number, work);
}

async function openAndStudy(number: number, name: string, bytes: Uint8Array): Promise<void> {
  const opened = openFarmFile(name, bytes);
  if (!opened.ok) return port.postMessage({ kind: 'refused', number, problems: opened.problems });
  const { farm, door, results } = opened.value;
  open = new OpenFarm(farm, door, results);
  port.postMessage({ kind: 'opened', number, farm, problems: opened.problems });
  await study(number);
}

async function study(number: number): Promise<void> {
  const studied = openFarm();
  const progress = new StudyProgress(studied.farm);
  let said = -Infinity;
  const run = await driveInTurns(studied.study(), {
    stopped: () => current !== number,
    now: () => performance.now(),
    turn,
    onProgress(seen) {
      progress.see(seen);
      const now = performance.now();
      if (now - said < SAY_EVERY_MS) return;
      said = now;
      port.postMessage({ kind: 'progress', number, progress: progress.line() });
    },
  });
  if (run === null) port.postMessage({ kind: 'stopped', number });
  else port.postMessage({ kind: 'result', number, study: run.study });
}

async function answer(number: number, kind: QuestionKind, ask: unknown): Promise<void> {
  const question = questions[kind] as (open: OpenFarm, ask: unknown) => unknown;
  const given = await question(openFarm(), ask);
  port.postMessage({ kind: 'answer', number, answer: given }, transferablesIn(given));
}

function openFarm(): OpenFarm {
  if (!open) throw new Error('core.worker: no farm is open');
  return open;
}

function answering(number: number, work: () => Promise<void>): void {
  work().catch((error: unknown) => {
    const text = error instanceof Error ? error.message : String(error);
    port.postMessage({ kind: 'broken', number, text });
  });
}
